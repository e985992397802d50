"""Numbers where there is little room: an interval only where it is wide, stock in whole pieces."""

from __future__ import annotations

import math

from pullwright.draw.columns import FigureLike
from pullwright.draw.told import told
from pullwright.figure.wording import WITHOUT_END, digits_place, number_text

_WHOLE_BELOW = 100.0
_FIXED_BLANK = "\u00a0"


def in_pieces(figure: FigureLike, currency: str) -> tuple[str, str]:
    """Stock as one counts it: the number, and its unit.

    Whole pieces below a hundred, "under 1" for less than one, three digits above; where it is not sure, from which number
    to which.
    """
    said = told(figure, currency)
    if math.isinf(figure.value):
        return said.value, said.unit
    if said.wide:
        low, high = (_whole(end) for end in said.ends)
        if low != high:
            return _span(low, high), said.unit
    if 0 < figure.value < 1:
        return f"under{_FIXED_BLANK}1", said.unit.removesuffix("s")
    return (_whole(figure.value) if figure.value < _WHOLE_BELOW else said.value), said.unit


def how_long(figure: FigureLike, currency: str) -> tuple[str, str]:
    """A time on few letters: the number and its unit; from which number to which where it is not sure."""
    said = told(figure, currency)
    ends = said.interval.split(" to ") if said.wide and math.isfinite(figure.value) else []
    return (_span(*ends) if len(ends) == 2 else said.value), said.unit


def _span(low: str, high: str) -> str:
    return f"{low} to {high}" if WITHOUT_END in (low, high) else f"{low}–{high}"


def _whole(pieces: float) -> str:
    return number_text(pieces, 0 if pieces < _WHOLE_BELOW else digits_place(pieces, 3))
