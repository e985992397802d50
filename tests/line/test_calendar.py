"""The calendar of a line against its own laws, against a slow twin, and against sums done by hand."""

from __future__ import annotations

import datetime as dt
import doctest
import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pullwright.line.calendar import CalendarError, Hours, Pause, Shift, WorkCalendar

PAGE = Path(__file__).parents[2] / "docs" / "calendar.md"
HOUR = 3600
MONDAY = dt.datetime(2026, 3, 2)
EVERY_DAY = frozenset(range(7))


def at(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text)


def hm(text: str) -> int:
    hours, minutes = text.split(":")
    return int(hours) * HOUR + int(minutes) * 60


def pause(name: str, start: str, end: str, **more) -> Pause:
    return Pause(name, hm(start), hm(end), **more)


def shift(name: str, start: str, end: str, days=range(5), breaks=()) -> Shift:
    return Shift(name, hm(start), hm(end), frozenset(days), tuple(breaks))


EARLY = shift("early", "06:00", "14:00", breaks=[pause("meal", "10:00", "10:30", paid=False)])
LATE = shift(
    "late",
    "14:00",
    "22:00",
    days=range(4),
    breaks=[pause("meal", "18:00", "18:30"), pause("cleaning", "21:40", "22:00", kind="planned stop")],
)
NIGHT = shift(
    "night", "22:00", "06:00", breaks=[pause("tea", "23:50", "00:10"), pause("meal", "02:00", "02:30", paid=False)]
)


# --- days -------------------------------------------------------------------------------------------------------------


def test_a_day_is_present_time_parted_into_work_breaks_and_planned_stops() -> None:
    calendar = WorkCalendar((EARLY, LATE))
    monday = calendar.hours_on(MONDAY.date())
    assert monday == Hours(16 * HOUR, 16 * HOUR - 80 * 60, 16 * HOUR - 30 * 60, 60 * 60, 20 * 60)
    assert monday.present == monday.working + monday.breaks + monday.planned_stops
    assert calendar.working_seconds(MONDAY.date()) == monday.working
    assert calendar.paid_seconds(MONDAY.date()) == monday.paid


def test_the_average_day_is_the_week_divided_by_its_working_days() -> None:
    calendar = WorkCalendar((EARLY, LATE))  # the late shift does not run on Fridays
    early, late = 7.5 * HOUR, 8 * HOUR - 50 * 60
    assert calendar.average_day().working == pytest.approx((5 * early + 4 * late) / 5)
    assert calendar.usual_week().working == 5 * early + 4 * late


def test_a_night_shift_belongs_to_the_day_on_which_it_starts() -> None:
    calendar = WorkCalendar((NIGHT,))
    friday, saturday = dt.date(2026, 3, 6), dt.date(2026, 3, 7)
    assert calendar.working_seconds(friday) == 8 * HOUR - 50 * 60
    assert calendar.working_seconds(saturday) == 0
    assert not calendar.is_working_day(saturday)
    assert calendar.is_working(at("2026-03-07 05:59"))


def test_a_shift_that_ends_when_it_starts_lasts_a_whole_day() -> None:
    assert shift("guard", "07:00", "07:00").length == 24 * HOUR
    assert WorkCalendar((shift("guard", "07:00", "07:00", EVERY_DAY),)).usual_week().working == 7 * 24 * HOUR


def test_a_shift_may_end_at_midnight() -> None:
    calendar = WorkCalendar((shift("evening", "18:00", "24:00"),))
    assert calendar.working_seconds(MONDAY.date()) == 6 * HOUR
    assert WorkCalendar((shift("evening", "18:00", "00:00"),)).working_seconds(MONDAY.date()) == 6 * HOUR


def test_the_night_before_a_day_off_is_worked_to_its_end() -> None:
    off = frozenset({dt.date(2026, 3, 4)})
    calendar = WorkCalendar((NIGHT,), off)
    assert calendar.is_working(at("2026-03-04 05:00"))
    assert not calendar.is_working(at("2026-03-04 23:00"))
    assert not calendar.is_working(at("2026-03-05 05:00"))
    assert calendar.is_working(at("2026-03-05 23:00"))


