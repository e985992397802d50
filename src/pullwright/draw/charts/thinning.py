"""A hundred thousand points are more than a picture has room for: what is kept of them, and that it is said."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray


def kept(at: NDArray[np.float64], values: NDArray[np.float64], stretches: int) -> NDArray[np.int64]:
    """Return which points are drawn: in each of so many stretches the first, the least, the greatest and the last.

    Nothing is averaged, so that the highest peak and the deepest dip stay where they are. Points must stand in order.

    >>> kept(np.arange(8.0), np.array([1, 9, 2, 3, 4, 0, 2, 3.0]), 1).tolist()
    [0, 1, 5, 7]
    """
    if len(at) <= 4 * stretches:
        return np.arange(len(at))
    chosen: list[int] = []
    for low, high in stretch_edges(at, stretches):
        part = values[low:high]
        chosen += sorted({low, low + int(part.argmin()), low + int(part.argmax()), high - 1})
    return np.array(chosen, dtype=np.int64)


def stretch_edges(at: NDArray[np.float64], stretches: int) -> list[tuple[int, int]]:
    """Return the points of each stretch of equal length as (first, one after the last); empty stretches are left out."""
    edges = np.searchsorted(at, np.linspace(at[0], at[-1], stretches + 1)[1:-1], side="right")
    cuts = [0, *(int(edge) for edge in edges), len(at)]
    return [(low, high) for low, high in pairwise(cuts) if high > low]


def thinned_words(drawn: int, whole: int, what: str = "points") -> str:
    """Return the sentence that says what was left out of a picture, or nothing.

    >>> thinned_words(400, 100_000)
    'Drawn from 400 of 100,000 points: in each stretch the first, the least, the greatest and the last.'
    """
    if drawn == whole:
        return ""
    return f"Drawn from {drawn:,} of {whole:,} {what}: in each stretch the first, the least, the greatest and the last."
