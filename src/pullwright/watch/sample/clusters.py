"""How sure a share is: Wilson's interval, and what becomes of it because people who are seen on one round are alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pullwright.watch.misread import SampleError

LEVEL = 0.95
"""The probability that an interval holds the share, where nobody says another: common practice of activity sampling."""


def wilson(found: float, of: float, level: float = LEVEL) -> tuple[float, float]:
    """Between which two shares does the true one lie, with this probability?

    Parameters: `found` looks `of` so many (they need not be whole: an effective number of looks); `level` between 0 and 1.
    Errors: `SampleError` unless 0 <= found <= of, of above 0, and level between 0 and 1.
    Source: Wilson (1927), J. Am. Stat. Assoc. 22; Brown, Cai & DasGupta (2001), Statistical Science 16.

    >>> low, high = wilson(83, 270)
    >>> round(low, 3), round(high, 3)
    (0.255, 0.365)
    """
    if not (0 <= found <= of and of > 0):
        raise SampleError(f"{found:g} of {of:g} looks", "is no share", "0 up to all of at least one look")
    z2 = normal_quantile(level) ** 2
    middle = (found + z2 / 2) / (of + z2)
    half = sqrt(z2) / (of + z2) * sqrt(found * (of - found) / of + z2 / 4)
    return (0.0 if found == 0 else middle - half), (1.0 if found == of else middle + half)


@lru_cache(maxsize=64)
def normal_quantile(level: float) -> float:
    """How many standard deviations hold so much of a normal distribution on both sides? 1.96 for 95 %."""
    if not 0 < level < 1:
        raise SampleError(f"level {level:g}", "is no probability", "more than 0 and less than 1, such as 0.95")
    from statistics import NormalDist

    return NormalDist().inv_cdf((1 + level) / 2)


@lru_cache(maxsize=256)
def t_quantile(freedom: int, level: float) -> float:
    """The same for Student's t."""
    normal_quantile(level)
    from scipy.special import stdtrit

    return float(stdtrit(freedom, (1 + level) / 2))


def ratio_variance(found: ArrayLike, of: ArrayLike) -> float:
    """Variance of the share sum(found) / sum(of), with whole rounds drawn at random (a ratio of two sums).

    Parameters: `found` and `of` per round, shape (rounds,), two rounds or more.
    Source: Cochran, Sampling Techniques (1977), sections 2.11 and 3.12: R / (R - 1) x sum (a - p m)^2 / (sum m)^2.

    >>> round(ratio_variance([2, 0, 4], [4, 4, 4]), 4)
    0.0833
    """
    a, m = np.asarray(found, dtype=float), np.asarray(of, dtype=float)
    if a.size < 2:
        raise SampleError(
            f"{a.size} round", "cannot tell how rounds differ", "two rounds or more", "walk another round"
        )
    whole = float(m.sum())
    residual: NDArray[np.float64] = a - a.sum() / whole * m
    return float(a.size / (a.size - 1) * (residual**2).sum() / whole**2)


@dataclass(frozen=True, slots=True)
class Worth:
    """What the looks are worth: `design_effect`, how many times the variance is that of as many looks that know nothing of each
    other (None with one round); `looks`, the number of those that tell as much, few rounds counted in."""

    design_effect: float | None
    looks: float


def worth_of(
    share: float, variance: float | None, looks: int, rounds: int, level: float = LEVEL, pooled: float | None = None
) -> Worth:
    """How many independent looks are these looks worth?

    Parameters: `share` and the `variance` that the rounds give it; `pooled`, a design effect to take where this share is 0 or 1.
    Method: looks / design effect, and less where there are few rounds: x (t of looks - 1 / t of rounds - 1)^2. A design effect
    below 1 is taken as 1: few rounds show one by chance.
    Source: Kish, Survey Sampling (1965), 8.2; Korn & Graubard (1998), Survey Methodology 24.

    >>> worth_of(0.25, 0.0025, 150, 30).design_effect
    2.0
    """
    if variance is None:
        return Worth(None, float(looks))
    simple = share * (1 - share) / looks
    effect = variance / simple if simple > 0 else pooled if pooled is not None else 1.0
    worth = looks / max(1.0, effect)
    if looks > 1:
        worth *= (t_quantile(looks - 1, level) / t_quantile(rounds - 1, level)) ** 2
    return Worth(effect, worth)


def weighted_share(
    found: NDArray[np.float64], of: NDArray[np.float64], weights: Sequence[float]
) -> tuple[float, float | None]:
    """The share with every stratum at its weight, and its variance with whole rounds drawn at random.

    Parameters: `found` and `of`, shape (rounds, strata); `weights` per stratum, adding up to 1, each stratum looked at.
    Source: post-stratification, Cochran (1977), 5A.9; the variance by the linear parts of the rounds (Taylor).
    """
    w = np.asarray(weights, dtype=float)
    whole = of.sum(axis=0)
    shares = found.sum(axis=0) / whole
    share = float((w * shares).sum())
    rounds = found.shape[0]
    if rounds < 2:
        return share, None
    parts = ((found - shares * of) * (w / whole)).sum(axis=1)
    return share, float(rounds / (rounds - 1) * (parts**2).sum())


def as_weights(given: Mapping[str, float], strata: Sequence[str]) -> tuple[float, ...]:
    """Weights of the strata that were looked at, adding up to 1; SampleError where one is missing or is no weight."""
    missing = [name for name in strata if name not in given]
    if missing:
        raise SampleError(f"{missing[0]}", "has no weight", "a weight for every stratum that was looked at")
    weights = [float(given[name]) for name in strata]
    if not all(0 <= weight < float("inf") for weight in weights) or not sum(weights) > 0:
        raise SampleError(f"weights {weights}", "are none", "numbers from 0, at least one above it")
    return tuple(weight / sum(weights) for weight in weights)