def test_an_extra_day_has_the_shifts_named_for_it_whatever_its_weekday() -> None:
    saturday, monday = dt.date(2026, 3, 7), dt.date(2026, 3, 9)
    calendar = WorkCalendar(
        (EARLY, LATE), frozenset({monday}), extra_days={saturday: ("early",), monday: ("late",), MONDAY.date(): ()}
    )
    assert calendar.working_seconds(saturday) == 7.5 * HOUR
    assert [shift.name for shift in calendar.shifts_on(monday)] == ["late"]
    assert not calendar.is_working_day(MONDAY.date())
    assert calendar.between(at("2026-03-07"), at("2026-03-08")) == 7.5 * HOUR
    assert calendar.between(at("2026-03-09"), at("2026-03-10")) == 8 * HOUR - 50 * 60
    assert calendar.between(at("2026-03-02"), at("2026-03-03")) == 0


def test_a_shift_may_run_on_extra_days_only() -> None:
    calendar = WorkCalendar(
        (EARLY, shift("stocktaking", "08:00", "12:00", ())), extra_days={dt.date(2026, 3, 7): ("stocktaking",)}
    )
    assert calendar.working_seconds(dt.date(2026, 3, 7)) == 4 * HOUR


# --- years, months, weeks -----------------------------------------------------------------------------------------------


def test_days_off_count_only_where_they_fall_on_working_days() -> None:
    off = frozenset(
        {dt.date(2026, 12, 24), dt.date(2026, 12, 26), dt.date(2027, 1, 1)}
    )  # Thursday, Saturday, next year
    calendar = WorkCalendar((EARLY,), off)
    assert calendar.working_days_per_year(dt.date(2026, 1, 1)) == 261 - 1
    assert calendar.working_days_per_year(dt.date(2026, 7, 1)) == calendar.working_days(
        dt.date(2026, 7, 1), dt.date(2027, 7, 1)
    )
    assert calendar.working_days_per_month(dt.date(2026, 1, 1)) == 260 / 12
    assert calendar.working_days_per_week(dt.date(2026, 1, 1)) == 260 * 7 / 365


def test_a_usual_year_has_no_days_off() -> None:
    calendar = WorkCalendar((EARLY,), frozenset({dt.date(2026, 12, 24)}))
    assert calendar.working_days_per_year() == pytest.approx(5 * 365.2425 / 7)
    assert calendar.working_days_per_month() == pytest.approx(5 * 365.2425 / 84)
    assert calendar.working_days_per_week() == 5


def test_400_years_have_the_usual_years_working_days_on_average() -> None:
    """The Gregorian calendar repeats after 400 years of 146 097 days, which are 20 871 whole weeks."""
    calendar = WorkCalendar((EARLY,))
    assert calendar.working_days(dt.date(2000, 1, 1), dt.date(2400, 1, 1)) / 400 == pytest.approx(
        calendar.working_days_per_year(), rel=1e-12
    )


def test_a_year_from_the_leap_day_ends_before_the_first_of_march() -> None:
    calendar = WorkCalendar((shift("day", "08:00", "16:00", EVERY_DAY),))
    assert calendar.working_days_per_year(dt.date(2028, 2, 29)) == 366
    assert calendar.working_days_per_year(dt.date(2027, 3, 1)) == 366
    assert calendar.working_days_per_year(dt.date(2028, 3, 1)) == 365


def test_hours_of_a_year_are_the_sum_of_its_days() -> None:
    calendar = WorkCalendar((EARLY, LATE), frozenset({dt.date(2026, 12, 24)}))
    first, until = dt.date(2026, 12, 21), dt.date(2026, 12, 28)
    assert calendar.hours_between(first, until).working == calendar.usual_week().working - calendar.working_seconds(
        dt.date(2026, 12, 17)
    )


@pytest.mark.parametrize(("per", "value"), [("wd", 18), ("week", 90), ("month", 390), ("year", 4680)])
def test_a_demand_is_the_same_in_any_period(per: str, value: float) -> None:
    off = frozenset({dt.date(2026, 12, 24)})
    start = dt.date(2026, 1, 1)  # 260 working days in 365 days
    expected = {"wd": 18, "week": 90 / (260 * 7 / 365), "month": 390 * 12 / 260, "year": 4680 / 260}[per]
    assert WorkCalendar((EARLY,), off).per_working_day(value, per, start) == pytest.approx(expected)


