"""The pull plan: balance, cards, lots, deliveries, the levelled sequence, and whether it all fits."""
