"""Mean, spread and variation of readings, with their intervals, to the digits that the readings carry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import fsum, inf, sqrt
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pullwright.watch.study.faults import StudyError

Values = NDArray[np.float64]

SKEWED = 1.0
"""Readings whose skewness is beyond this are no normal ones; their cv gets its interval by the bootstrap."""

_TINY = 0.02
"""Below this Vangel's closed form agrees with the exact law to seven digits, and is quicker."""


def mean_of(values: Sequence[float]) -> float:
    """The mean, as if added without rounding (Shewchuk 1997, exact sums of doubles).

    >>> mean_of([1e16, 1.0, -1e16])
    0.3333333333333333
    """
    return fsum(values) / len(values)


def standard_deviation(values: Sequence[float]) -> float:
    """The standard deviation of a sample (n - 1), in two passes about the exact mean; what rounding left is taken off.

    Source: Chan, Golub & LeVeque (1983), The American Statistician 37, corrected two-pass algorithm.

    >>> round(standard_deviation([1e9 + 0.1, 1e9 + 0.2, 1e9 + 0.3]), 6)
    0.1
    """
    if len(values) < 2:
        raise StudyError(f"{len(values)} reading(s)", "have no standard deviation", "two readings or more", "")
    middle = mean_of(values)
    off = [value - middle for value in values]
    squares = fsum(d * d for d in off) - fsum(off) ** 2 / len(values)
    return sqrt(max(0.0, squares) / (len(values) - 1))


def lag_one(values: Sequence[float]) -> float:
    """How much is a reading like the one before: the lag-1 autocorrelation, as NIST defines it; 0 where all are alike.

    r1 = sum (y(i) - mean)(y(i + 1) - mean) / sum (y(i) - mean)². Source: NIST Statistical Reference Datasets, univariate.

    >>> lag_one([1.0, 2.0, 1.0, 2.0, 1.0, 2.0])
    -0.8333333333333334
    """
    middle = mean_of(values)
    off = [value - middle for value in values]
    below = fsum(d * d for d in off)
    return fsum(a * b for a, b in pairwise(off)) / below if below > 0 else 0.0


def cv_interval_normal(cv: float, readings: int, level: float = 0.9) -> tuple[float, float]:
    """Between which two numbers does the cv of normal readings lie? Exact: sqrt(n) / cv follows the noncentral t law.

    Parameters: `cv` of `readings` readings. Result: low and high; high is infinite where even a mean of 0 would not be a surprise.
    Source: Johnson & Welch (1940), Biometrika 31.

    >>> low, high = cv_interval_normal(0.1, 20)
    >>> round(low, 4), round(high, 4)
    (0.0792, 0.1375)
    """
    if readings < 2:
        return 0.0, inf
    if cv <= 0:
        return 0.0, 0.0
    if cv < _TINY:
        return cv_interval_vangel(cv, readings, level)
    tail = (1 - level) / 2
    return _cv_where(cv, readings, tail), _cv_where(cv, readings, 1 - tail)


def _cv_where(cv: float, n: int, chance: float) -> float:
    """The true cv at which a sample's sqrt(n) / cv is this large or smaller with probability `chance`."""
    from scipy.special import nctdtr

    freedom, seen = n - 1, sqrt(n) / cv

    def beyond(true: float) -> bool:
        return float(nctdtr(freedom, sqrt(n) / true, seen)) >= chance

    low, high = cv / 50, cv
    while not beyond(high):
        if high > 1e6 * cv:
            return inf
        low, high = high, 2 * high
    while high - low > 1e-9 * high:
        middle = (low + high) / 2
        low, high = (low, middle) if beyond(middle) else (middle, high)
    return high


def cv_interval_vangel(cv: float, readings: int, level: float = 0.9) -> tuple[float, float]:
    """The same by an approximation in closed form, for cv up to about a third.

    Source: McKay (1932) as modified by Vangel (1996), The American Statistician 50.

    >>> low, high = cv_interval_vangel(0.1, 20)
    >>> round(low, 4), round(high, 4)
    (0.0792, 0.1376)
    """
    from scipy.special import chdtri

    freedom = readings - 1
    ends = []
    for upper in ((1 - level) / 2, (1 + level) / 2):
        u = float(chdtri(freedom, upper))
        inside = ((u + 2) / readings - 1) * cv**2 + u / freedom
        ends.append(cv / sqrt(inside) if inside > 0 else inf)
    return ends[0], ends[1]