def test_a_demand_in_a_year_without_work_or_in_an_unknown_period_is_refused() -> None:
    days = (dt.date(2026, 1, 1) + dt.timedelta(day) for day in range(365))
    calendar = WorkCalendar((EARLY,), frozenset(days))
    with pytest.raises(ValueError, match="year from 2026-01-01 has no working day"):
        calendar.per_working_day(90, "week", dt.date(2026, 1, 1))
    with pytest.raises(ValueError, match="'quarter' is no time of the calendar"):
        calendar.per_working_day(90, "quarter")


def test_spans_in_working_and_calendar_days_come_to_working_time() -> None:
    calendar = WorkCalendar((EARLY, LATE))
    assert calendar.span_seconds(5, "wd") == pytest.approx(calendar.usual_week().working)
    assert calendar.span_seconds(7, "cal d") == pytest.approx(calendar.usual_week().working)
    assert calendar.span_seconds(90, "s") == 90
    with pytest.raises(ValueError, match="'d' is no unit of a span"):
        calendar.span_seconds(1, "d")


# --- what contradicts itself ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shifts", "who", "said"),
    [
        (
            [shift("early", "06:00", "14:00"), shift("late", "13:30", "22:00")],
            "late",
            "shifts early (06:00 to 14:00) and late (13:30 to 22:00) overlap on Monday: "
            "let one end before the other begins",
        ),
        (
            [shift("morning", "05:00", "13:00", {0}), shift("night", "22:00", "06:00", {6})],
            "morning",
            "shifts night (22:00 to 06:00) and morning (05:00 to 13:00) overlap on Monday: "
            "let one end before the other begins",
        ),
        (
            [shift("early", "06:00", "14:00", breaks=[pause("meal", "13:50", "14:10")])],
            "early",
            "break meal (13:50 to 14:10) is not inside shift early (06:00 to 14:00): move it, or change the shift",
        ),
        (
            [shift("early", "06:00", "14:00", breaks=[pause("meal", "05:00", "05:10")])],
            "early",
            "break meal (05:00 to 05:10) is not inside shift early (06:00 to 14:00): move it, or change the shift",
        ),
        (
            [shift("early", "06:00", "14:00", breaks=[pause("meal", "10:30", "10:00")])],
            "early",
            "break meal (10:30 to 10:00) is not inside shift early (06:00 to 14:00): move it, or change the shift",
        ),
        (
            [shift("early", "06:00", "14:00", breaks=[pause("meal", "10:00", "10:00")])],
            "early",
            "break meal (10:00 to 10:00) takes no time: leave it out, or let it end later than it starts",
        ),
        (
            [
                shift(
                    "night",
                    "22:00",
                    "06:00",
                    breaks=[pause("tea", "23:50", "00:10"), pause("talk", "00:05", "00:20", kind="planned stop")],
                )
            ],
            "night",
            "planned stop talk (00:05 to 00:20) overlaps break tea (23:50 to 00:10) in shift night (22:00 to 06:00): "
            "let one end before the other begins",
        ),
        (
            [shift("early", "06:00", "14:00", days=())],
            "calendar",
            "a week has no working time: give at least one shift with a weekday and time outside its pauses",
        ),
        (
            [shift("early", "06:00", "14:00", breaks=[pause("rest", "06:00", "14:00")])],
            "calendar",
            "a week has no working time: give at least one shift with a weekday and time outside its pauses",
        ),
        (
            [],
            "calendar",
            "a week has no working time: give at least one shift with a weekday and time outside its pauses",
        ),
        (
            [shift("early", "06:00", "14:00", days={0, 7})],
            "early",
            "shift early (06:00 to 14:00) has weekday 7 (allowed: 0 for Monday to 6 for Sunday)",
        ),
        (
            [Shift("early", 86_400, 3600)],
            "early",
            "shift early from 86400 s to 3600 s is outside the day (allowed: 00:00 to 24:00, starting before 24:00)",
        ),
        (
            [shift("day", "06:00", "14:00"), shift("day", "14:00", "22:00")],
            "day",
            "two shifts are called day: give each its own name",
        ),
        (
            [Shift("early", hm("06:00"), hm("14:00"), breaks=(Pause("meal", -5, 100),))],
            "early",
            "break meal from -5 s to 100 s is outside the day: clock times go from 00:00 to 24:00",
        ),
    ],
)
def test_a_calendar_that_contradicts_itself_is_refused_with_both_names(
    shifts: list[Shift], who: str, said: str
) -> None:
    with pytest.raises(CalendarError) as caught:
        WorkCalendar(tuple(shifts))
    assert caught.value.faults == [(who, said)]
    assert str(caught.value) == said


