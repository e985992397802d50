"""Visits: what an order is worked on at one step in one go, however many bookings that took."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.watch.log.events import EVENT_KINDS
from pullwright.watch.log.laid import Flags, Floats, Ints, Laid, edges_of, order_within, run_lengths, running_max
from pullwright.watch.log.story.calendar import FoundCalendar, calendar_of

RUN, SETUP, DOWN = (EVENT_KINDS.index(kind) for kind in ("run", "set-up", "down"))
SECOND = 1_000_000.0


@dataclass(frozen=True)
class Shop:
    """A decided log laid out for the chapters: its bookings, its calendar, its visits by order and begin."""

    laid: Laid

    @cached_property
    def calendar(self) -> FoundCalendar:
        """When the shop works."""
        return calendar_of(self.laid)

    @cached_property
    def low(self) -> int:
        """The first moment of the log (microseconds)."""
        return int(self.laid.start.min()) if self.laid.size else 0

    @cached_property
    def high(self) -> int:
        """The last moment of the log (microseconds)."""
        return int(self.laid.end.max()) if self.laid.size else 0

    def worked(self, at: Ints) -> Floats:
        """Working seconds from the first moment of the log to these moments (microseconds, on the wall clock of the log)."""
        origin = np.datetime64(self.low, "us")
        return self.calendar.calendar.between_many(origin, at.astype("datetime64[us]"))

    @cached_property
    def working_seconds(self) -> float:
        """Working seconds of the whole window."""
        return float(self.worked(np.array([self.high], np.int64))[0]) if self.laid.size else 0.0

    @cached_property
    def visits(self) -> Visits:
        """Every visit of an order to a step."""
        return visits_of(self)


@dataclass(frozen=True)
class Visits:
    """Visits by order, then begin; all arrays have one element a visit.

    `case`, `step`, `station` (that of the first booking), `product` are codes of `shop.laid`; `start`, `end` microseconds;
    `run`, `setup`: booked seconds; `pieces`: good, scrapped and held together, nan where the log does not say; `place`: the
    first booking; `begins`: the first visit of each order.
    """

    shop: Shop
    case: NDArray[np.int32]
    step: NDArray[np.int32]
    station: NDArray[np.int32]
    product: NDArray[np.int32]
    start: Ints
    end: Ints
    run: Floats
    setup: Floats
    bookings: Ints
    pieces: Floats
    good: Floats
    scrap: Floats
    held: Floats
    marked: Flags
    place: Ints
    begins: Ints

    @property
    def size(self) -> int:
        """How many visits?"""
        return int(self.step.size)

    @cached_property
    def row(self) -> NDArray[Any]:
        """The source row of each visit's first booking."""
        return self.shop.laid.row[self.place]

    @cached_property
    def is_first(self) -> Flags:
        """First visits of their orders."""
        first = np.zeros(self.size, bool)
        first[self.begins] = True
        return first

    @cached_property
    def arrival(self) -> Ints:
        """When the order could have been begun: when all its earlier visits were done; its own begin where it is the first."""
        if not self.size:
            return self.start
        done = running_max(self.end, self.begins)
        arrival = np.empty_like(self.start)
        arrival[1:] = done[:-1]
        arrival[self.begins] = self.start[self.begins]
        return np.minimum(arrival, self.start)

    @cached_property
    def waiting(self) -> Floats:
        """Seconds of the clock from arrival to begin; nan for first visits."""
        return np.where(self.is_first, np.nan, (self.start - self.arrival) / SECOND)

    @cached_property
    def again(self) -> Flags:
        """Visits to a step where the order had been before, in an earlier visit."""
        pairs = self.case.astype(np.int64) * max(self.shop.laid.step.size, 1) + self.step
        _, first = np.unique(pairs, return_index=True)
        again = np.ones(self.size, bool)
        again[first] = False
        return again

    @cached_property
    def last(self) -> Ints:
        """The last visit of each order (by begin)."""
        return self.begins + run_lengths(self.begins, self.size) - 1


def visits_of(shop: Shop) -> Visits:
    """The visits of a log; breakdowns are no visits, bookings without an order or a step are left out."""
    laid = shop.laid
    some = np.flatnonzero((laid.case.codes >= 0) & (laid.step.codes >= 0) & (laid.kind != DOWN))
    order = some[order_within(laid.case.codes[some], laid.start[some], laid.end[some])]
    case, step = laid.case.codes[order], laid.step.codes[order]
    first = edges_of(case, step)
    seconds = (laid.end[order] - laid.start[order]) / SECOND
    setup = laid.kind[order] == SETUP

    def summed(values: Floats) -> Floats:
        return np.add.reduceat(values, first) if first.size else np.zeros(0)

    good, scrap, held = (laid.pieces(name) for name in ("good", "scrap", "held"))
    zero = np.zeros(order.size)
    made = [summed(np.nan_to_num(one[order]) if one is not None else zero) for one in (good, scrap, held)]
    pieces = made[0] + made[1] + made[2]
    known = good is not None or scrap is not None or held is not None
    cases = case[first] if first.size else np.zeros(0, np.int32)
    return Visits(
        shop=shop,
        case=cases,
        step=step[first],
        station=laid.station.codes[order][first],
        product=laid.product.codes[order][first],
        start=laid.start[order][first],
        end=np.maximum.reduceat(laid.end[order], first) if first.size else np.zeros(0, np.int64),
        run=summed(np.where(setup, 0.0, seconds)),
        setup=summed(np.where(setup, seconds, 0.0)),
        bookings=run_lengths(first, order.size),
        pieces=np.where(pieces > 0, pieces, np.nan) if known else np.full(first.size, np.nan),
        good=made[0],
        scrap=made[1],
        held=made[2],
        marked=np.logical_or.reduceat(laid.rework[order], first) if first.size else np.zeros(0, bool),
        place=order[first],
        begins=edges_of(cases),
    )
