"""How a benchmark times its work, and how it says what it found."""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import process_time

Row = tuple[str, float, float, float, str]
"""What was measured, the median, the least, the greatest, the unit."""


def timed(work: Callable[[], object]) -> float:
    """Seconds of the processor that this takes, so that what else the machine does does not count."""
    start = process_time()
    work()
    return process_time() - start


def row(what: str, found: list[float], unit: str, scale: float = 1.0) -> Row:
    """One row of several runs."""
    return what, median(found) * scale, min(found) * scale, max(found) * scale, unit
