"""Counts: pieces that lie somewhere, ways that are walked, pieces that were not right."""
