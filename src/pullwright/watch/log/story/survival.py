"""Percentiles of times of which some are not over yet: Kaplan-Meier, with intervals; order statistics where all are over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.watch.log.laid import Flags, Floats
from pullwright.watch.log.story.measured import MOST_ROWS, Measured

Z = 1.6448536269514722


def percentiles(
    times: Floats, over: Flags, shares: Sequence[float], rows: NDArray[Any]
) -> tuple[tuple[float, Measured], ...]:
    """Within which time are these shares through, as well as the log tells?

    Parameters: `times`, `over` (False: still going on after that time) and source `rows`, shape (n,). Result: for each share a
    time with a 90 % interval. All over: order statistics, the interval by the binomial law (David & Nagaraja 2003, 7.1). Some
    still going on: Kaplan & Meier (1958), the interval by inverting log(-log) bands with Greenwood's variance (Brookmeyer &
    Crowley 1982; Klein & Moeschberger 2003, 4.5). nan where the share is not reached.

    >>> (share, time), = percentiles(np.arange(1.0, 101.0), np.ones(100, bool), [0.5], np.arange(100))
    >>> share, time.value, (time.low, time.high)
    (0.5, 50.0, (42.0, 59.0))
    """
    order = np.lexsort((~over, times))
    times, over, rows = times[order], over[order], rows[order]
    named = tuple(rows[:MOST_ROWS].tolist())
    if times.size == 0:
        return tuple((share, Measured(float("nan"), float("nan"), float("nan"), 0)) for share in shares)
    found = [_ordered(times, share) if over.all() else _estimated(times, over, share) for share in shares]
    return tuple((share, Measured(*one, int(over.sum()), named)) for share, one in zip(shares, found, strict=True))


def _ordered(times: Floats, share: float) -> tuple[float, float, float]:
    size = times.size
    value = float(times[max(int(np.ceil(share * size)) - 1, 0)])
    low, high = _enough(0.05, size, share), _enough(0.95, size, share) + 1
    if low < 1 or high > size:
        return (
            value,
            float(times[max(low, 1) - 1]) if low >= 1 else float("nan"),
            float(times[high - 1]) if high <= size else float("nan"),
        )
    return value, float(times[low - 1]), float(times[high - 1])


def _enough(level: float, size: int, share: float) -> int:
    """The fewest of `size` of which at most so many happen with this probability, each with the chance `share` (binomial law).

    >>> _enough(0.05, 100, 0.5), _enough(0.95, 100, 0.5)
    (42, 58)
    """
    from scipy.special import bdtr, bdtrik

    most = int(np.ceil(bdtrik(level, size, share)))
    fewer = max(most - 1, 0)
    return fewer if bdtr(fewer, size, share) >= level else most


def survival(times: Floats, over: Flags) -> tuple[Floats, Floats, Floats]:
    """Kaplan-Meier: the distinct times, the share still going on after each, and Greenwood's sum. `times` sorted.

    >>> at, left, _ = survival(np.array([1.0, 2.0, 2.0, 3.0]), np.array([True, True, False, True]))
    >>> left.tolist()
    [0.75, 0.5, 0.0]
    """
    at, first = np.unique(times, return_index=True)
    at_risk = times.size - first
    ended = np.add.reduceat(over.astype(float), first)
    with np.errstate(divide="ignore", invalid="ignore"):
        left = np.cumprod(1 - ended / at_risk)
        greenwood = np.cumsum(np.where(at_risk > ended, ended / (at_risk * (at_risk - ended)), np.inf * (ended > 0)))
    return at, left, np.nan_to_num(greenwood, nan=0.0, posinf=np.inf)


def _estimated(times: Floats, over: Flags, share: float) -> tuple[float, float, float]:
    at, left, greenwood = survival(times, over)
    with np.errstate(divide="ignore", invalid="ignore"):
        logs = np.log(np.clip(left, 1e-300, 1.0))
        width = np.exp(Z * np.sqrt(greenwood) / np.abs(logs))
        upper, lower = left ** (1 / width), left**width
    upper, lower = np.where(left >= 1, 1.0, upper), np.where((left >= 1) | np.isnan(lower), left, lower)
    return tuple(_reached(at, curve, 1 - share) for curve in (left, lower, np.where(np.isnan(upper), 1.0, upper)))  # type: ignore[return-value]


def _reached(at: Floats, curve: Floats, level: float) -> float:
    below = np.flatnonzero(curve <= level + 1e-12)
    return float(at[below[0]]) if below.size else float("nan")
