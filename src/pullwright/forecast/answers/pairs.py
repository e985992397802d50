"""What does an option change? Both are run on the same luck, so that most of the luck goes out of the difference."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pullwright.forecast.answers.interval import LEVEL, Interval, mean_of


@dataclass(frozen=True, slots=True)
class Paired:
    """The `difference`, option less today, and which share of its variance the common luck `took` away (below 0: it added some)."""

    difference: Interval
    took: float


def paired(today: ArrayLike, option: ArrayLike, level: float = LEVEL) -> Paired:
    """By how much does an option differ, run by run on the same luck?

    Parameters: `today` and `option` (R,), in the order of the same run numbers. Result: the mean of the differences with Student's interval, and
    1 - variance of the differences / (variance of the one + variance of the other).
    Errors: ValueError where the runs are not as many.
    Source: paired t; common random numbers as in Law, Simulation Modeling and Analysis (2015), section 11.2 (from memory).

    >>> found = paired([10.0, 14.0, 12.0, 16.0], [11.0, 15.5, 12.5, 17.0])
    >>> found.difference.value, round(found.took, 3)
    (1.0, 0.988)
    """
    a, b = np.asarray(today, dtype=float), np.asarray(option, dtype=float)
    if a.shape != b.shape:
        raise ValueError(
            f"{a.size} runs of today and {b.size} of the option were read; pairs need the same runs of both"
        )
    apart = float(a.var(ddof=1) + b.var(ddof=1)) if a.size > 1 else 0.0
    took = 1 - float((b - a).var(ddof=1)) / apart if apart > 0 else 0.0
    return Paired(mean_of(b - a, level), took)
