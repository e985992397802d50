"""Is somebody still learning: Wright's learning curve where early readings fall, beside no learning at all.

Unit form: the n-th cycle takes first x n^slope. Cumulative-average form: the mean of the first n cycles takes first x n^slope.
The rate is what is left when the number of cycles doubles: 2^slope, 0.8 for an "80 % curve". Source: Wright (1936), Journal of the
Aeronautical Sciences 3 (cumulative average); Crawford (1944) (unit), both from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, exp, fsum, inf, isinf, log, log2, sqrt
from typing import Literal

import numpy as np

from pullwright.watch.study.faults import StudyError

Form = Literal["unit", "cumulative average"]
LEAST = 6
LEVEL_BELOW = 0.005
"""A curve is level where one more cycle takes less than this share off (a rule of our own)."""


def unit_time(first: float, rate: float, cycle: int, form: Form = "unit") -> float:
    """How long does the n-th cycle take on this curve? `first` in any unit of time; `rate` such as 0.8.

    >>> round(unit_time(100.0, 0.8, 4), 6), round(unit_time(100.0, 0.8, 2, "cumulative average"), 6)
    (64.0, 60.0)
    """
    if form == "unit":
        return float(first * cycle ** log2(rate))
    whole = first * cycle ** (1 + log2(rate))
    return float(whole - (first * (cycle - 1) ** (1 + log2(rate)) if cycle > 1 else 0.0))


def cumulative_average(first: float, rate: float, cycles: int, form: Form = "unit") -> float:
    """How long do the first n cycles take on average on this curve?

    >>> round(cumulative_average(100.0, 0.8, 2), 6), round(cumulative_average(100.0, 0.8, 2, "cumulative average"), 6)
    (90.0, 80.0)
    """
    if form == "cumulative average":
        return float(first * cycles ** log2(rate))
    return first * fsum(n ** log2(rate) for n in range(1, cycles + 1)) / cycles


@dataclass(frozen=True, slots=True)
class Learning:
    """A learning curve fitted to readings, beside no learning.

    `rate` with its interval at 90 %: what is left of the time when the cycles double; `first`, the time of the first cycle of this
    study, in s; `level_at`, from which cycle on one more cycle takes less than half a per cent off (infinite where the readings do
    not fall), and `level_time` how long it then takes; `gain`, how much better than no learning the curve explains the readings
    (difference in AICc, above 2 for better). Cycles are counted from the start of the study: who had done the work before has a
    flatter curve here.
    """

    form: Form
    readings: int
    rate: float
    rate_low: float
    rate_high: float
    first: float
    level_at: float
    level_time: float
    gain: float

    @property
    def there(self) -> bool:
        """Do the readings fall along a curve, clearly better than they stay level?"""
        return self.gain > 2 and self.rate_high < 1

    @property
    def sentence(self) -> str:
        """In words.

        >>> times = [100.0, 81.0, 69.0, 65.0, 59.0, 57.0, 53.0, 51.5]
        >>> print(learning_of(times).sentence)
        a learning curve of 80 % (79 to 81): the first cycle took 100 s; level from cycle 65 on, at about 26.1 s
        """
        if not self.there:
            return "no learning to be seen"
        rate = f"{self.rate:.0%} ({self.rate_low:.0%} to {self.rate_high:.0%})".replace("% to", " to").replace(
            "%", " %"
        )
        rate = rate.replace(" %)", ")")
        return (
            f"a learning curve of {rate}: the first cycle took {self.first:.3g} s; "
            f"level from cycle {self.level_at:.0f} on, at about {self.level_time:.3g} s"
        )


def learning_of(
    values: Sequence[float], cycles: Sequence[int] | None = None, *, form: Form = "unit", level: float = 0.9
) -> Learning:
    """Which learning curve do these readings follow, and is it there at all?

    Parameters: readings above 0 in the order in which they were taken, three or more; `cycles`, their numbers from 1 on (1, 2, 3 ...
    where nothing is said; the cumulative-average form needs all of them from 1 on); `level` of the interval of the rate.
    Result: least squares on logarithms, beside a constant, by AICc. In the cumulative-average form neighbours share their readings,
    so that its interval is too narrow.
    Errors: `StudyError` for fewer than three readings, readings not above 0, or cycles missing in the cumulative-average form.

    >>> learning = learning_of([100.0, 80.0, 70.21, 64.0, 59.56, 56.17])
    >>> round(learning.rate, 3), round(learning.first)
    (0.8, 100)
    """
    n = len(values)
    order = list(range(1, n + 1)) if cycles is None else list(cycles)
    if n < 3 or min(values) <= 0 or len(order) != n or min(order) < 1 or len(set(order)) < 2:
        raise StudyError(
            f"{n} readings", "show no learning curve", "three or more readings above 0 s, in cycles from 1 on", ""
        )
    if form == "cumulative average":
        if order != list(range(1, n + 1)):
            raise StudyError(
                "cycles with gaps",
                "have no cumulative average",
                "every cycle from 1 on",
                "use the unit form, which needs no cycle before",
            )
        times = np.cumsum(np.asarray(values, dtype=np.float64)) / np.arange(1, n + 1)
    else:
        times = np.asarray(values, dtype=np.float64)
    x, y = np.log(np.asarray(order, dtype=np.float64)), np.log(times)
    wide = float(((x - x.mean()) ** 2).sum())
    slope = float(((x - x.mean()) * (y - y.mean())).sum()) / wide
    start = float(y.mean()) - slope * float(x.mean())
    left = float(((y - start - slope * x) ** 2).sum())
    flat = float(((y - y.mean()) ** 2).sum())
    off = _t(n - 2, level) * sqrt(left / (n - 2) / wide)
    level_at = float(ceil(-slope / LEVEL_BELOW)) if slope < 0 else inf
    first = exp(start)
    return Learning(
        form=form,
        readings=n,
        rate=2**slope,
        rate_low=2 ** (slope - off),
        rate_high=2 ** (slope + off),
        first=first,
        level_at=level_at,
        level_time=first if isinf(level_at) else unit_time(first, 2**slope, int(level_at), form),
        gain=_aicc(flat, n, 2) - _aicc(left, n, 3) if n >= LEAST else 0.0,
    )


def _aicc(squares: float, n: int, known: int) -> float:
    return n * log(max(squares, 1e-300) / n) + 2 * known + 2 * known * (known + 1) / (n - known - 1)


def _t(freedom: int, level: float) -> float:
    from scipy.special import stdtrit

    return float(stdtrit(freedom, (1 + level) / 2))
