"""Names, clock times, weekdays, dates and whole numbers: what is taken, and what it becomes."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pullwright.line import Line
from pullwright.line.edit import set_field
from tests.line_base import BASE


def named(word: str) -> Line:
    """Give a line whose station is called so, as it is typed in YAML."""
    return Line.from_text(
        BASE.replace("{name: bench}", f"{{name: {word}}}").replace("station: bench", f"station: {word}")
    )


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("saw", "saw"), ("no", "no"), ("yes", "yes"), ("on", "on"), ("007", "007"), ("7", "7"), ("3.20", "3.20"), ("3.2", "3.2"), ("1e3", "1e3"),
        ("2026-01-01", "2026-01-01"), ('"06:00"', "06:00"), ('"null"', "null"), ('"true"', "true"), ('"~"', "~"), ('"a: b"', "a: b"), ("'it''s'", "it's"),
        ('"  two   words "', "two words"), ("Lötplatz", "Lötplatz"), ('"no\\u00a0break"', "no break"), ("📦", "📦"), ("-5", "-5"), (".inf", ".inf"), ("x" * 80, "x" * 80),
        ("Lo\u0308tplatz", "Lötplatz"),
    ],
)  # fmt: skip
def test_a_name_is_what_stands_there(typed: str, name: str) -> None:
    assert named(typed).stations[0].name == name


def test_names_that_differ_only_in_how_they_are_typed_are_the_same() -> None:
    text = BASE.replace("{name: bench}", '{name: "Lo\u0308t  platz"}').replace("station: bench", "station: Löt platz")
    assert Line.from_text(text).steps[0].station == "Löt platz"


def test_part_numbers_with_leading_zeros_stay_two_parts() -> None:
    parts = BASE + "parts: [{name: 007, price: 1 EUR}, {name: 7, price: 1 EUR}]\n"
    assert [part.name for part in Line.from_text(parts).parts] == ["007", "7"]


@given(st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=40))
def test_any_visible_name_can_be_set_and_read_again(name: str) -> None:
    if name[0] in "“”„‟«»‘’‚‛" and name[-1] in "“”„‟«»‘’‚‛":
        return
    line = Line.from_text(set_field(set_field(BASE, ("stations", 0, "name"), name), ("steps", 0, "station"), name))
    assert line.steps[0].station == line.stations[0].name


@pytest.mark.parametrize(
    ("typed", "seconds"),
    [('"06:00"', 21_600), ("6:05", 21_900), ("06:05", 21_900), ('" 06:05 "', 21_900), ("00:00", 0), ("23:59", 86_340)],
)
def test_a_clock_time_is_seconds_after_midnight(typed: str, seconds: int) -> None:
    text = BASE.replace(
        'calendar: {shifts: [{name: day, from: "06:00"', f"calendar:\n  shifts:\n    - name: day\n      from: {typed}"
    )
    text = text.replace(', to: "14:00"}]}', '\n      to: "14:00"')
    assert Line.from_text(text).calendar.shifts[0].from_ == seconds


def test_midnight_may_end_a_shift() -> None:
    assert Line.from_text(BASE.replace('"14:00"', '"24:00"')).work_calendar.average_day().present == 18 * 3600


@pytest.mark.parametrize(
    ("typed", "day"), [("mon", 0), ("Monday", 0), ("TUES", 1), ("wednes", 2), ("thu", 3), ("sunday", 6)]
)
def test_a_weekday_may_be_shortened(typed: str, day: int) -> None:
    assert Line.from_text(set_field(BASE, ("calendar", "days"), [typed])).calendar.days == (day,)


@pytest.mark.parametrize("typed", ["2026-12-24", '"2026-12-24"', "' 2026-12-24 '"])
def test_a_date_is_a_date(typed: str) -> None:
    text = BASE.replace("calendar: {", f"calendar: {{days_off: [{typed}], ")
    assert Line.from_text(text).calendar.days_off == (dt.date(2026, 12, 24),)


@pytest.mark.parametrize(
    ("typed", "is_so"),
    [("yes", True), ("no", False), ("Yes", True), ("true", True), ("false", False), ('"true"', True), ("NO", False)],
)
def test_yes_and_no(typed: str, is_so: bool) -> None:
    assert Line.from_text(BASE + f"invented: {typed}\n").invented is is_so


@pytest.mark.parametrize(
    ("typed", "number"),
    [("28", 28), ("28.0", 28), ("10 000", 10_000), ("007", 7), (10_000_000, 10_000_000)],
)
def test_a_whole_number(typed: Any, number: int) -> None:
    assert Line.from_text(set_field(BASE, ("steps", 0, "lot"), typed)).steps[0].lot == number
