"""The story of a shop out of its event log: one file a chapter."""
