"""What an option changes in money and floor, run by run on the same luck."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from pullwright.figure import Figure, Source, from_readings
from pullwright.forecast.money.sureness import in_runs


def difference_of(name: str, today: ArrayLike, option: ArrayLike, unit: str) -> Figure:
    """By how much does an option differ, such as in the lowest cash of a run?

    Parameters: `today` and `option` (R,), of the same numbers of runs, in `unit`. Result: the mean of the differences, and how sure the runs make it.
    Errors: ValueError where the runs are not as many.

    >>> difference_of("lowest cash", [900.0, 1000.0, 1100.0], [1000.0, 1110.0, 1190.0], "money").value
    100.0
    """
    a, b = np.asarray(today, dtype=float), np.asarray(option, dtype=float)
    if a.shape != b.shape:
        raise ValueError(
            f"{a.size} runs of today and {b.size} of the option were read; pairs need the same runs of both"
        )
    source = Source("computed", f"of the option - of today, the mean over {in_runs(a.size)} on the same luck")
    return from_readings(f"difference / {name}", (b - a).tolist(), unit, source)
