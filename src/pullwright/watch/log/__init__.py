"""Event logs: what the machines and the booking terminals wrote down, read, doubted, and turned into a line."""
