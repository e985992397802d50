"""Effective process times: how long a piece really keeps a station, outages, set-ups and rework folded in.

All formulas after Hopp & Spearman, Factory Physics, chapter 8 (from memory; recomputed in the tests). Plain functions of floats or
arrays alike; times in seconds, variances in seconds squared, cv² without a unit.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Value = TypeVar("Value", float, NDArray[np.float64])


def availability(between: Value, repair: Value) -> Value:
    """Which share of the time that a machine should run does it run? Mean time between failures / (that + mean time to repair).

    `between` is running time from repair to failure, `repair` the time to repair, both in seconds.

    >>> availability(744 * 60.0, 248 * 60.0)
    0.75
    """
    return between / (between + repair)


def with_outages(mean: Value, variance: Value, between: Value, repair: Value, repair_cv2: Value) -> tuple[Value, Value]:
    """How long does a piece keep the machine when breakdowns interrupt it (preemptive outages)?

    Takes natural mean (s) and variance (s²), time between failures and to repair (s), squared cv of the repair time.
    Gives effective mean (s) and variance (s²): te = t0 / A; σe² = (σ0 / A)² + (mr² + σr²)(1 - A) t0 / (A mr).

    >>> te, ve = with_outages(15.0, 0.05 * 15.0**2, 744.0, 248.0, 1.0)
    >>> te, round(ve / te**2, 2)
    (20.0, 6.25)
    """
    a = availability(between, repair)
    te = mean / a
    return te, variance / a**2 + repair * (1 + repair_cv2) * (1 - a) * mean / a


def with_set_ups(
    mean: Value, variance: Value, set_up: Value, set_up_variance: Value, lot: Value
) -> tuple[Value, Value]:
    """How long does a piece keep the station when a set-up comes before each lot (non-preemptive outage)?

    The set-up falls on one piece in `lot`: te = t0 + ts / Ns; σe² = σ0² + σs² / Ns + (Ns - 1) / Ns² · ts².

    >>> with_set_ups(60.0, 0.0, 600.0, 0.0, 10.0)
    (120.0, 32400.0)
    """
    return mean + set_up / lot, variance + set_up_variance / lot + (lot - 1) / lot**2 * set_up**2


def of_lots(mean: Value, variance: Value, pieces: Value, set_up: Value, lot: Value) -> tuple[Value, Value]:
    """How long do so many pieces that come together keep the station, set-ups in it?

    Takes the effective mean (s) and variance (s²) of one piece as `with_set_ups` gives them, the `pieces` that come together, the mean
    set-up time (s) and the pieces between two set-ups. Pieces by themselves vary independently, but set-ups come in a row: of k pieces out
    of a lot of N the part k / N - its whole number has one set-up more. T = k te; Var = k σe² + (f (1 - f) - k (N - 1) / N²) ts².

    >>> te, ve = with_set_ups(60.0, 36.0, 600.0, 0.0, 10.0)
    >>> of_lots(te, ve, 10.0, 600.0, 10.0)  # a whole lot has one set-up, and that is certain
    (1200.0, 360.0)
    """
    part = pieces / lot
    part = part - np.floor(part)
    rest = part * (1 - part) - pieces * (lot - 1) / lot**2
    found = np.maximum(pieces * variance + rest * set_up**2, 0.0)
    return pieces * mean, found if isinstance(found, np.ndarray) else float(found)  # type: ignore[return-value]


def with_repairs(mean: Value, variance: Value, share: Value, time: Value, time_variance: Value) -> tuple[Value, Value]:
    """How long does a piece keep the station when a share of them is put right on the spot?

    A piece takes `time` more with probability `share`: te = t0 + p tr; σe² = σ0² + p σr² + p (1 - p) tr².

    >>> with_repairs(60.0, 0.0, 0.25, 400.0, 0.0)
    (160.0, 30000.0)
    """
    return mean + share * time, variance + share * time_variance + share * (1 - share) * time**2


def mixture(shares: list[Value], means: list[Value], variances: list[Value]) -> tuple[Value, Value]:
    """What are mean and variance of the time of a piece picked from a mix? Shares add up to 1.

    E[T] = Σ p m; Var T = Σ p (v + m²) - E[T]² (law of total variance).

    >>> mixture([0.5, 0.5], [10.0, 20.0], [0.0, 0.0])
    (15.0, 25.0)
    """
    mean = sum(p * m for p, m in zip(shares, means, strict=True))
    square = sum(p * (v + m * m) for p, m, v in zip(shares, means, variances, strict=True))
    variance: Value = np.maximum(square - mean * mean, 0.0)
    return mean, variance if isinstance(variance, np.ndarray) else float(variance)  # type: ignore[return-value]