def test_all_contradictions_are_told_at_once() -> None:
    early = shift("early", "06:00", "14:00", breaks=[pause("meal", "04:00", "04:30"), pause("tea", "15:00", "15:10")])
    with pytest.raises(CalendarError) as caught:
        WorkCalendar(
            (early, shift("late", "14:00", "22:00", days={9})), extra_days={dt.date(2026, 3, 7): ("early", "nigth")}
        )
    assert [who for who, _ in caught.value.faults] == ["early", "early", "late", "calendar"]
    assert caught.value.faults[-1][1] == "extra day 2026-03-07 names shift nigth (allowed: early, late)"


def test_shifts_may_meet_and_each_overlapping_pair_is_told_once() -> None:
    WorkCalendar((EARLY, LATE, NIGHT))
    long = shift("long", "05:00", "15:00")
    with pytest.raises(CalendarError) as caught:
        WorkCalendar((EARLY, LATE, NIGHT, long))
    told = [message for _, message in caught.value.faults]
    assert len(told) == 3
    for other in ("early", "late", "night"):
        assert sum(f" {other} (" in message for message in told) == 1


def test_a_named_extra_day_may_not_make_shifts_overlap() -> None:
    weekend = shift("weekend", "04:00", "16:00", {6})
    WorkCalendar((EARLY, weekend))
    for named in ({dt.date(2026, 3, 2): ("early", "weekend")}, {dt.date(2026, 3, 8): ("weekend", "early")}):
        with pytest.raises(CalendarError, match="overlap on 2026-03-0"):
            WorkCalendar((EARLY, weekend), extra_days=named)
    with pytest.raises(CalendarError, match=r"night .* and weekend .* overlap on 2026-03-07"):
        WorkCalendar((NIGHT, weekend), extra_days={dt.date(2026, 3, 7): ("weekend",)})
    with pytest.raises(CalendarError, match=r"night .* and early .* overlap on 2026-03-08"):
        WorkCalendar((shift("night", "22:00", "08:00", ()), EARLY), extra_days={dt.date(2026, 3, 8): ("night",)})


# --- moments ------------------------------------------------------------------------------------------------------------


def test_intervals_leave_out_pauses_and_join_shifts_that_meet() -> None:
    calendar = WorkCalendar((EARLY, shift("late", "14:00", "22:00")))
    day = [(f"{begin:%H:%M}", f"{until:%H:%M}") for begin, until in calendar.intervals(MONDAY, at("2026-03-03"))]
    assert day == [("06:00", "10:00"), ("10:30", "22:00")]


def test_intervals_are_cut_at_the_moments_asked_for() -> None:
    calendar = WorkCalendar((EARLY,))
    first, until = at("2026-03-02 07:00"), at("2026-03-02 10:40")
    assert list(calendar.intervals(first, until)) == [
        (first, at("2026-03-02 10:00")),
        (at("2026-03-02 10:30"), until),
    ]
    assert list(calendar.intervals(until, first)) == []


def test_a_stretch_holds_its_first_moment_and_not_its_last() -> None:
    calendar = WorkCalendar((EARLY,))
    assert calendar.is_working(at("2026-03-02 06:00"))
    assert not calendar.is_working(at("2026-03-02 10:00"))
    assert calendar.is_working(at("2026-03-02 10:30"))
    assert calendar.next_working(at("2026-03-02 10:00")) == at("2026-03-02 10:30")
    assert calendar.next_working(at("2026-03-02 09:59:59.999999")) == at("2026-03-02 09:59:59.999999")
    assert calendar.next_working(at("2026-03-06 14:00")) == at("2026-03-09 06:00")


