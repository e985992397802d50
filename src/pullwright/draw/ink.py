"""Paper and ink: the few colours, sizes and line weights that every drawing shares.

Colours are checked in the tests against WCAG 2.2 (contrast 4.5 to 1 for text, 3 to 1 for what has to be seen).
"""

from __future__ import annotations

PAPER = "#faf7f0"
"""Warm off-white; the page's ground. Drawings have none of their own, so that they print on white."""
INK = "#1c1b18"
PENCIL = "#57544c"
FAINT = "#8c877a"
LOOK = "#c22f12"
"""The one vermilion: look here. Never without its mark and a word."""

SYSTEM_FONT = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif"

BODY = 12.0
SMALL = 11.0
LEAD = 14.0
TITLE = 20.0

HAIR = 0.75
LINE = 1.25
HEAVY = 2.5
