"""How long does a line that starts from today's stock take to settle? What comes before is no part of the long run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pullwright.forecast.answers.interval import Floats

BATCH = 5
"""Numbers that are averaged first, so that one odd number does not end a warm-up (MSER-5)."""
_LEFT = 5
"""Batches at the end that no cut may leave: with fewer left, chance alone makes them look steady."""


@dataclass(frozen=True, slots=True)
class WarmUp:
    """`cut`: so many numbers at the begin are warm-up; `settled`: the run is long enough to tell; `of`: so many it has."""

    cut: int
    settled: bool
    of: int


def mser5(series: ArrayLike) -> WarmUp:
    """Where does a series stop being under the spell of its start?

    The cut is where the mean of the rest would be surest if its numbers were independent: the standard error of the rest, over all cuts,
    is least. A cut beyond half of the series says that it has not settled: run longer.
    Parameters: `series` (n,), best averaged over several runs. Result: the cut in numbers of the series (a multiple of 5).
    Source: White (1997), Simulation 69; White, Cobb & Spratt (2000), Winter Simulation Conference (batches of 5); from memory.

    >>> series = np.concatenate([np.linspace(100, 10, 40), np.tile([9.0, 11.0, 10.0], 100)])
    >>> mser5(series)
    WarmUp(cut=40, settled=True, of=340)
    >>> mser5(np.arange(100.0)).settled
    False
    """
    row = np.asarray(series, dtype=float)
    many = row.size // BATCH
    if many < 2 * _LEFT:
        return WarmUp(0, False, row.size)
    means = row[: many * BATCH].reshape(many, BATCH).mean(axis=1)
    errors = standard_errors(means)[: many - _LEFT + 1]
    # A steady series has no warm-up, though rounding makes one cut a hair better than the others.
    scale = float(np.abs(means).max()) or 1.0
    errors = np.where(errors <= (1e-9 * scale) ** 2, 0.0, errors)
    cut = int(np.argmin(errors))
    return WarmUp(cut * BATCH, cut * BATCH <= row.size / 2, row.size)


def standard_errors(means: Floats) -> Floats:
    """For every cut d: the sum of squares of what is left about its own mean, over the square of its number."""
    left = np.arange(means.size, 0, -1, dtype=float)
    centred = means - means.mean()
    sums, squares = np.cumsum(centred[::-1])[::-1], np.cumsum((centred**2)[::-1])[::-1]
    found: Floats = np.maximum(squares - sums**2 / left, 0.0) / left**2
    return found
