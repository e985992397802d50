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
        "value": _finite(figure.value),
        "unit": figure.unit,
        "low": _finite(low),
        "high": _finite(high),
        "text": figure.text(currency),
    }


def _finite(number: float) -> float | None:
    return None if isinf(number) else number
