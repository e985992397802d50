"""When does the shop work, as its own log shows it: working days, shifts, breaks, days off?"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl

    from pullwright.line.calendar import WorkCalendar


@dataclass(frozen=True, slots=True)
class FoundBreak:
    """A break: seconds after midnight of its start and end, and how busy it is beside the time around it (0 to 1)."""

    start: int
    end: int
    busy: float


@dataclass(frozen=True, slots=True)
class FoundShift:
    """A shift: seconds after midnight, the weekdays (0 = Monday) on which it starts, its breaks, on how many days seen.

    An end at or before the start lies on the next day. `edge` is how far (in seconds) start and end may be off.
    """

    name: str
    start: int
    end: int
    days: tuple[int, ...]
    breaks: tuple[FoundBreak, ...]
    days_seen: int
    edge: int


@dataclass(frozen=True)
class FoundCalendar:
    """The working calendar as the booked moments show it.

    `calendar` is ready for `pullwright.line`; `outside` is the share of booked moments that lie outside it; `sure` says
    from 0 (assumed) to 1 how far it may be trusted, `doubts` why not further. `per_day` has one row a date of the
    window: day, moments (booked starts and ends), worked (true where it counts as a working day). `profile` has one row
    a slot of the week: weekday, second (after midnight), moments, open. `slot` is the width of a slot in seconds.
    `rows` are source rows booked outside the calendar, the first of `outside_count`.
    """

    calendar: WorkCalendar
    first: dt.date
    last: dt.date
    shifts: tuple[FoundShift, ...]
    working_days: int
    days_off: tuple[dt.date, ...]
    extra_days: tuple[dt.date, ...]
    outside: float
    outside_count: int
    sure: float
    doubts: tuple[str, ...]
    slot: int
    per_day: pl.DataFrame
    profile: pl.DataFrame
    rows: tuple[int, ...]
    found: str

    @property
    def day_seconds(self) -> float:
        """Working seconds of an average working day."""
        return self.calendar.average_day().working
