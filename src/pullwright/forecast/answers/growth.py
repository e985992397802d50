"""Does something pile up without end, and how fast? A line that cannot keep up has no long run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.forecast.answers.interval import Floats, Interval, mean_of

SURE = 0.99
"""Level of the interval that has to lie above 0 before a growth is told."""


@dataclass(frozen=True, slots=True)
class Growth:
    """By how much something grows a day: `rate` with its interval, and whether it `grows`, more than chance and by more than is negligible."""

    rate: Interval
    grows: bool


def growth_of(by_day: Floats, negligible: float = 0.0, level: float = SURE) -> Growth:
    """Does a pile (or the orders that wait) go on growing after the first half of the days?

    Each run has its own straight line through its second half (least squares). Days of one run hang together, but runs do not: the mean of their
    slopes has Student's interval.
    Parameters: `by_day` (R, D), two runs or more; `negligible`, pieces a day. Result: pieces a day.

    >>> rng = np.random.default_rng(1)
    >>> steady = 50 + rng.normal(size=(10, 60))
    >>> growth_of(steady).grows, growth_of(steady + 2.0 * np.arange(60)).grows
    (False, True)
    """
    half = np.asarray(by_day, float)[:, by_day.shape[1] // 2 :]
    days = np.arange(half.shape[1]) - (half.shape[1] - 1) / 2
    if half.shape[1] < 3:
        return Growth(Interval(0.0, -np.inf, np.inf, level, half.shape[0]), False)
    rate = mean_of(half @ days / float(days @ days), level)
    return Growth(rate, rate.low > 0 and rate.value > negligible)
