"""Lots and set-ups: how much is made between two set-ups, in which order, and what a shorter set-up buys."""
