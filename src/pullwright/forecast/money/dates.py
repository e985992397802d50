"""The working days of a run on the calendar, and when what is owed falls due."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cached_property
from math import ceil

import numpy as np
from numpy.typing import NDArray

from pullwright.line import Line
from pullwright.line.calendar import WorkCalendar

Ints = NDArray[np.int64]
_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Term:
    """After how many days something is paid: working days, or days of the calendar."""

    days: int
    working: bool = False


AT_ONCE = Term(0)


def term_of(value: float, unit: str, day: float) -> Term:
    """A span of `value` "wd", "cal d" or "s" (working time, `day` seconds in a working day) as a term; parts of a day count as a day.

    >>> term_of(30, "cal d", 28_800), term_of(4.5, "wd", 28_800), term_of(57_600, "s", 28_800)
    (Term(days=30, working=False), Term(days=5, working=True), Term(days=2, working=True))
    """
    days = value / day if unit == "s" else value
    return Term(ceil(days - 1e-9), working=unit != "cal d")


@dataclass(frozen=True)
class Horizon:
    """The calendar days from `start` to the last working day of a run of so many working days. Days are numbered from 0, the start.

    >>> from pullwright.line.calendar import Shift
    >>> horizon = Horizon(WorkCalendar((Shift("day", 28_800, 57_600),)), dt.date(2026, 1, 1), 3)  # a Thursday
    >>> horizon.worked.tolist(), horizon.days
    ([0, 1, 4], 5)
    >>> horizon.due(Term(2, working=True)).tolist(), horizon.due(Term(2)).tolist()
    ([4, 5, 6], [2, 3, 6])
    >>> horizon.due_from_before(Term(2, working=True)).tolist(), horizon.due_from_before(Term(2)).tolist()
    ([0, 1], [0, 1])
    """

    calendar: WorkCalendar
    start: dt.date
    working_days: int

    def __post_init__(self) -> None:
        if self.working_days < 1:
            raise ValueError(f"a run of {self.working_days} working days was read; it takes one or more")

    @cached_property
    def worked(self) -> Ints:
        """The day of each working day of the run, shape (D,)."""
        return self._working(self.working_days)

    @property
    def days(self) -> int:
        """How many calendar days there are, C."""
        return int(self.worked[-1]) + 1

    def date(self, day: int) -> dt.date:
        """Which date is this day?"""
        return self.start + dt.timedelta(days=int(day))

    @cached_property
    def dates(self) -> tuple[dt.date, ...]:
        """All dates, C of them."""
        return tuple(self.date(day) for day in range(self.days))

    @cached_property
    def firsts(self) -> Ints:
        """The days that are the first of a month."""
        return np.array([k for k, date in enumerate(self.dates) if date.day == 1], np.int64)

    @cached_property
    def lasts(self) -> Ints:
        """The days that are the last of a month."""
        return np.array([k for k, date in enumerate(self.dates) if (date + _DAY).day == 1], np.int64)

    @cached_property
    def last_worked(self) -> tuple[int, ...]:
        """The last working days of the months, from the one before the start (below 0) to the first one after the horizon."""
        found: list[int] = []
        date = _month_before(self.start)
        while not found or found[-1] < self.days:
            end = last_working_day(self.calendar, date)
            if end is not None:
                found.append((end - self.start).days)
            date = _next_month(date)
        past = [k for k in found if k < 0][-1:]
        return (*past, *(k for k in found if k >= 0))

    def due(self, term: Term) -> Ints:
        """On which day falls due what arises on each working day of the run, shape (D,)? Also beyond the horizon."""
        if not term.working:
            return self.worked + term.days
        return self._working(self.working_days + term.days)[term.days :]

    def due_from_before(self, term: Term) -> Ints:
        """On which days, 0 or later, falls due what arose on the working days before the start, one entry each?"""
        if term.working:
            return self._working(term.days)
        earlier = [day for day in range(-term.days, 0) if self.calendar.is_working_day(self.date(day))]
        return np.array(earlier, np.int64) + term.days

    def _working(self, many: int) -> Ints:
        found: list[int] = []
        day = 0
        while len(found) < many:
            if self.calendar.is_working_day(self.date(day)):
                found.append(day)
            day += 1
        return np.array(found, np.int64)


def last_working_day(calendar: WorkCalendar, month: dt.date) -> dt.date | None:
    """The last working day of the month of this date; None where it has none."""
    date = _next_month(month) - _DAY
    while date.month == month.month:
        if calendar.is_working_day(date):
            return date
        date -= _DAY
    return None


def usual_start(line: Line) -> dt.date:
    """On which date does a run begin where nobody says? The day after stock was counted last, for that is what lies there at its start.

    Without dated counts the first of January of the year of the latest day off, and without those that of 2024, a Monday: the first
    working day from there.
    """
    counted = [count.on for store in line.stores for count in store.counts]
    off = line.calendar.days_off
    date = max(counted) + _DAY if counted else dt.date(max(off).year if off else 2024, 1, 1)
    while not line.work_calendar.is_working_day(date):
        date += _DAY
    return date


def _next_month(date: dt.date) -> dt.date:
    return dt.date(date.year + date.month // 12, date.month % 12 + 1, 1)


def _month_before(date: dt.date) -> dt.date:
    return (date.replace(day=1) - _DAY).replace(day=1)
