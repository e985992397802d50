"""How many runs does a wished half-width take? A few runs first say how much runs differ; then the number can be told."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite, sqrt

from pullwright.forecast.answers.interval import LEVEL, checked_level
from pullwright.watch.sample.clusters import t_quantile

PILOT = 10
"""Runs that say how much runs differ: with fewer their standard deviation is hardly known."""


@dataclass(frozen=True, slots=True)
class RunsNeeded:
    """`runs` give a half-width of about `half_width`; `reached`: that is the wished one, else so many are the most that were allowed."""

    runs: int
    half_width: float
    reached: bool


def runs_needed(deviation: float, wished: float, *, pilot: int, most: int, level: float = LEVEL) -> RunsNeeded:
    """How many runs until the mean is known within a wished half-width?

    Parameters: `deviation`, standard deviation between runs as the `pilot` runs tell it, and `wished`, in one unit; `most` runs are ever asked for.
    Result: the smallest number n of runs, `pilot` at least, with t(n - 1) s / sqrt(n) at most as wished.
    Errors: ValueError for a wished half-width that is not above 0.
    Source: Law, Simulation Modeling and Analysis (2015), section 9.4.1 (from memory); two stages as Stein (1945), Annals of Mathematical Statistics 16.

    >>> found = runs_needed(10.0, 2.0, pilot=10, most=500)
    >>> found.runs, round(found.half_width, 3), found.reached
    (70, 1.993, True)
    >>> runs_needed(10.0, 0.1, pilot=10, most=100).reached
    False
    """
    checked_level(level)
    if not (isfinite(wished) and wished > 0):
        raise ValueError(f"a half-width of {wished:g} was read; it has to be above 0, or no number of runs is enough")
    if pilot < 2 or most < pilot:
        raise ValueError(
            f"{pilot} runs first and {most} at the most were read; two or more first, and no fewer at the most"
        )

    def half(runs: int) -> float:
        return t_quantile(runs - 1, level) * deviation / sqrt(runs)

    low, high = pilot, most
    if half(high) > wished:
        return RunsNeeded(most, half(most), False)
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if half(middle) <= wished else (middle + 1, high)
    return RunsNeeded(low, half(low), True)
