"""Luck: streams of numbers by purpose, and the shapes of times made from them."""
