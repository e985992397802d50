"""What a figure says of itself, asked once for each drawing: laying out asks for the same number many times."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from pullwright.draw.columns import FigureLike

_WIDE = 0.1


class Told:
    """A figure in words: value, unit and interval apart (unit and interval may be empty), and all of it together."""

    __slots__ = ("_ends", "figure", "interval", "text", "unit", "value")

    def __init__(self, figure: FigureLike, currency: str) -> None:
        self.figure = figure
        self.value, self.unit, self.interval = figure.parts(currency)
        shown = f"{self.value} {self.unit}".strip()
        self.text = f"{shown} ({self.interval})" if self.interval else shown
        self._ends: tuple[float, float] | None = None

    @property
    def ends(self) -> tuple[float, float]:
        """Between which two numbers it lies; the same twice where it does not say so."""
        if self._ends is None:
            ask: Callable[[], tuple[float, float]] | None = getattr(self.figure, "interval", None)
            certain = self.figure.value, self.figure.value
            self._ends = ask() if ask is not None and self.interval else certain
        return self._ends

    @property
    def wide(self) -> bool:
        """Is it so unsure that its interval has to be seen: does an end lie more than a tenth of the value away from it?"""
        low, high = self.ends
        if low == high:
            return False
        value = self.figure.value
        return math.isinf(value) or max(high - value, value - low) > _WIDE * abs(value)

    @property
    def may_be_beyond(self) -> bool:
        """Is it not sure whether this share is below 1 or above?"""
        low, high = self.ends
        return low < 1 < high


_TOLD: ContextVar[dict[tuple[int, str], Told] | None] = ContextVar("told", default=None)


@contextmanager
def asked_once() -> Iterator[None]:
    """As long as this is open, every figure is asked once."""
    token = _TOLD.set({})
    try:
        yield
    finally:
        _TOLD.reset(token)


def told(figure: FigureLike, currency: str) -> Told:
    """What the figure says, in this currency."""
    known = _TOLD.get()
    if known is None:
        return Told(figure, currency)
    # What is told holds its figure, so that no other one can come to stand at the same address.
    key = id(figure), currency
    found = known.get(key)
    if found is None:
        found = known[key] = Told(figure, currency)
    return found