def test_after_stops_at_the_end_of_a_stretch_and_before_at_its_beginning() -> None:
    calendar = WorkCalendar((EARLY,))
    assert calendar.after(at("2026-03-02 09:00"), HOUR) == at("2026-03-02 10:00")
    assert calendar.after(at("2026-03-02 11:30"), -HOUR) == at("2026-03-02 10:30")
    assert calendar.after(at("2026-03-07 12:00"), 0) == at("2026-03-07 12:00")
    assert calendar.after(at("2026-03-07 12:00"), -HOUR) == at("2026-03-06 13:00")


def test_a_closure_of_years_is_crossed() -> None:
    off = frozenset(dt.date(2026, 3, 7) + dt.timedelta(day) for day in range(3000))
    calendar = WorkCalendar((EARLY,), off)
    reopening = dt.datetime.combine(dt.date(2026, 3, 7) + dt.timedelta(3000), dt.time())
    begin = calendar.next_working(at("2026-03-06 14:00"))
    assert reopening <= begin < reopening + dt.timedelta(3)
    assert calendar.after(begin, -HOUR) == at("2026-03-06 13:00")


@pytest.mark.parametrize("moment", [dt.datetime.min, dt.datetime(1900, 2, 28, 5), dt.datetime.max - dt.timedelta(40)])
def test_moments_of_all_years_are_reckoned(moment: dt.datetime) -> None:
    calendar = WorkCalendar((EARLY,), frozenset({dt.date.min, dt.date.max}))
    later = calendar.after(moment, 9 * HOUR)
    assert calendar.between(moment, later) == 9 * HOUR


@pytest.mark.parametrize("seconds", [1e15, -1e15, 1e300, math.nan, math.inf, -math.inf])
def test_working_time_beyond_the_calendar_is_refused(seconds: float) -> None:
    with pytest.raises(ValueError, match="working time"):
        WorkCalendar((EARLY,)).after(MONDAY, seconds)


def test_no_work_is_left_at_the_end_of_the_calendar() -> None:
    with pytest.raises(ValueError, match="leads out of the calendar"):
        WorkCalendar((EARLY,)).next_working(at("9999-12-31 23:00"))


def test_moments_with_a_time_zone_are_refused() -> None:
    with pytest.raises(ValueError, match="has a time zone: give the local time"):
        WorkCalendar((EARLY,)).between(MONDAY.replace(tzinfo=dt.UTC), MONDAY)


def test_between_many_takes_any_resolution_broadcasts_and_keeps_gaps() -> None:
    calendar = WorkCalendar((EARLY,))
    starts = np.array([["2026-03-02T06:00"], ["NaT"]], dtype="datetime64[ns]")
    ends = np.array(["2026-03-02", "2026-03-03"], dtype="datetime64[D]")
    worked = calendar.between_many(starts, ends)
    assert worked.shape == (2, 2)
    assert worked[0].tolist() == [0, 7.5 * HOUR]
    assert np.isnan(worked[1]).all()
    assert np.isnan(calendar.between_many(ends, np.datetime64("NaT"))).all()
    assert calendar.between_many([], []).shape == (0,)
    assert calendar.between_many([MONDAY], [at("2026-03-02 07:00")]).tolist() == [HOUR]


def test_equal_calendars_are_equal_and_serve_as_keys() -> None:
    one, other = (WorkCalendar((EARLY,), frozenset({MONDAY.date()}), {MONDAY.date(): ("early",)}) for _ in range(2))
    one.between(MONDAY, MONDAY)  # what a calendar has worked out does not change what it is
    assert {one: "known"}[other] == "known"


# --- laws ---------------------------------------------------------------------------------------------------------------


