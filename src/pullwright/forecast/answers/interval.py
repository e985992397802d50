"""How sure is the mean of many runs, or a share or a mean over all pieces of many runs? Each run counts as one reading."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, nan, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pullwright.watch.sample.clusters import ratio_variance, t_quantile, wilson, worth_of

Floats = NDArray[np.float64]
LEVEL = 0.9
"""The probability that an interval holds the number, where nobody says another: that of every figure."""


@dataclass(frozen=True, slots=True)
class Interval:
    """`value` by the runs, and `low` to `high`, which holds the true one with probability `level`; `runs` behind it.

    One run alone cannot say how sure it is: then it goes from -inf to inf.
    """

    value: float
    low: float
    high: float
    level: float
    runs: int

    @property
    def half_width(self) -> float:
        """Half of what lies between its ends."""
        return (self.high - self.low) / 2

    def holds(self, number: float) -> bool:
        """Does the number lie in it?"""
        return bool(self.low <= number <= self.high)


def checked_level(level: float) -> float:
    """The level itself; ValueError where it is no probability.

    >>> checked_level(95)
    Traceback (most recent call last):
        ...
    ValueError: a level of 95 was read; it lies between 0 and 1, such as 0.9
    """
    if not 0 < level < 1:
        raise ValueError(f"a level of {level:g} was read; it lies between 0 and 1, such as 0.9")
    return level


def mean_of(values: ArrayLike, level: float = LEVEL) -> Interval:
    """What is the mean over runs, and how sure is it?

    Parameters: `values` (R,), one of each run; runs have luck of their own, so they know nothing of each other.
    Source: Student (1908), Biometrika 6; replications as in Law, Simulation Modeling and Analysis (2015), section 9.4.1 (from memory).

    >>> found = mean_of([3.0, 5.0, 4.0, 4.0])
    >>> found.value, round(found.low, 3), round(found.high, 3)
    (4.0, 3.039, 4.961)
    """
    row = np.asarray(values, dtype=float)
    return ratio_of(row, np.ones(row.size), level)


def ratio_of(above: ArrayLike, below: ArrayLike, level: float = LEVEL) -> Interval:
    """What is a mean over all that went through all runs, such as the lead time of a piece, and how sure is it?

    Runs in which much happens weigh more; that is what a customer or a piece meets. The pieces of one run share its luck, so how sure it is
    is read from how the runs differ, never from the number of pieces.
    Parameters: `above` and `below` (R,), such as the sum of the lead times of a run and their number.
    Result: sum(above) / sum(below), NaN where nothing went through; Student's interval with R - 1 degrees of freedom.
    Source: ratio estimate, Cochran, Sampling Techniques (1977), section 2.11 (from memory).

    >>> round(ratio_of([10.0, 40.0], [1.0, 2.0]).value, 3)
    16.667
    """
    checked_level(level)
    a, b = np.asarray(above, dtype=float), np.asarray(below, dtype=float)
    if a.size == 0 or a.shape != b.shape:
        raise ValueError(
            f"{a.shape} sums over {b.shape} numbers were read; give one pair of each run, of one run at least"
        )
    whole = float(b.sum())
    if not whole > 0:
        return Interval(nan, -inf, inf, level, a.size)
    value = float(a.sum()) / whole
    if a.size == 1:
        return Interval(value, -inf, inf, level, 1)
    off = t_quantile(a.size - 1, level) * sqrt(ratio_variance(a, b))
    return Interval(value, value - off, value + off, level, a.size)


def by_run(above: ArrayLike, below: ArrayLike) -> Floats:
    """What does each run say of a ratio? Numbers (R,) whose mean is the ratio and that differ as the runs do.

    They are the linear parts of the ratio (its influence values), and can be compared run by run.

    >>> by_run([10.0, 40.0], [1.0, 2.0]).round(2).tolist()
    [12.22, 21.11]
    """
    a, b = np.asarray(above, dtype=float), np.asarray(below, dtype=float)
    value = a.sum() / b.sum()
    told: Floats = value + (a - value * b) / b.mean()
    return told


def share_of(found: ArrayLike, of: ArrayLike, level: float = LEVEL) -> Interval:
    """What share of all that came in all runs, such as of promises that were kept, and how sure is it?

    Wilson's interval with as many looks as the runs are worth: orders of one run share its luck, so many of them tell no more than a few that
    know nothing of each other (the design effect). Where all or none were found in every run, that number cannot be
    told, and each run counts as one look, which holds however alike the orders of a run are.
    Parameters: `found` `of` (R,), of each run.
    Source: Wilson (1927), J. Am. Stat. Assoc. 22; Kish, Survey Sampling (1965), section 8.2; Korn & Graubard (1998), Survey Methodology 24.

    >>> found = share_of([90.0, 100.0, 80.0, 95.0, 85.0], [100.0] * 5)
    >>> found.value, round(found.low, 3), round(found.high, 3)
    (0.9, 0.8, 0.953)
    >>> round(share_of([10.0] * 20, [10.0] * 20).low, 3)
    0.881
    """
    checked_level(level)
    a, b = np.asarray(found, dtype=float), np.asarray(of, dtype=float)
    whole = float(b.sum())
    if not whole > 0:
        return Interval(nan, 0.0, 1.0, level, a.size)
    share = float(a.sum()) / whole
    looks = effective_looks(share, a, b, level)
    low, high = wilson(share * looks, looks, level)
    return Interval(share, low, high, level, a.size)


def effective_looks(share: float, found: Floats, of: Floats, level: float) -> float:
    """How many independent looks tell as much of a share as these runs do? Never more than all, never more than is known."""
    runs = found.size
    variance = ratio_variance(found, of) if runs > 1 else 0.0
    if variance <= 0:
        return float(runs)
    return worth_of(share, variance, int(of.sum()), runs, level).looks
