"""Visits: what an order is worked on at one step in one go, however many bookings that took."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.watch.log.events import EVENT_KINDS
from pullwright.watch.log.laid import (
    DAY,
    Flags,
    Floats,
    Ints,
    Laid,
    came_before,
    edges_of,
    is_large,
    run_lengths,
    running_max,
)
from pullwright.watch.log.looked import Looked
from pullwright.watch.log.story.calendar import FoundCalendar
from pullwright.watch.log.worked import WorkedTime

RUN, SETUP, DOWN = (EVENT_KINDS.index(kind) for kind in ("run", "set-up", "down"))
SECOND = 1_000_000.0


@dataclass(frozen=True)
class Shop:
    """A decided log laid out for the chapters: its bookings, its calendar, its visits by order and begin."""

    laid: Laid
    before: Looked | None = None
    """The same log as it was looked at before, where it was."""

    @cached_property
    def looked(self) -> Looked:
        """The log laid out for searches."""
        return self.before or Looked(self.laid)

    @property
    def calendar(self) -> FoundCalendar:
        """When the shop works."""
        return self.looked.calendar

    @cached_property
    def low(self) -> int:
        """The first moment of the log (microseconds)."""
        return int(self.laid.start.min()) if self.laid.size else 0

    @cached_property
    def high(self) -> int:
        """The last moment of the log (microseconds)."""
        return int(self.laid.end.max()) if self.laid.size else 0

    @cached_property
    def clock(self) -> WorkedTime:
        """The working clock, from the first moment of the log on."""
        return WorkedTime(self.calendar.calendar, self.low)

    def worked(self, at: Ints) -> Floats:
        """Working seconds from the first moment of the log to these moments (microseconds, on the wall clock of the log)."""
        return self.clock.until(at) / SECOND

    @cached_property
    def worked_start(self) -> Ints:
        """Working microseconds from the first moment of the log to the begin of each booking."""
        return self.clock.until(self.laid.start)

    @cached_property
    def worked_end(self) -> Ints:
        """The same to the end of each booking."""
        return self.clock.until(self.laid.end)

    @property
    def by_station(self) -> Ints:
        """Bookings with a station, by station, begin and end: their places."""
        return self.laid.by_station

    @property
    def by_person(self) -> Ints:
        """Bookings with a person, by person, begin and end: their places."""
        return self.laid.by_person

    @cached_property
    def working_seconds(self) -> float:
        """Working seconds of the whole window."""
        return float(self.worked(np.array([self.high], np.int64))[0]) if self.laid.size else 0.0

    @cached_property
    def working_days(self) -> Ints:
        """The dates that count as worked, as days since 1970; all dates of the log where the calendar knows none."""
        table = self.calendar.per_day
        worked = table.filter(table["worked"])["day"]
        if worked.len():
            return worked.to_physical().to_numpy().astype(np.int64)
        return np.arange(self.low // DAY, self.high // DAY + 1)

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
        if is_large(self.size):
            from .spans_kernel import latest_before

            return latest_before(self.end, self.start, self.begins)
        done = running_max(self.end, self.begins)
        arrival = np.append(0, done[:-1])
        arrival[self.begins] = self.start[self.begins]
        came: Ints = np.minimum(arrival, self.start)
        return came

    @cached_property
    def worked_start(self) -> Ints:
        """Working microseconds from the first moment of the log to each begin."""
        began: Ints = self.shop.worked_start[self.place]
        return began

    @cached_property
    def worked_end(self) -> Ints:
        """The same to each end."""
        return self.shop.clock.until(self.end)

    @cached_property
    def worked_arrival(self) -> Ints:
        """The same to each arrival."""
        return self.shop.clock.until(self.arrival)

    @cached_property
    def waiting(self) -> Floats:
        """Seconds of the clock from arrival to begin; nan for first visits."""
        return np.where(self.is_first, np.nan, (self.start - self.arrival) / SECOND)

    @cached_property
    def again(self) -> Flags:
        """Visits to a step where the order had been before, in an earlier visit."""
        if is_large(self.size):
            from .spans_kernel import been_there

            return been_there(self.step, self.begins, max(self.shop.laid.step.size, 1))
        return came_before(self.case.astype(np.int64) * max(self.shop.laid.step.size, 1) + self.step)

    @cached_property
    def last(self) -> Ints:
        """The last visit of each order (by begin)."""
        return self.begins + run_lengths(self.begins, self.size) - 1


def visits_of(shop: Shop) -> Visits:
    """The visits of a log; breakdowns are no visits, bookings without an order or a step are left out."""
    laid = shop.laid
    on_way = (laid.step.codes >= 0) & (laid.kind != DOWN)
    order = laid.by_case if on_way.all() else laid.by_case[on_way[laid.by_case]]
    case, step = laid.case.codes[order], laid.step.codes[order]
    first = edges_of(case, step)
    place = order[first]
    bookings = run_lengths(first, order.size)
    end, run, setup = _times(laid, order, first, bookings)
    good, scrap, held = (laid.pieces(name) for name in ("good", "scrap", "held"))
    made = [_summed(one, order, first, bookings) for one in (good, scrap, held)]
    pieces = made[0] + made[1] + made[2]
    known = good is not None or scrap is not None or held is not None
    cases = case[first] if first.size else np.zeros(0, np.int32)
    return Visits(
        shop=shop,
        case=cases,
        step=step[first],
        station=laid.station.codes[place],
        product=laid.product.codes[place],
        start=laid.start[place],
        end=end,
        run=run,
        setup=setup,
        bookings=bookings,
        pieces=np.where(pieces > 0, pieces, np.nan) if known else np.full(first.size, np.nan),
        good=made[0],
        scrap=made[1],
        held=made[2],
        marked=np.logical_or.reduceat(laid.rework[order], first) if laid.rework.any() else np.zeros(first.size, bool),
        place=place,
        begins=edges_of(cases),
    )


FEW_BOOKINGS = 8
"""Sums of so many are added up one by one, in whatever way; longer ones are not, and then compiled loops would round otherwise."""


def _times(laid: Laid, order: Ints, first: Ints, bookings: Ints) -> tuple[Ints, Floats, Floats]:
    """The end of each visit, and its seconds of work and of set-up."""
    if not first.size:
        return np.zeros(0, np.int64), np.zeros(0), np.zeros(0)
    is_setup = laid.kind == SETUP
    if is_large(order.size) and bookings.max() <= FEW_BOOKINGS:
        from .spans_kernel import visit_times

        return visit_times(order, first, laid.start, laid.end, is_setup)
    ends, is_setup = laid.end[order], is_setup[order]
    seconds = (ends - laid.start[order]) / SECOND
    run, setup = (np.add.reduceat(np.where(some, seconds, 0.0), first) for some in (~is_setup, is_setup))
    return np.maximum.reduceat(ends, first), run, setup


def _summed(values: Floats | None, order: Ints, first: Ints, bookings: Ints) -> Floats:
    """Of each visit the sum over its bookings; 0 where the log says nothing."""
    if values is None or not first.size:
        return np.zeros(first.size)
    if is_large(order.size) and bookings.max() <= FEW_BOOKINGS:
        from .spans_kernel import visit_sums

        return visit_sums(order, first, values)
    return np.add.reduceat(np.nan_to_num(values[order]), first)