def cv_interval_bootstrap(
    values: ArrayLike, level: float = 0.9, *, resamples: int = 2000, seed: int = 0
) -> tuple[float, float]:
    """Between which two numbers does the cv lie, whatever the shape? Bootstrap, bias-corrected and accelerated (BCa).

    Parameters: `values` above 0, shape (n,), 3 or more; `seed` of the resampling, handed in. Result: low and high.
    Source: Efron (1987), Journal of the American Statistical Association 82.

    >>> low, high = cv_interval_bootstrap([41, 44, 39, 45, 40, 90, 38, 43, 40, 42])
    >>> 0.03 < low < 0.2 < high < 0.7
    True
    """
    from scipy.special import ndtr, ndtri

    x = np.asarray(values, dtype=np.float64)
    n = x.size
    if n < 3:
        raise StudyError(f"{n} readings", "are too few to resample", "three readings or more", "")
    here = _cv(x[None, :])[0]
    if here <= 1e-12:
        return 0.0, 0.0
    rng = np.random.default_rng(seed)
    drawn = np.sort(_cv(x[rng.integers(0, n, size=(resamples, n))]))
    below = (np.count_nonzero(drawn < here) + np.count_nonzero(drawn <= here)) / (2 * resamples)
    bias = float(ndtri(np.clip(below, 1 / (resamples + 1), resamples / (resamples + 1))))
    without = np.tile(x, (n, 1))[~np.eye(n, dtype=bool)].reshape(n, n - 1)
    left = _cv(without)
    off = left.mean() - left
    bent = float((off**3).sum() / (6 * (off**2).sum() ** 1.5)) if off.any() else 0.0
    ends = []
    for tail in ((1 - level) / 2, (1 + level) / 2):
        z = bias + float(ndtri(tail))
        ends.append(float(np.quantile(drawn, float(ndtr(bias + z / (1 - bent * z))))))
    return ends[0], ends[1]


def _cv(rows: Values) -> Values:
    spread: Values = rows.std(axis=1, ddof=1) / rows.mean(axis=1)
    return spread


def skewness(values: ArrayLike) -> float:
    """How lopsided are the readings (third standardised moment, corrected for the size of the sample)? 0 where symmetrical.

    Source: Joanes & Gill (1998), The Statistician 47, G1.
    """
    x = np.asarray(values, dtype=np.float64)
    n, off = x.size, x - x.mean()
    square = float((off**2).mean())
    if n < 3 or square <= 0 or sqrt(square) <= abs(float(x.mean())) * 1e-12:
        return 0.0
    return float((off**3).mean() / square**1.5) * sqrt(n * (n - 1)) / (n - 2)


@dataclass(frozen=True, slots=True)
class Spread:
    """Readings in figures: mean with Student's interval, cv with its own, median, skewness, and how much a reading is like the last.

    Times in the unit of the readings; `level` of both intervals; `cv_by` says by which method the interval of the cv was made.
    """

    readings: int
    mean: float
    mean_low: float
    mean_high: float
    standard_deviation: float
    cv: float
    cv_low: float
    cv_high: float
    cv_by: Literal["normal", "bootstrap"]
    median: float
    least: float
    most: float
    skewness: float
    lag_one: float
    level: float


def spread_of(values: Sequence[float], level: float = 0.9, *, seed: int = 0) -> Spread:
    """How long, how much does it vary, and how well do we know either?

    Parameters: two or more readings with a mean above zero; `seed` of the bootstrap for skewed readings.
    Result: see `Spread`. Errors: `StudyError` for fewer than two readings or a mean that is not above zero.

    >>> spread = spread_of([7.0, 6.0, 7.0, 7.0, 6.0])
    >>> round(spread.mean, 2), round(spread.cv, 3), spread.median
    (6.6, 0.083, 7.0)
    """
    from scipy.special import stdtrit

    n, middle = len(values), mean_of(values) if values else 0.0
    if n < 2 or middle <= 0:
        raise StudyError(
            f"{n} readings with mean {middle:g}",
            "say nothing of how much it varies",
            "two readings or more with a mean above 0",
            "take a few cycles more",
        )
    deviation = standard_deviation(values)
    off = float(stdtrit(n - 1, (1 + level) / 2)) * deviation / sqrt(n)
    cv = deviation / middle
    lopsided = skewness(values)
    skewed = n >= 8 and abs(lopsided) > SKEWED and min(values) > 0
    low, high = cv_interval_bootstrap(values, level, seed=seed) if skewed else cv_interval_normal(cv, n, level)
    return Spread(
        readings=n,
        mean=middle,
        mean_low=middle - off,
        mean_high=middle + off,
        standard_deviation=deviation,
        cv=cv,
        cv_low=low,
        cv_high=high,
        cv_by="bootstrap" if skewed else "normal",
        median=float(np.median(values)),
        least=min(values),
        most=max(values),
        skewness=lopsided,
        lag_one=lag_one(values),
        level=level,
    )
