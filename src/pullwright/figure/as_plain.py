"""A figure as plain values for JSON: what a program takes and what a person reads."""

from __future__ import annotations

from math import isinf
from typing import Any

from pullwright.figure.number import Figure


def as_plain(figure: Figure, currency: str = "EUR") -> dict[str, Any]:
    """Which plain values say this figure? Value and 90 % interval in the unit inside; a number without end is null beside its text.

    >>> from pullwright.figure import Source, given
    >>> as_plain(given("takt time", 60.0, "s", Source("line file", "demand")))["text"]
    '60 s'
    """
    low, high = figure.interval()
    return {
        "name": figure.name,
        "value": finite(figure.value),
        "unit": figure.unit,
        "low": finite(low),
        "high": finite(high),
        "text": figure.text(currency),
    }


def finite(number: float) -> float | None:
    """The number, or nothing where it has no end, which JSON cannot say."""
    return None if isinf(number) else number