@st.composite
def shifts_of_a_day(draw: st.DrawFn) -> list[Shift]:
    """One to three shifts round the clock, minutes apart, each with up to three pauses; some over midnight."""
    edges = draw(st.lists(st.integers(0, 1439), min_size=2, max_size=6, unique=True).map(sorted))
    turn = draw(st.integers(0, 1)) if len(edges) % 2 == 0 else 0
    edges = edges[: len(edges) // 2 * 2]
    ring = edges[turn:] + edges[:turn]
    shifts = []
    for index, (start, end) in enumerate(zip(ring[::2], ring[1::2], strict=True)):
        length = (end - start) % 1440
        cuts = sorted(draw(st.lists(st.integers(0, length), max_size=6, unique=True)))
        breaks = tuple(
            Pause(
                f"pause {number}",
                (start + begin) % 1440 * 60,
                (start + until) % 1440 * 60,
                draw(st.booleans()),
                draw(st.sampled_from(["break", "planned stop"])),
            )
            for number, (begin, until) in enumerate(zip(cuts[::2], cuts[1::2], strict=False))
            if until - begin < 1440
        )
        days = draw(st.frozensets(st.integers(0, 6)))
        shifts.append(Shift(f"shift {index}", start * 60, end * 60, days, breaks))
    return shifts


DATES = st.dates(dt.date(2026, 2, 20), dt.date(2026, 3, 20))
MOMENTS = st.datetimes(dt.datetime(2026, 2, 15), dt.datetime(2026, 3, 25))


@st.composite
def calendars(draw: st.DrawFn) -> WorkCalendar:
    shifts = draw(shifts_of_a_day())
    assume(any(shift.days and shift.hours().working for shift in shifts))
    names = st.lists(st.sampled_from([shift.name for shift in shifts]), unique=True).map(tuple)
    days_off, extra_days = st.frozensets(DATES, max_size=6), st.dictionaries(DATES, names, max_size=4)
    return WorkCalendar(tuple(shifts), draw(days_off), draw(extra_days))


def worked_minute_by_minute(calendar: WorkCalendar, start: dt.datetime, end: dt.datetime) -> int:
    """The slow twin: look at every minute, ask every shift of its day and of the day before, ask every pause."""
    worked = 0
    for minute in range(int((end - start) / dt.timedelta(minutes=1))):
        moment = start + dt.timedelta(minutes=minute)
        worked += 60 * any(
            _inside(shift, moment, moment.date() - dt.timedelta(back))
            for back in (0, 1)
            for shift in calendar.shifts
            if _runs(calendar, shift, moment.date() - dt.timedelta(back))
        )
    return worked


def _runs(calendar: WorkCalendar, shift: Shift, date: dt.date) -> bool:
    if date in calendar.extra_days:
        return shift.name in calendar.extra_days[date]
    return date not in calendar.days_off and date.weekday() in shift.days


def _inside(shift: Shift, moment: dt.datetime, date: dt.date) -> bool:
    into_the_day = round((moment - dt.datetime.combine(date, dt.time())).total_seconds())
    end = shift.end if shift.end > shift.start else shift.end + 86_400
    if not shift.start <= into_the_day < end:
        return False
    on_the_wall = into_the_day % 86_400
    for pause in shift.breaks:
        if pause.start < pause.end and pause.start <= on_the_wall < pause.end:
            return False
        if pause.start > pause.end and not pause.end <= on_the_wall < pause.start:
            return False
    return True


@settings(deadline=None)
@given(calendars(), DATES, st.integers(0, 2 * 1440), st.integers(0, 3 * 1440))
def test_working_time_is_what_a_minute_by_minute_count_finds(
    calendar: WorkCalendar, date: dt.date, first: int, minutes: int
) -> None:
    start = dt.datetime.combine(date, dt.time()) + dt.timedelta(minutes=first)
    end = start + dt.timedelta(minutes=minutes)
    assert calendar.between(start, end) == worked_minute_by_minute(calendar, start, end)


@settings(deadline=None)
@given(calendars(), MOMENTS, MOMENTS, MOMENTS)
def test_working_time_adds_up_in_whatever_order_the_moments_lie(
    calendar: WorkCalendar, a: dt.datetime, b: dt.datetime, c: dt.datetime
) -> None:
    whole, parts = calendar.between(a, c), calendar.between(a, b) + calendar.between(b, c)
    assert parts == pytest.approx(whole, abs=1e-6)
    assert calendar.between(b, a) == -calendar.between(a, b)


@settings(deadline=None)
@given(calendars(), MOMENTS, st.integers(-400 * HOUR, 400 * HOUR), st.integers(0, 999_999))
def test_so_much_is_worked_until_the_moment_after_so_much_work(
    calendar: WorkCalendar, moment: dt.datetime, seconds: int, micro: int
) -> None:
    work = seconds + micro / 1e6
    then = calendar.after(moment, work)
    assert calendar.between(moment, then) == pytest.approx(work, abs=1e-6)


@settings(deadline=None)
@given(calendars(), MOMENTS, st.integers(1, 100 * HOUR))
def test_the_moment_after_some_work_is_the_first_such_moment(
    calendar: WorkCalendar, moment: dt.datetime, work: int
) -> None:
    tick = dt.timedelta(microseconds=1)
    assert calendar.between(moment, calendar.after(moment, work) - tick) < work
    assert calendar.between(calendar.after(moment, -work) + tick, moment) < work


@settings(deadline=None)
@given(calendars(), st.lists(st.tuples(MOMENTS, MOMENTS), max_size=20))
def test_many_pairs_at_once_give_what_each_pair_gives(
    calendar: WorkCalendar, pairs: list[tuple[dt.datetime, dt.datetime]]
) -> None:
    starts, ends = ([pair[side] for pair in pairs] for side in (0, 1))
    assert calendar.between_many(starts, ends).tolist() == [calendar.between(*pair) for pair in pairs]


@settings(deadline=None)
@given(calendars(), MOMENTS, MOMENTS)
def test_intervals_are_the_working_time_in_order_and_apart(
    calendar: WorkCalendar, a: dt.datetime, b: dt.datetime
) -> None:
    start, end = sorted((a, b))
    found = list(calendar.intervals(start, end))
    assert sum((until - begin).total_seconds() for begin, until in found) == pytest.approx(
        calendar.between(start, end), abs=1e-6
    )
    moments = [start, *itertools.chain.from_iterable(found), end]
    assert moments == sorted(moments)
    assert all(before < after for before, after in itertools.pairwise(moments[1:-1]))
    for begin, until in found:
        assert calendar.is_working(begin)
        assert calendar.is_working(until - dt.timedelta(microseconds=1))
        assert until == end or not calendar.is_working(until)


@settings(deadline=None)
@given(calendars(), MOMENTS)
def test_the_next_working_moment_is_working_and_nothing_is_worked_before_it(
    calendar: WorkCalendar, moment: dt.datetime
) -> None:
    begin = calendar.next_working(moment)
    assert begin >= moment
    assert calendar.is_working(begin)
    assert calendar.between(moment, begin) == 0
    assert (begin == moment) == calendar.is_working(moment)


@settings(deadline=None)
@given(shifts_of_a_day(), MOMENTS)
def test_any_seven_days_hold_the_weekly_working_time(shifts: list[Shift], moment: dt.datetime) -> None:
    assume(any(shift.days and shift.hours().working for shift in shifts))
    calendar = WorkCalendar(tuple(shifts))
    week = calendar.between(moment, moment + dt.timedelta(7))
    assert week == calendar.usual_week().working
    assert week == sum(calendar.working_seconds(moment.date() + dt.timedelta(day)) for day in range(7))
    assert week == pytest.approx(calendar.average_day().working * len(calendar.working_weekdays))


@settings(deadline=None)
@given(calendars())
def test_each_day_is_parted_without_rest(calendar: WorkCalendar) -> None:
    for day in range(40):
        hours = calendar.hours_on(dt.date(2026, 2, 18) + dt.timedelta(day))
        assert hours.present == hours.working + hours.breaks + hours.planned_stops
        assert 0 <= hours.working <= hours.present
        assert hours.present - hours.breaks - hours.planned_stops <= hours.paid <= hours.present


def test_the_example_on_the_docs_page_gives_what_it_says() -> None:
    result = doctest.testfile(str(PAGE), module_relative=False)
    assert result.failed == 0
    assert result.attempted >= 8
