"""Percentiles over the pieces of many runs, with an interval that asks for no distribution and that knows that pieces of one run are alike."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, inf, nan

import numpy as np

from pullwright.forecast.answers.interval import LEVEL, Floats, Interval, checked_level, effective_looks
from pullwright.watch.sample.clusters import wilson


def quantile_of(samples: Sequence[Floats], share: float, level: float = LEVEL, runs: int | None = None) -> Interval:
    """Which number do so many of the pieces of all runs stay below, and how sure is it?

    The pieces of a run stand in one another's way: a bad day makes all of them late, so order statistics over all pieces as if each knew
    nothing of the others would promise far too much. Here the share below the percentile is one number of each run; how the runs
    differ in it says how many independent looks they are worth, Wilson's interval of the share follows, and the ends are read back off
    the pooled pieces.
    Parameters: `samples`, of each run an array of numbers, inf where it never came to an end; `share` between 0 and 1.
    Result: the smallest number that at least `share` of the pieces do not exceed; NaN without any.
    Source: Woodruff (1952), J. Am. Stat. Assoc. 47, with clusters (from memory).

    >>> rng = np.random.default_rng(5)
    >>> found = quantile_of([rng.exponential(size=500) for _ in range(20)], 0.95)
    >>> found.holds(-np.log(0.05))
    True
    """
    checked_level(level)
    if not 0 < share < 1:
        raise ValueError(f"a share of {share:g} was read; a percentile lies between 0 and 1, such as 0.95")
    many = len(samples) if runs is None else runs
    pooled = np.sort(np.concatenate(samples)) if samples else np.empty(0)
    if pooled.size == 0:
        return Interval(nan, -inf, inf, level, many)
    value = at_share(pooled, share)
    if many == 1:
        return Interval(value, -inf, inf, level, 1)
    of = np.array([one.size for one in samples], float)
    below = np.array([np.count_nonzero(one <= value) for one in samples], float)
    reached = float(below.sum() / of.sum())
    looks = effective_looks(reached, below, of, level)
    low, high = wilson(share * looks, looks, level)
    return Interval(value, at_share(pooled, low), at_share(pooled, high), level, many)


def at_share(ordered: Floats, share: float) -> float:
    """The smallest of ordered numbers that at least this share of them do not exceed.

    >>> at_share(np.array([1.0, 2.0, 3.0, 4.0]), 0.5)
    2.0
    """
    return float(ordered[min(max(ceil(share * ordered.size - 1e-9), 1), ordered.size) - 1])
