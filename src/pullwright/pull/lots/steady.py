"""Lots that keep waiting short: small lots wait for one another's set-ups, large ones for one another's pieces; between them is a best one.

The queue is that of the VUT equation with set-ups folded in (Hopp & Spearman, Factory Physics, chapters 8 and 9; Karmarkar 1987, Lot Sizes, Lead
Times and In-Process Inventories; from memory). Plain functions of floats or arrays alike; times in seconds of the machine's working time, `rates` in
pieces per second of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pullwright.flow.effective import mixture
from pullwright.flow.queueing import merged_cv2, waiting_time


@dataclass(frozen=True, slots=True)
class Making:
    """What is made at a station in lots, product by product.

    `rates`: pieces/s; `times` and `variances` of a piece (s, s²), breakdowns and putting right folded in; `set_ups` and `set_up_variances` before a lot
    (s, s²); `machines` side by side. `piece_cv2`: squared cv of the time between two pieces that are wanted; a lot is wanted after so many of them, so
    that lots of Q come with cv² / Q. `lot_cv2`, where given: squared cv of the time between two lots of a product, whatever their size.
    """

    rates: Sequence[Any]
    times: Sequence[Any]
    variances: Sequence[Any]
    set_ups: Sequence[Any]
    set_up_variances: Sequence[Any]
    machines: Any = 1.0
    piece_cv2: Sequence[Any] = ()
    lot_cv2: Any = None

    @property
    def work(self) -> Any:
        """How many machines do the pieces keep busy, set-ups not counted?"""
        return sum(rate * time for rate, time in zip(self.rates, self.times, strict=True))

    @property
    def soonest(self) -> Any:
        """In which interval (s) do set-ups take all the time that production leaves? Without end where it leaves none."""
        left = np.asarray(self.machines - self.work)
        some = left > 0
        return np.where(some, sum(self.set_ups) / np.where(some, left, 1.0), np.inf)

    def with_set_ups(self, share: Any) -> Making:
        """The same with set-ups that take this share of their time."""
        return replace(
            self,
            set_ups=[one * share for one in self.set_ups],
            set_up_variances=[one * share**2 for one in self.set_up_variances],
        )


def load_of_lots(making: Making, lots: Sequence[Any]) -> Any:
    """Which share of the machines' time do pieces and set-ups take, in these lots (pieces)?

    >>> one = Making([0.4], [1.0], [0.0], [5.0], [0.0])
    >>> round(float(load_of_lots(one, [10.0])), 6)
    0.6
    """
    return sum(r / q * (s + q * t) for r, q, s, t in zip(making.rates, lots, making.set_ups, making.times, strict=True)) / making.machines  # fmt: skip


def time_in_queue(making: Making, lots: Sequence[Any], *, in_rounds: bool = False) -> Any:
    """How long does a lot wait from when it is wanted until its set-up begins (s)? Without end from a load of 1 on.

    `in_rounds`: the products take turns in a fixed order, so that it is no surprise that a lot of one takes longer than a lot of another, and nothing
    waits for that; else they come as they come, and the differences between them count as variation (law of total variance).
    """
    wanted = [rate / lot for rate, lot in zip(making.rates, lots, strict=True)]
    each = [s + q * t for s, q, t in zip(making.set_ups, lots, making.times, strict=True)]
    varies = [s + q * v for s, q, v in zip(making.set_up_variances, lots, making.variances, strict=True)]
    total = np.maximum(sum(wanted), 1e-300)
    shares = [one / total for one in wanted]
    mean, variance = mixture(shares, each, varies)
    if in_rounds:
        variance = sum(share * one for share, one in zip(shares, varies, strict=True))
    cv2s = [making.lot_cv2] * len(lots)
    if making.lot_cv2 is None:
        cv2s = [one / lot for one, lot in zip(making.piece_cv2, lots, strict=True)]
    ce2 = variance / np.maximum(mean, 1e-300) ** 2
    return waiting_time(merged_cv2(wanted, cv2s), ce2, load_of_lots(making, lots), mean, making.machines)


def time_in_system(making: Making, lots: Sequence[Any], *, in_rounds: bool = False) -> Any:
    """How long is a piece under way at the station, from when its lot is wanted until the whole lot is done (s)? The mean over all pieces.

    One product, Hopp & Spearman, ch. 9: a lot of Q keeps the machine for s + Q t.

    >>> one = Making([0.4], [1.0], [0.25], [5.0], [6.25], lot_cv2=1.0)
    >>> round(float(time_in_system(one, [8.0])), 2)
    25.66
    """
    pieces = np.maximum(sum(making.rates), 1e-300)
    each = [s + q * t for s, q, t in zip(making.set_ups, lots, making.times, strict=True)]
    done = sum(rate * one for rate, one in zip(making.rates, each, strict=True)) / pieces
    return time_in_queue(making, lots, in_rounds=in_rounds) + done


def time_at_interval(making: Making, interval: Any) -> Any:
    """The same when the products take turns and every one is made once in `interval` (s of working time)."""
    return _Round.of(making).time(interval)


@dataclass(frozen=True, slots=True)
class _Round:
    """What the time of a round depends on, added up over its products once: many intervals are tried."""

    products: int
    set_ups: Any
    work: Any
    set_up_variance: Any
    work_variance: Any
    cv2: Any
    """Squared cv of what comes, at an interval of 1 s: it falls as the interval grows, unless that of lots was given."""
    by_lots: bool
    set_up_of_a_piece: Any
    lot_of_a_piece: Any
    machines: Any
    single: bool

    @classmethod
    def of(cls, making: Making) -> _Round:
        rates, count = making.rates, len(making.rates)
        pieces = np.maximum(sum(rates), 1e-300)
        by_lots = making.lot_cv2 is not None
        cv2 = making.lot_cv2
        if not by_lots:
            cv2 = sum(c / np.maximum(r, 1e-300) for c, r in zip(making.piece_cv2, rates, strict=True)) / count
        return cls(
            count, sum(making.set_ups), making.work, sum(making.set_up_variances),
            sum(r * v for r, v in zip(rates, making.variances, strict=True)), cv2, by_lots,
            sum(r * s for r, s in zip(rates, making.set_ups, strict=True)) / pieces,
            sum(r * r * t for r, t in zip(rates, making.times, strict=True)) / pieces, making.machines,
            bool(np.all(np.asarray(making.machines) == 1)),
        )  # fmt: skip

    def time(self, interval: Any) -> Any:
        whole = np.maximum(self.set_ups + self.work * interval, 1e-300)
        if self.single:
            # The VUT equation of one machine, multiplied out: without a power, many times as quick.
            free = interval - whole
            comes = self.cv2 if self.by_lots else self.cv2 / interval
            top = comes * whole * whole / self.products + self.set_up_variance + self.work_variance * interval
            queue = np.where(free > 0, top / (2 * np.where(free > 0, free, 1.0)), np.inf)
            return queue + self.set_up_of_a_piece + self.lot_of_a_piece * interval
        mean = whole / self.products
        ce2 = (self.set_up_variance + self.work_variance * interval) * self.products / whole**2
        ca2 = self.cv2 if self.by_lots else self.cv2 / interval
        queue = waiting_time(ca2, ce2, whole / interval / self.machines, mean, self.machines)
        return queue + self.set_up_of_a_piece + self.lot_of_a_piece * interval

    def best_above(self, soonest: Any) -> Any:
        """Of one machine: by which share of the soonest interval (s) is the best one longer?

        With y that share, what waits is top(T) / (2 set-ups y), T = soonest (1 + y). Lots that come as unevenly as ever make the top a parabola, so
        that y is a root. Else the top is a / (1 + y) + d + e y, and y² = (a (1 + 2 y) / (1 + y)² + d) / k: the right side falls slower than half
        as fast as the left one rises, so that Newton's steps home in from anywhere.
        """
        set_ups = np.maximum(self.set_ups, 1e-300)
        comes, scale = self.cv2 / self.products, 2 * set_ups * np.maximum(self.lot_of_a_piece * soonest, 1e-300)
        spread = self.set_up_variance + self.work_variance * soonest
        if self.by_lots:
            worked = self.work * soonest
            return np.sqrt((comes * (self.set_ups + worked) ** 2 + spread) / (comes * worked**2 + scale))
        a = comes * self.set_ups**2 / soonest / scale
        d = (comes * self.work * (2 * self.set_ups + self.work * soonest) + spread) / scale
        y = np.clip(np.sqrt(a + d), 1e-9, 1e9)
        for _ in range(_NEWTON):
            right = np.sqrt(a * (1 + 2 * y) / (1 + y) ** 2 + d)
            falls = -a * y / (1 + y) ** 3 / np.maximum(right, 1e-300)
            y = np.clip(y - (y - right) / (1 - falls), 1e-9, 1e9)
        return y


_NEWTON = 8
"""So many steps: each doubles the digits, from the first one on."""


def steady_interval(making: Making) -> Any:
    """In which interval (s of working time), the same for all products, is a piece under way for the shortest time?

    The least of `time_at_interval`, which is without end at the soonest interval and rises with the lots: of one machine by its equation; of several
    the decades above the soonest one are looked through, and the best place is narrowed down by golden sections to the fourth digit. 0 where set-ups take
    no time, without end where no time is left.
    """
    soonest = np.asarray(making.soonest, dtype=np.float64)
    fits = np.isfinite(soonest) & (soonest > 0)
    base = np.where(fits, soonest, 1.0)
    around = _Round.of(making)

    def at(power: Any) -> Any:
        return around.time(base * (1 + 10.0**power))

    if around.single:
        share = np.clip(around.best_above(base), 1e-4, 1e4)
    else:
        share = 10.0 ** _lowest(at, np.linspace(-4.0, 4.0, 17), base.shape)
    found = base * (1 + share)
    return np.where(fits, found, soonest)


def longer_interval(making: Making, interval: float, share: float) -> float:
    """How long may the interval become (s) until a piece is under way longer by this share? Plain numbers; `interval` from the steady one on.

    About the shortest waiting the curve is flat: a little longer waiting saves many set-ups.

    >>> making = Making([0.4], [1.0], [0.0], [5.0], [0.0], lot_cv2=1.0)
    >>> steady = float(steady_interval(making))
    >>> round(longer_interval(making, steady, 0.1) / steady, 2)
    1.52
    """
    around = _Round.of(making)
    most = float(around.time(interval)) * (1 + share)
    if not 0 < interval < np.inf or not np.isfinite(most):
        return interval
    low, high = interval, 2 * interval
    while float(around.time(high)) < most:
        low, high = high, 2 * high
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if float(around.time(middle)) < most else (low, middle)
    return low


def best_load(production: Any) -> Any:
    """To which share is a machine filled by the lot that keeps waiting shortest, when production alone fills it to `production`? About its root.

    Hopp & Spearman, Factory Physics, ch. 9 (from memory), for one product whose lots come and take as unevenly as ever.

    >>> round(float(best_load(0.4)), 4)
    0.6325
    """
    return np.sqrt(production)


def _lowest(function: Callable[[Any], Any], places: Any, shape: tuple[int, ...]) -> Any:
    """Where is a function lowest, number by number? Looked through at `places`, then golden sections about the best one."""
    values = function(places.reshape(-1, *(1 for _ in shape)))
    best = values.argmin(axis=0)
    low, high = places[np.maximum(best - 1, 0)], places[np.minimum(best + 1, len(places) - 1)]
    part = (np.sqrt(5.0) - 1) / 2
    left, right = high - part * (high - low), low + part * (high - low)
    at_left, at_right = function(left), function(right)
    for _ in range(22):
        goes = at_left < at_right
        low, high = np.where(goes, low, left), np.where(goes, right, high)
        new = np.where(goes, high - part * (high - low), low + part * (high - low))
        at_new = function(new)
        left, right, at_left, at_right = (
            np.where(goes, new, right),
            np.where(goes, left, new),
            np.where(goes, at_new, at_right),
            np.where(goes, at_left, at_new),
        )
    return (low + high) / 2
