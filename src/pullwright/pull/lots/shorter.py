"""What a shorter set-up buys: interval, lots, stock, floor, waiting and money a year as set-ups take less of their time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.pull.lots.steady import Making, steady_interval, time_in_system

SHARES = (0.75, 0.5, 0.25)
"""The shares of today's set-up time that are looked at."""
SINGLE_MINUTES = 9 * 60.0
"""A set-up in single minutes (s): below ten of them (Shingo 1985, A Revolution in Manufacturing: The SMED System; from memory)."""


@dataclass(frozen=True, slots=True)
class AtSetUps:
    """What comes of set-ups that take some share of their time.

    `interval` (s of the machine's time); `lots` (pieces); `stock` behind the machine because of the lots, per product (pieces); `wait` from wanted to
    done (s); `set_ups`: machine time for them, as a share of one machine's time.
    """

    interval: Any
    lots: list[Any]
    stock: list[Any]
    wait: Any
    set_ups: Any


def at_set_ups(making: Making, share: Any, within: Callable[[Any], Any] | None = None, soonest: Any = None) -> AtSetUps:
    """What comes of it when all set-ups take `share` of their time, and lots are chosen anew so that waiting is shortest?

    `within`: what else is wished of an interval (a longest one; one that the people have time for), as a function from interval to interval (s);
    `soonest`: no interval is shorter (s), with set-ups as they are today; that of all the time that production leaves where nothing is said.
    No lot is smaller than one piece.

    >>> making = Making([0.4], [1.0], [0.0], [5.0], [0.0], lot_cv2=1.0)
    >>> whole, half = at_set_ups(making, 1.0), at_set_ups(making, 0.5)
    >>> round(float(half.interval / whole.interval), 3), round(float(half.wait / whole.wait), 3)
    (0.5, 0.5)
    """
    shorter = making.with_set_ups(share)
    interval = np.maximum(steady_interval(shorter), 0.0 if soonest is None else soonest * share)
    interval = interval if within is None else within(interval)
    # Where no time is left for set-ups, a round never ends.
    ends = np.isfinite(interval)
    lots = [np.maximum(rate * np.where(ends, interval, 1.0), 1.0) for rate in making.rates]
    used = [np.minimum(rate * time, 1.0) for rate, time in zip(making.rates, making.times, strict=True)]
    stock = [np.where(ends, lot / 2 * (1 - part), np.inf) for lot, part in zip(lots, used, strict=True)]
    wait = np.where(ends, time_in_system(shorter, lots, in_rounds=True), np.inf)
    taken = np.where(ends, _taken(shorter, lots), 0.0)
    return AtSetUps(interval, [np.where(ends, lot, np.inf) for lot in lots], stock, wait, taken)


def _taken(making: Making, lots: Sequence[Any]) -> Any:
    return sum(rate / lot * s for rate, lot, s in zip(making.rates, lots, making.set_ups, strict=True))
