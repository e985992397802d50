"""Working days of a run on the calendar, and when what is owed falls due."""

from __future__ import annotations

import datetime as dt

import pytest

from pullwright.forecast.money.dates import Horizon, Term, last_working_day, term_of, usual_start
from pullwright.line import Line
from pullwright.line.calendar import Shift, WorkCalendar
from tests.forecast.money.books import line_text

DAY = Shift("day", 21_600, 50_400)
MONDAY = dt.date(2026, 3, 2)


def test_working_days_skip_weekends_days_off_and_keep_extra_days():
    calendar = WorkCalendar((DAY,), frozenset({dt.date(2026, 3, 4)}), {dt.date(2026, 3, 7): ("day",)})

    assert Horizon(calendar, MONDAY, 6).worked.tolist() == [0, 1, 3, 4, 5, 7]


def test_a_start_on_a_day_without_work_waits_for_the_first_working_day():
    horizon = Horizon(WorkCalendar((DAY,)), dt.date(2026, 2, 28), 1)  # a Saturday

    assert horizon.worked.tolist() == [2]
    assert horizon.days == 3


def test_a_term_in_working_days_runs_over_the_weekend_and_one_in_calendar_days_ends_on_it():
    horizon = Horizon(WorkCalendar((DAY,)), MONDAY, 5)

    assert horizon.due(Term(1, working=True)).tolist() == [1, 2, 3, 4, 7]
    assert horizon.due(Term(1)).tolist() == [1, 2, 3, 4, 5]


def test_what_arose_before_the_start_falls_due_as_long_as_the_term_is():
    horizon = Horizon(WorkCalendar((DAY,)), MONDAY, 10)

    assert horizon.due_from_before(Term(3, working=True)).tolist() == [0, 1, 2]
    # The last four calendar days were Thursday and Friday, and a weekend.
    assert horizon.due_from_before(Term(4)).tolist() == [0, 1]
    assert horizon.due_from_before(Term(0)).size == 0


def test_no_two_working_days_fall_due_on_one_day():
    calendar = WorkCalendar((DAY,), frozenset({dt.date(2026, 3, 10)}), {dt.date(2026, 3, 15): ("day",)})
    horizon = Horizon(calendar, MONDAY, 40)

    for term in (Term(0), Term(45), Term(7, working=True)):
        due = horizon.due(term).tolist()
        assert sorted(set(due)) == due


@pytest.mark.parametrize(
    ("value", "unit", "term"),
    [
        (30, "cal d", Term(30)),
        (2.2, "wd", Term(3, working=True)),
        (2.0, "wd", Term(2, working=True)),
        (0, "wd", Term(0, working=True)),
        (43_200, "s", Term(2, working=True)),
    ],
)
def test_parts_of_a_day_count_as_a_day(value: float, unit: str, term: Term):
    assert term_of(value, unit, 28_800) == term


def test_first_and_last_days_of_months():
    horizon = Horizon(WorkCalendar((DAY,)), dt.date(2026, 1, 30), 23)  # to Tuesday, 3 March

    assert [horizon.date(day).isoformat() for day in horizon.firsts] == ["2026-02-01", "2026-03-01"]
    assert [horizon.date(day).isoformat() for day in horizon.lasts] == ["2026-01-31", "2026-02-28"]


def test_the_last_working_days_of_months_go_from_before_the_start_to_after_the_end():
    horizon = Horizon(WorkCalendar((DAY,)), dt.date(2026, 2, 3), 30)

    found = [horizon.date(day).isoformat() for day in horizon.last_worked]

    assert found == ["2026-01-30", "2026-02-27", "2026-03-31"]


def test_a_month_without_work_has_no_last_working_day():
    off = frozenset(dt.date(2026, 8, day) for day in range(1, 32))

    assert last_working_day(WorkCalendar((DAY,), off), dt.date(2026, 8, 12)) is None
    assert last_working_day(WorkCalendar((DAY,)), dt.date(2026, 8, 12)) == dt.date(2026, 8, 31)


def test_a_run_begins_after_the_last_count():
    counts = "stores: [{after: bend, counts: [{on: 2026-03-05, pieces: 3}, {on: 2026-03-06, pieces: 4}]}]"

    assert usual_start(Line.from_text(line_text(more=counts))) == dt.date(2026, 3, 9)


def test_without_counts_a_run_begins_with_the_year_of_the_days_off_and_without_those_on_a_monday():
    off = line_text(calendar="days_off: [2026-01-01], shifts: [{name: day, from: '06:00', to: '14:00'}]")

    assert usual_start(Line.from_text(off)) == dt.date(2026, 1, 2)
    assert usual_start(Line.from_text(line_text())) == dt.date(2024, 1, 1)


def test_a_run_of_no_days_is_refused():
    with pytest.raises(ValueError, match="a run of 0 working days was read; it takes one or more"):
        Horizon(WorkCalendar((DAY,)), MONDAY, 0)
