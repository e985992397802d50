"""How sure is the mean of one long run? Its numbers hang together, so that they are cut into batches long enough to know little of each other."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike

from pullwright.forecast.answers.interval import LEVEL, Floats, Interval, checked_level, mean_of

FEWEST, MOST = 10, 30
"""Batches: more than 30 hardly narrow the interval, fewer than 10 make it wide (Schmeiser 1982, Operations Research 30; from memory)."""
CHANCE = 0.2
"""Chance to take batches that know nothing of each other for alike: large, because taking alike ones for independent costs more."""


@dataclass(frozen=True, slots=True)
class BatchMeans:
    """The mean of a long run: `interval`, how many `batches` of which `size` it was read from, and whether they passed for `independent`.

    Where they did not, the run is too short, and the interval narrower than it ought to be.
    """

    interval: Interval
    batches: int
    size: int
    independent: bool


def batch_means(series: ArrayLike, level: float = LEVEL) -> BatchMeans:
    """What is the mean of one long run, and how sure is it?

    Batches are doubled in size until neighbours pass for independent (von Neumann's ratio), and then, if there are more than 30, put together
    to at most 30 longer ones, which are more independent still. What does not fill a batch is left out at the begin.
    Parameters: `series` (n,), 2 numbers or more, after the warm-up. Result: Student's interval over the batch means.
    Errors: ValueError for fewer.
    Source: Fishman (1978), Management Science 24 (doubling with von Neumann's ratio); Schmeiser (1982); both from memory.

    >>> found = batch_means(np.tile([1.0, 3.0], 500))
    >>> found.interval.value, found.batches, found.size
    (2.0, 29, 34)
    """
    checked_level(level)
    row = np.asarray(series, dtype=float)
    if row.size < 2:
        raise ValueError(f"{row.size} numbers were read; the mean of a run needs 2 or more")
    size = 1
    means = row
    while not (independent := independent_enough(means)) and row.size // (2 * size) >= FEWEST:
        size *= 2
        means = batched(row, size)
    if independent and means.size > MOST:
        size *= -(-means.size // MOST)
        means = batched(row, size)
    return BatchMeans(mean_of(means, level), means.size, size, independent)


def batched(row: Floats, size: int) -> Floats:
    """Means of batches of this size; what is left over is left out at the begin, where warm-up is likeliest.

    >>> batched(np.array([9.0, 1.0, 3.0, 5.0, 7.0]), 2).tolist()
    [2.0, 6.0]
    """
    many = row.size // size
    means: Floats = row[row.size - many * size :].reshape(many, size).mean(axis=1)
    return means


def independent_enough(means: Floats, chance: float = CHANCE) -> bool:
    """Could these numbers in a row know nothing of each other? False where neighbours are too alike.

    Von Neumann's ratio of the mean squared difference of neighbours to the variance is near 2 for independent numbers, below for alike ones;
    its normal approximation has the variance 4 (n - 2) / (n^2 - 1).
    Source: von Neumann (1941), Annals of Mathematical Statistics 12 (from memory).
    """
    from statistics import NormalDist

    n = means.size
    spread = float(((means - means.mean()) ** 2).sum())
    if n < 3 or spread <= 0:
        return True
    alike = 1 - float((np.diff(means) ** 2).sum()) / (2 * spread)
    return alike <= NormalDist().inv_cdf(1 - chance) * sqrt((n - 2) / (n * n - 1))
