"""Evidence about the mean of run averages that are near a normal law (pieces a day, days of lead time), worth looking at after every run.

The ratio of likelihoods of "the mean is the threshold" and "it lies elsewhere", with the unknown standard deviation taken out and the distance in
standard deviations spread normally with variance SPREAD. Where the averages are normal it exceeds 1/a at any time with a
chance of at most a (Lai 1976, On confidence sequences, Annals of Statistics 4; Gönen et al. 2005 for its formula in t; Wang & Ramdas 2025,
Anytime-valid t-tests and confidence sequences for Gaussian means with unknown variance).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, log, log1p, sqrt

SPREAD = 1.0
"""Variance of the distance from the threshold that is looked for, in standard deviations of a run."""
LEAST_RUNS = 10
"""Before so many runs nothing is said: a few averages that happen to be alike would look like no variation at all."""


class Average:
    """The mean of run averages so far against a threshold; `above` and `below` are the evidence for either side (logarithms)."""

    __slots__ = ("_many", "_mean", "_squares", "_threshold")

    def __init__(self, threshold: float) -> None:
        self._threshold, self._many, self._mean, self._squares = threshold, 0, 0.0, 0.0

    def add(self, average: float) -> None:
        """Take in the average of one more run."""
        self._many += 1
        before, self._mean = self._mean, self._mean + (average - self._mean) / self._many
        self._squares += (average - before) * (average - self._mean)

    @property
    def above(self) -> float:
        """Evidence that the mean lies above the threshold."""
        return self._ratio() if self._mean > self._threshold else -inf

    @property
    def below(self) -> float:
        """Evidence that the mean lies below the threshold."""
        return self._ratio() if self._mean < self._threshold else -inf

    def _ratio(self) -> float:
        n = self._many
        if n < LEAST_RUNS:
            return -inf
        grown = 1 + n * SPREAD
        squares = n * (self._mean - self._threshold) ** 2
        if self._squares <= 1e-24 * max(squares, self._mean**2, 1e-300):
            return ((n - 1) * log(grown)) / 2 if squares > 0 else -inf
        odds = squares / self._squares
        return n / 2 * (log1p(odds) - log1p(odds / grown)) - log(grown) / 2


def interval(averages: Sequence[float], wrong: float) -> tuple[float, float]:
    """Between which two values lies the mean of run averages, whenever one looks, but for a chance of `wrong`?

    >>> [round(end, 2) for end in interval([9.0, 10.0, 11.0, 10.0] * 5, 0.05)]
    [9.44, 10.56]
    """
    n = len(averages)
    if n < LEAST_RUNS:
        return -inf, inf
    mean = sum(averages) / n
    squares = sum((one - mean) ** 2 for one in averages)
    grown = 1 + n * SPREAD
    ratio = (sqrt(grown) / wrong) ** (2 / n)
    if ratio >= grown:
        return -inf, inf
    half = sqrt((ratio - 1) / (1 - ratio / grown) * squares / n)
    return mean - half, mean + half
