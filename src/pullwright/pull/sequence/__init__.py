"""The levelled sequence: in which order a day's pieces are made, so that products or parts come as evenly as can be."""
