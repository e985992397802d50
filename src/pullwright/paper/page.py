"""The page: its size, its margin, its face, and the sizes that letters may have on it."""

from __future__ import annotations

WIDTH = 420.0 / 25.4 * 72
HEIGHT = 297.0 / 25.4 * 72
"""A3 landscape (ISO 216), in points."""
MARGIN = 9.0 / 25.4 * 72
ROOM = WIDTH - 2 * MARGIN
DEPTH = HEIGHT - 2 * MARGIN

FACE = "Libertinus Serif"
FACE_OF_COMMANDS = "DejaVu Sans Mono"
"""The two faces that Typst brings along, so that a print is the same on every machine."""

LETTERS = tuple(quarter / 4 for quarter in range(40, 25, -1))
"""Sizes in points that the smallest letters of a sheet may have, the best first: 10 down to 6.5."""
SMALLEST = LETTERS[-1]

COLUMNS = (1.08, 0.86, 0.88, 1.1, 1.08)
GUTTER = 14.0


def column_widths() -> tuple[float, ...]:
    """How wide the columns of the accounts are, in points.

    >>> round(sum(column_widths()) + GUTTER * (len(COLUMNS) - 1) - ROOM, 6)
    0.0
    """
    shared = ROOM - GUTTER * (len(COLUMNS) - 1)
    return tuple(shared * part / sum(COLUMNS) for part in COLUMNS)
