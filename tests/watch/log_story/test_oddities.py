"""Each kind of oddity is found, counted with its rows, and left to a person to decide."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from pullwright.line.calendar import Shift, WorkCalendar
from pullwright.watch.log.decide import decide
from pullwright.watch.log.events import Events, Oddity
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.oddities import BY_KEY, CHOICES, ODDITIES, oddities
from pullwright.watch.log.spellings import spellings
from pullwright.watch.log.story import story
from tests.watch.log_story.floor import MONDAY, busy_floor, events, row


def odd(rows: list[dict[str, Any]] | Events) -> dict[str, Oddity]:
    log = rows if isinstance(rows, Events) else events(rows)
    return {one.key: one for one in oddities(log)}


PLAIN = [row(f"A{k}", step, 8 + k + at, 8.4 + k + at) for k in range(6) for at, step in ((0, "saw"), (0.5, "mill"))]


def test_a_clean_log_has_nothing_odd() -> None:
    assert odd(PLAIN) == {}


# What is put into a clean log, the key under which it is found, and the rows (the clean log fills rows 2 to 13).
CASES: dict[str, tuple[list[dict[str, Any]], str, tuple[int, ...]]] = {
    "the same row again": ([PLAIN[0]], "duplicates", (14,)),
    "the same row but for its pieces": ([{**PLAIN[0], "good": 4.0}], "nearly duplicates", (14,)),
    "ends before it begins": ([row("B", "saw", 30, 29)], "negative span", (14,)),
    "takes no time": ([row("B", "saw", 30, 30)], "zero span", (14,)),
    "no start": ([row("B", "saw", None, 30)], "no start", (14,)),  # type: ignore[arg-type]
    "no end": ([row("B", "saw", 30, None)], "no end", (14,)),  # type: ignore[arg-type]
    "no time at all": ([row("B", "saw", None, None)], "no time", (14,)),  # type: ignore[arg-type]
    "another span than the moments": ([row("B", "saw", 30, 31, span=1800.0)], "span differs", (14,)),
    "two at one station": ([row("B", "saw", 30, 32), row("C", "saw", 31, 33)], "station in two places", (15,)),
    "one person at two stations": ([row("B", "saw", 30, 32, person="p"), row("C", "mill", 31, 33, person="p")], "person in two places", (15,)),
    "another spelling": ([row("B", "Saw ", 30, 31)], "spellings", (14,)),
    "more than was ordered": ([row("B", "saw", 30, 31, asked=10.0, good=11.0)], "more than ordered", (14,)),
    "more than the step before gave": ([row("B", "saw", 30, 31, good=5.0), row("B", "mill", 31, 32, good=6.0)], "more than before", (15,)),
    "done again without a first time": ([row("B", "saw", 30, 31, rework=True)], "again without a first", (14,)),
    "a moment at midnight": ([row("B", "saw", 48, 49)], "midnight", (14,)),
}  # fmt: skip


@pytest.mark.parametrize(("added", "key", "rows"), CASES.values(), ids=list(CASES))
def test_what_is_put_in_is_found_with_its_rows(
    added: list[dict[str, Any]], key: str, rows: tuple[int, ...]
) -> None:  # fmt: skip
    found = odd([*PLAIN, *added])[key]

    assert found.rows == rows
    assert found.count == len(rows)
    assert found.sentence.endswith((".", "?"))
    assert found.choices == BY_KEY[key].choices


def test_a_column_that_is_empty_is_named() -> None:
    log = events(PLAIN)

    found = odd(Events(log.table, log.file, log.has | {"held"}))["says nothing"]

    assert "held is empty" in found.sentence


def test_a_year_that_slipped_is_found() -> None:
    wrong = [row("B", "saw", 30, 31) for _ in range(30)] + [row("Z", "saw", 24 * 365 * 5, 24 * 365 * 5 + 1)]

    assert odd([*PLAIN, *wrong])["far away in time"].rows == (44,)


def test_moments_booked_by_the_quarter_of_an_hour_are_told() -> None:
    assert "quarter of an hour" in odd([row(f"A{k}", "saw", 8 + k / 4 + k // 30, 8.2 + k / 4) for k in range(40)])["rounded"].sentence  # fmt: skip


def test_a_whole_day_booked_at_one_moment_is_told() -> None:
    found = odd([*PLAIN, *(row(f"B{k}", f"s{k}", 40.01, 40.51 + k / 50) for k in range(40))])

    assert found["all at once"].count == 40


def test_orders_cut_off_by_the_window_are_told() -> None:
    rows = []
    for k in range(60):
        whole = [
            row(f"A{k}", step, 24 * k / 4 + at, 24 * k / 4 + at + 1)
            for at, step in ((0.1, "saw"), (20, "mill"), (40, "pack"))
        ]
        rows += whole[1:] if k < 2 else whole[:2] if k >= 58 else whole

    found = odd(rows)

    assert found["begun before the log"].count == 2
    assert found["not through"].count == 2
    assert found["begun before the log"].sentence.startswith("2 of 60 orders")


def floor_with(*rows: dict[str, Any]) -> Events:
    """Eight weeks of one shift from 06:00 to 14:00, and some rows more."""
    import polars as pl

    floor = busy_floor(WorkCalendar((Shift("day", 6 * 3600, 14 * 3600),), frozenset({dt.date(2026, 3, 18)})), days=56)
    return Events(pl.concat([floor.table, events(rows).table]), floor.file, floor.has)


def test_work_while_nobody_works_is_told() -> None:
    sunday = row("B", "M1", 6 * 24 + 9, 6 * 24 + 10)

    assert odd(floor_with(sunday))["outside working time"].count == 1


def test_a_booking_left_on_over_a_weekend_is_told_and_can_be_ended_with_the_shift() -> None:
    left_on = row("B", "extra", 4 * 24 + 13, 7 * 24 + 7)  # from Friday 13:00 to Monday 07:00
    log = floor_with(left_on)

    assert odd(log)["long"].count == odd(floor_with(row("B", "extra", 9, 9.1)))["long"].count + 1
    ended = decide(log, {"long": "end with the shift"})
    assert ended.events.table.filter(case="B")["end"].item() == MONDAY + dt.timedelta(days=4, hours=14)
    assert set(ended.changed["why"].to_list()) == {"long"}
    assert decide(log).events.table.filter(case="B")["end"].item() == MONDAY + dt.timedelta(days=7, hours=7)


def test_days_without_a_booking_are_named() -> None:
    assert "2026-03-18" in odd(floor_with(row("B", "M1", 9, 9.1)))["days without any"].sentence


# --- spellings --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("one", "other"),
    [("Machine 4", "machine  4"), ("Machine-4", "Machine 4"), ("Drehen", "Dréhen"), ("Packing", "Pakcing"), ("Packing", "Packng"), ("Packing", "Packning")],
)  # fmt: skip
def test_these_are_taken_for_one(one: str, other: str) -> None:
    assert [(found.name, found.others) for found in spellings("station", {one: 100, other: 2})] == [(one, (other,))]


@pytest.mark.parametrize(
    ("one", "other"),
    [("Machine 4", "Machine 7"), ("Machine 1", "Machine 11"), ("1 12", "11 2"), ("Saw", "Sew"), ("Packing", "Parking B"), ("Ring", "Rings")],
)  # fmt: skip
def test_these_are_kept_apart(one: str, other: str) -> None:
    assert spellings("station", {one: 100, other: 2}) == ()


def test_two_common_names_one_letter_apart_are_two_names() -> None:
    assert spellings("station", {"Drilling": 100, "Grilling": 80}) == ()


def test_nobody_is_taken_for_somebody_else_by_one_letter() -> None:
    assert spellings("person", {"Mayer": 100, "Meyer": 2}) == ()


def test_half_a_million_names_are_looked_at() -> None:
    names = {f"part {k:06d} x": 3 for k in range(200_000)}

    found = spellings("product", names | {"PART 000007 X": 1})

    assert [one.others for one in found] == [("PART 000007 X",)]


# --- decisions --------------------------------------------------------------------------------------------------------


def test_every_choice_says_what_it_does() -> None:
    assert {choice for kind in ODDITIES for choice in kind.choices} == set(CHOICES)


def test_nothing_is_lost_whatever_is_decided() -> None:
    log = events([*PLAIN, *(more for added, _, _ in CASES.values() for more in added)])
    for place in range(3):
        decisions = {kind.key: kind.choices[min(place, len(kind.choices) - 1)] for kind in ODDITIES}

        taken = decide(log, decisions)

        rows = [*taken.events.table["row"].to_list(), *taken.aside["row"].to_list()]
        assert sorted(rows) == log.table["row"].to_list()
        assert taken.source is log
        used = taken.events.table
        assert used["start"].null_count() == used["end"].null_count() == 0
        assert (used["end"] >= used["start"]).all()


def test_what_is_set_aside_says_why() -> None:
    taken = decide(events([*PLAIN, PLAIN[0], row("B", "saw", 30, 29)]))

    assert taken.aside.rows() == [(14, "duplicates"), (15, "negative span")]


def test_decisions_are_carried_out() -> None:
    rows = [*PLAIN, row("B", "saw", 30, 29), row("C", "saw", 40, None, span=1800.0), row("D", "saw", 50, 51, span=7200.0),
            row("E", "mill", 60, 62), row("F", "mill", 61, 63), row("G", "Mill", 70, 71)]  # fmt: skip

    taken = decide(
        events(rows),
        {"negative span": "swap start and end", "span differs": "work it out from its span", "station in two places": "begin when the earlier one is done"},
    )  # fmt: skip

    def hours(case: str) -> list[float]:
        one = taken.events.table.filter(case=case)
        return [(one[name].item() - MONDAY) / dt.timedelta(hours=1) for name in ("start", "end")]

    assert hours("B") == [29, 30]
    assert hours("C") == [40, 40.5]
    assert hours("D") == [50, 52]
    assert hours("F") == [62, 63]
    assert taken.events.table.filter(case="G")["activity"].to_list() == ["mill"]


def test_decisions_can_be_written_down_and_taken_up_again() -> None:
    log = events([*PLAIN, row("B", "Saw", 30, 31), row("C", "saw", 40, 39)])
    first = decide(log, {"negative span": "swap start and end"})
    kept = first.as_dict()

    again = decide(log, kept["decisions"], merges=kept["merges"])  # type: ignore[arg-type]

    assert again.events.table.equals(first.events.table)
    assert again.as_dict() == kept


def test_a_choice_that_is_none_is_refused() -> None:
    with pytest.raises(LogError, match=r"'forget' for 'duplicates'.*set aside or keep"):
        decide(events(PLAIN), {"duplicates": "forget"})


@pytest.mark.parametrize("rows", [[], [{"activity": "saw"}], [row("A", "saw", 8, 9)]], ids=["none", "bare", "one"])
def test_next_to_nothing_is_told_without_a_fault(rows: list[dict[str, Any]]) -> None:
    whole = story(decide(events(rows)))

    for chapter in ("calendar", "way", "steps", "stations", "effective", "lead", "wip", "bottlenecks", "yields", "breakdowns", "demand", "people", "watch_next"):  # fmt: skip
        assert getattr(whole, chapter).found
    assert whole.found
