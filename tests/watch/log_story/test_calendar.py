"""The calendar found in a log is the one that the log was made with."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl
import pytest

from pullwright.line.calendar import Pause, Shift, WorkCalendar
from pullwright.watch.log.events import Events
from pullwright.watch.log.laid import Laid
from pullwright.watch.log.story.calendar import FoundCalendar, calendar_of
from tests.watch.log_story.floor import MONDAY, busy_floor, events, row, table

H, M = 3600, 60
TEA, LUNCH = Pause("tea", 9 * H, 9 * H + 15 * M), Pause("lunch", 12 * H, 12 * H + 30 * M)
NIGHT_MEAL = Pause("meal", 2 * H, 2 * H + 30 * M)
WEEK = frozenset(range(5))

KNOWN: dict[str, tuple[WorkCalendar, int]] = {
    "one shift with breaks": (WorkCalendar((Shift("day", 6 * H, 14 * H + 30 * M, WEEK, (TEA, LUNCH)),)), 56),
    "two shifts": (WorkCalendar((Shift("two", 6 * H, 22 * H),)), 56),
    "nights alone": (WorkCalendar((Shift("night", 22 * H, 6 * H, WEEK, (NIGHT_MEAL,)),)), 56),
    "round the clock from Monday to Friday": (WorkCalendar((Shift("round", 6 * H, 6 * H),)), 56),
    "short Fridays": (
        WorkCalendar((Shift("day", 7 * H, 16 * H, frozenset(range(4))), Shift("short", 7 * H, 12 * H, frozenset({4})))), 70,
    ),
    "Sunday to Thursday": (WorkCalendar((Shift("day", 7 * H, 16 * H, frozenset({6, 0, 1, 2, 3})),)), 56),
}  # fmt: skip


def found(log: Events) -> FoundCalendar:
    return calendar_of(Laid(log))


@pytest.mark.parametrize("known", KNOWN.values(), ids=list(KNOWN))
def test_shifts_and_breaks_are_found_again(known: tuple[WorkCalendar, int]) -> None:
    calendar, days = known

    made = found(busy_floor(calendar, days=days))

    def told(shifts: tuple[Shift, ...]) -> list[tuple[int, int, list[int]]]:
        return sorted((shift.start, shift.end, sorted(shift.days)) for shift in shifts)

    for ours, theirs in zip(told(made.calendar.shifts), told(calendar.shifts), strict=True):
        assert ours[0] == pytest.approx(theirs[0], abs=900)
        assert ours[1] == pytest.approx(theirs[1], abs=900)
        assert ours[2] == theirs[2]
    pauses = sorted((pause.start, pause.end) for shift in made.calendar.shifts for pause in shift.breaks)
    truly = sorted((pause.start, pause.end) for shift in calendar.shifts for pause in shift.breaks)
    assert pauses == truly
    assert made.outside < 0.01


def test_days_off_and_extra_days_are_found() -> None:
    off, extra = dt.date(2026, 3, 18), dt.date(2026, 3, 28)
    calendar = WorkCalendar((Shift("day", 6 * H, 14 * H),), frozenset({off}), {extra: ("day",)})

    made = found(busy_floor(calendar, days=42))

    assert made.days_off == (off,)
    assert made.extra_days == (extra,)
    assert made.working_days == 30
    assert made.calendar.is_working_day(extra)


def test_a_few_at_odd_hours_change_nothing() -> None:
    calendar = WorkCalendar((Shift("day", 6 * H, 14 * H, WEEK, (LUNCH,)),))
    log = busy_floor(calendar, days=42)
    rng = np.random.default_rng(3)
    odd = np.datetime64(MONDAY, "us") + (rng.uniform(0, 42 * 86_400, 60) * 1e6).astype("timedelta64[us]")
    strays = table({"case": ["X"] * 60, "activity": ["M0"] * 60, "start": odd, "end": odd + np.timedelta64(300, "s")})

    made = found(Events(pl.concat([log.table, strays.table]), "shop.csv", log.has))

    assert [(shift.start, shift.end) for shift in made.calendar.shifts] == [(6 * H, 14 * H)]
    assert [(pause.start, pause.end) for pause in made.calendar.shifts[0].breaks] == [(LUNCH.start, LUNCH.end)]
    assert 0 < made.outside_count <= 120
    assert len(made.rows) == 20


def test_bookings_left_on_over_night_hide_no_night() -> None:
    calendar = WorkCalendar((Shift("day", 6 * H, 14 * H),))
    log = busy_floor(calendar, days=42)
    left_on = log.table.with_columns(
        end=pl.when(pl.col("row") % 6 == 0).then(pl.col("end") + pl.duration(days=1)).otherwise(pl.col("end"))
    )

    made = found(Events(left_on, "shop.csv", log.has))

    assert [(shift.start, shift.end) for shift in made.calendar.shifts] == [(6 * H, 14 * H)]


def test_rounded_moments_give_a_rounded_calendar() -> None:
    log = busy_floor(WorkCalendar((Shift("day", 6 * H, 14 * H),)), days=42)
    by_quarter = log.table.with_columns(pl.col("start", "end").dt.round("15m"))

    made = found(Events(by_quarter, "shop.csv", log.has))

    assert made.slot >= 900
    assert [(shift.start, shift.end) for shift in made.calendar.shifts] == [(6 * H, 14 * H)]


def test_dates_without_times_of_day_show_no_shift_and_say_so() -> None:
    made = found(events(row("A", "saw", 24 * day, 24 * day) for day in range(30)))

    assert made.sure == 0
    assert "midnight" in made.found
    assert "is assumed" in made.found


def test_little_is_called_little() -> None:
    few = found(events(row("A", "saw", 24 * day + 7 + k, 24 * day + 7.5 + k) for day in range(3) for k in range(8)))

    assert few.sure < 0.3
    assert any("working days" in doubt for doubt in few.doubts)


def test_a_log_without_moments_gets_an_assumed_week() -> None:
    made = found(events([{"case": "A", "activity": "saw"}]))

    assert made.sure == 0
    assert made.calendar.working_weekdays == (0, 1, 2, 3, 4)
