"""When the line works: shifts, breaks, planned stops, days off, and the working time between two moments.

The rules, each with a word of its own:

- A *shift* belongs to the day on which it starts. An end at or before its start lies on the next day.
- *Working time* is inside a shift and outside its breaks and planned stops.
- *Paid time* is the shift without its unpaid breaks and stops.
- A *working day* is a day on which a shift with working time starts. On a day off no shift starts; a shift that
  started the evening before runs to its end.
- An *extra day* has exactly the shifts that are named for it, whatever its weekday, also where it is a day off.
- Moments are local clock time without a time zone. Where the clock is changed at night, that night counts as usual.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .worktime import DAY_SECONDS, SECOND, Hours, Pause, PauseKind, Shift, Stretch, WorkClock, shift_faults

__all__ = ["CalendarError", "Hours", "Pause", "PauseKind", "Shift", "WorkCalendar"]

DAYS_PER_YEAR = 365.2425  # mean length of a year of the Gregorian calendar
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_EPOCH = dt.datetime(1970, 1, 1)
_EPOCH_DAY = _EPOCH.toordinal()
_MICROSECOND = dt.timedelta(microseconds=1)


class CalendarError(ValueError):
    """A calendar that contradicts itself. ``faults`` holds (name of the shift or "calendar", message), all at once."""

    def __init__(self, faults: list[tuple[str, str]]) -> None:
        self.faults = faults
        super().__init__("; ".join(message for _, message in faults))


@dataclass(frozen=True)
class WorkCalendar:
    """When a line works; see the head of this file for the rules. Raises CalendarError with every contradiction.

    ``days_off`` are dates on which no shift starts; ``extra_days`` gives single dates the shifts named for them.

    >>> lunch = Pause("lunch", 43_200, 45_000, paid=False)
    >>> cleaning = Pause("cleaning", 57_000, 57_600, kind="planned stop")
    >>> day = Shift("day", 28_800, 57_600, breaks=(lunch, cleaning))
    >>> calendar = WorkCalendar((day,), frozenset({dt.date(2026, 5, 1)}))
    >>> calendar.working_seconds(dt.date(2026, 4, 30)), calendar.working_seconds(dt.date(2026, 5, 1))
    (26400.0, 0.0)
    >>> calendar.between(dt.datetime(2026, 4, 30, 15, 0), dt.datetime(2026, 5, 4, 9, 0))  # 50 minutes and an hour
    6600.0
    >>> calendar.after(dt.datetime(2026, 4, 30, 15, 0), 6600)
    datetime.datetime(2026, 5, 4, 9, 0)
    """

    shifts: tuple[Shift, ...]
    days_off: frozenset[dt.date] = frozenset()
    extra_days: Mapping[dt.date, tuple[str, ...]] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if faults := list(_faults(self)):
            raise CalendarError(faults)

    # --- days -----------------------------------------------------------------------------------------------------

    def shifts_on(self, date: dt.date) -> tuple[Shift, ...]:
        """Which shifts start on this date, in their order?"""
        if date in self.extra_days:
            return self._sorted(shift for shift in self.shifts if shift.name in self.extra_days[date])
        return () if date in self.days_off else self.shifts_of_weekday(date.weekday())

    def shifts_of_weekday(self, day: int) -> tuple[Shift, ...]:
        """Which shifts start on this weekday (0 = Monday) of a usual week, in their order?"""
        return self._sorted(shift for shift in self.shifts if day in shift.days)

    @staticmethod
    def _sorted(shifts: Iterable[Shift]) -> tuple[Shift, ...]:
        return tuple(sorted(shifts, key=lambda shift: shift.start))

    def hours_on(self, date: dt.date) -> Hours:
        """Of how many seconds do the shifts consist that start on this date?"""
        return Hours.total((shift.hours(), 1) for shift in self.shifts_on(date))

    def working_seconds(self, date: dt.date) -> float:
        """Net working seconds of the shifts that start on this date (a night shift counts whole on its first day)."""
        return self.hours_on(date).working

    def paid_seconds(self, date: dt.date) -> float:
        """Paid seconds per person of the shifts that start on this date: present less the unpaid pauses."""
        return self.hours_on(date).paid

    def is_working_day(self, date: dt.date) -> bool:
        """Does a shift with working time start on this date?"""
        if date in self.extra_days:
            return self.working_seconds(date) > 0
        return date not in self.days_off and date.weekday() in self.working_weekdays

    def usual_week(self) -> Hours:
        """Seconds of a week without days off and extra days."""
        return Hours.total((shift.hours(), len(shift.days)) for shift in self.shifts)

    @cached_property
    def working_weekdays(self) -> tuple[int, ...]:
        """The weekdays (0 = Monday) that are working days of a usual week."""
        return tuple(day for day in range(7) if any(shift.hours().working for shift in self.shifts_of_weekday(day)))

    def average_day(self) -> Hours:
        """Seconds of an average working day: the usual week divided by its working days.

        >>> long = Shift("long", 21_600, 54_000, frozenset({0, 1, 2, 3}))
        >>> short = Shift("short", 21_600, 43_200, frozenset({4}))
        >>> WorkCalendar((long, short)).average_day().working / 3600  # 4 days of 9 h and one of 6 h
        8.4
        """
        return Hours.total([(self.usual_week(), 1 / len(self.working_weekdays))])

    def hours_between(self, first: dt.date, until: dt.date) -> Hours:
        """Seconds of all shifts that start from ``first`` to the day before ``until``, off and extra days counted."""
        return Hours.total((self.hours_on(date), 1) for date in _dates(first, until))

    def working_days(self, first: dt.date, until: dt.date) -> int:
        """How many working days lie from ``first`` to the day before ``until``, days off and extra days counted?"""
        return sum(map(self.is_working_day, _dates(first, until)))

    # --- averages -------------------------------------------------------------------------------------------------

    def working_days_per_year(self, start: dt.date | None = None) -> float:
        """How many working days has the year that begins on ``start``, days off counted where they fall?

        Without a date: a usual year, the working days of the week times 365.2425 / 7, no days off.

        >>> off = frozenset({dt.date(2026, 12, 24), dt.date(2026, 12, 26)})  # a Thursday and a Saturday
        >>> WorkCalendar((Shift("day", 32_400, 61_200),), off).working_days_per_year(dt.date(2026, 1, 1))  # of 261
        260.0
        """
        if start is None:
            return len(self.working_weekdays) * DAYS_PER_YEAR / 7
        return float(self.working_days(start, _year_later(start)))

    def working_days_per_month(self, start: dt.date | None = None) -> float:
        """A twelfth of the working days of the year that begins on ``start``."""
        return self.working_days_per_year(start) / 12

    def working_days_per_week(self, start: dt.date | None = None) -> float:
        """Working days of the year that begins on ``start``, divided by its weeks of 7 days."""
        if start is None:
            return float(len(self.working_weekdays))
        return self.working_days_per_year(start) * 7 / (_year_later(start) - start).days

    def per_working_day(self, value: float, per: str, start: dt.date | None = None) -> float:
        """How many in a working day is a demand of ``value`` per "wd", "week", "month" or "year"?

        >>> WorkCalendar((Shift("day", 28_800, 57_600),)).per_working_day(90, "week")
        18.0
        """
        days = {
            "week": self.working_days_per_week,
            "month": self.working_days_per_month,
            "year": self.working_days_per_year,
        }
        if per == "wd":
            return value
        if per not in days:
            raise ValueError(f"{per!r} is no time of the calendar (allowed: wd, week, month, year)")
        there_are = days[per](start)
        if there_are == 0:
            raise ValueError(f"the year from {start} has no working day: take a year in which the line works")
        return value / there_are

    def span_seconds(self, value: float, unit: str) -> float:
        """How much working time is a span of ``value`` "wd", "cal d" or "s" on average, days off left out?

        A working day is an average working day; a calendar day is a seventh of the usual week.

        >>> WorkCalendar((Shift("day", 28_800, 57_600),)).span_seconds(7, "cal d") / 3600  # five days of 8 h
        40.0
        """
        match unit:
            case "wd":
                return value * self.average_day().working
            case "cal d":
                return value * self.usual_week().working / 7
            case "s":
                return value
        raise ValueError(f"{unit!r} is no unit of a span (allowed: wd, cal d, s)")

    # --- moments --------------------------------------------------------------------------------------------------

    @cached_property
    def _clock(self) -> WorkClock:
        def of(shifts: tuple[Shift, ...]) -> tuple[Stretch, ...]:
            pieces = [piece for shift in shifts for piece in shift.stretches()]
            return tuple((begin * SECOND, until * SECOND) for begin, until in pieces)

        special = self.days_off | frozenset(self.extra_days)
        exceptions = {date.toordinal() - _EPOCH_DAY: of(self.shifts_on(date)) for date in special}
        return WorkClock(tuple(of(self.shifts_of_weekday(day)) for day in range(7)), exceptions)

    def between(self, start: dt.datetime, end: dt.datetime) -> float:
        """How many seconds are worked from ``start`` to ``end``? Negative where ``end`` comes first."""
        return (self._clock.reading_at(_micro(end)) - self._clock.reading_at(_micro(start))) / SECOND

    def between_many(self, starts: ArrayLike, ends: ArrayLike) -> NDArray[np.float64]:
        """Working seconds from each start to each end: arrays of datetime64 that broadcast; NaN where one is NaT.

        Moments are taken to the microsecond (finer digits are cut off).

        >>> calendar = WorkCalendar((Shift("day", 28_800, 57_600),))
        >>> starts = np.array(["2026-03-02T15:00", "2026-03-06T15:00", "NaT"], "datetime64[s]")
        >>> calendar.between_many(starts, np.datetime64("2026-03-09T09:00"))
        array([122400.,   7200.,     nan])
        """
        begin, end = (np.asarray(moments, dtype="datetime64[us]") for moments in (starts, ends))
        worked = self._clock.reading(_whole(end)) - self._clock.reading(_whole(begin))
        return np.where(np.isnat(begin) | np.isnat(end), np.nan, worked / SECOND)

    def after(self, moment: dt.datetime, seconds: float) -> dt.datetime:
        """At which moment have so many seconds been worked since ``moment``?

        The first such moment; with negative seconds the last moment before from which so much is worked until
        ``moment``; with 0 ``moment`` itself. Raises ValueError for nan, inf and moments beyond the year 9999.
        """
        if not np.isfinite(seconds):
            raise ValueError(f"{seconds} s of working time cannot be counted (allowed: any finite number)")
        return _moment(self._clock.after(_micro(moment), round(seconds * SECOND)))

    def is_working(self, moment: dt.datetime) -> bool:
        """Is the line working at this moment? Stretches hold their first moment and not their last."""
        micro = _micro(moment)
        return self._clock.reading_at(micro + 1) > self._clock.reading_at(micro)

    def next_working(self, moment: dt.datetime) -> dt.datetime:
        """This moment when the line is working, otherwise the moment at which it next begins."""
        return _moment(self._clock.next_open(_micro(moment)))

    def intervals(self, start: dt.datetime, end: dt.datetime) -> Iterator[tuple[dt.datetime, dt.datetime]]:
        """Working stretches from ``start`` to ``end``, in order; a shift that takes over without a gap makes no cut."""
        for begin, until in self._clock.stretches(_micro(start), _micro(end)):
            yield _moment(begin), _moment(until)


def _dates(first: dt.date, until: dt.date) -> Iterator[dt.date]:
    return map(dt.date.fromordinal, range(first.toordinal(), until.toordinal()))


def _year_later(start: dt.date) -> dt.date:
    # The year that begins on 29 February ends with the next 28 February.
    leap_day = (start.month, start.day) == (2, 29)
    return dt.date(start.year + 1, 3, 1) if leap_day else dt.date(start.year + 1, start.month, start.day)


def _micro(moment: dt.datetime) -> int:
    if moment.tzinfo is not None:
        raise ValueError(f"{moment} has a time zone: give the local time of the factory without one")
    return (moment - _EPOCH) // _MICROSECOND


def _whole(moments: NDArray[np.datetime64]) -> NDArray[np.int64]:
    return np.where(np.isnat(moments), 0, moments.astype(np.int64))


def _moment(micro: int) -> dt.datetime:
    try:
        return _EPOCH + micro * _MICROSECOND
    except OverflowError:
        raise ValueError("so much working time leads out of the calendar (years 1 to 9999)") from None


def _faults(calendar: WorkCalendar) -> Iterator[tuple[str, str]]:
    """Everything that contradicts itself, as (name of the shift or "calendar", message)."""
    inside = [fault for shift in calendar.shifts for fault in shift_faults(shift)]
    yield from inside
    names = [shift.name for shift in calendar.shifts]
    for name in sorted({name for name in names if names.count(name) > 1}):
        yield name, f"two shifts are called {name}: give each its own name"
    for date, named in sorted(calendar.extra_days.items()):
        for name in named:
            if name not in names:
                yield "calendar", f"extra day {date} names shift {name} (allowed: {', '.join(names)})"
    if inside or len(set(names)) < len(names):
        return
    yield from _overlaps(calendar)
    if not calendar.working_weekdays:
        yield (
            "calendar",
            "a week has no working time: give at least one shift with a weekday and time outside its pauses",
        )


def _overlaps(calendar: WorkCalendar) -> Iterator[tuple[str, str]]:
    """Pairs of shifts that run at the same time in a usual week or around an extra day, each pair once."""
    week = [(day, shift) for day in range(7) for shift in calendar.shifts_of_weekday(day)]
    runs = [("", [*week, *((day + 7, shift) for day, shift in week if day == 0)])]
    for date in sorted(calendar.extra_days):
        first = date.toordinal()
        near = [day for day in (first - 1, first, first + 1) if 1 <= day <= dt.date.max.toordinal()]
        runs.append(
            (f" {date}", [(day, shift) for day in near for shift in calendar.shifts_on(dt.date.fromordinal(day))])
        )
    told: set[frozenset[str]] = set()
    for when, run in runs:
        for index, (day, one) in enumerate(run):
            for other_day, other in run[index + 1 :]:
                gap = (other_day - day) * DAY_SECONDS + other.start - one.start
                pair = frozenset({one.name, other.name})
                if gap < one.length and len(pair) == 2 and pair not in told:
                    told.add(pair)
                    where = when or f" {WEEKDAYS[other_day % 7]}"
                    yield other.name, f"shifts {one} and {other} overlap on{where}: let one end before the other begins"
