"""Every kind of oddity is found where it is, with its very rows, and not where it is not; every choice does what it says."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import polars as pl
import pytest

from pullwright.watch.log.decide import decide
from pullwright.watch.log.events import Events, Oddity
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.oddities import BY_KEY, CHOICES, ODDITIES, SPAN, oddities

from .made_rows import booking, log_of

Rows = list[dict[str, Any]]


def clean() -> Rows:
    """Four weeks of two steps, 12 orders a day, without anything odd: row 2 and 3 are the first order, and so on."""
    rows: Rows = []
    for day in (week * 7 + weekday for week in range(4) for weekday in range(5)):
        for k in range(12):
            begin, case = 37.3 * k + 1.7, f"A{day:02d}-{k:02d}"
            rows.append(booking(case, "saw tube", begin, begin + 30.1, day, person=f"W{k % 2}a", asked=10, good=10))
            rows.append(
                booking(case, "weld base", begin + 38.2, begin + 71.9, day, person=f"W{k % 2}b", asked=10, good=10)
            )
    return rows


CLEAN = clean()
SIZE = len(CLEAN)


def changed(*places: int, **values: Any) -> Rows:
    """The clean log with these rows (counted from 0) changed."""
    return [row | values if k in places else row for k, row in enumerate(CLEAN)]


def moved(place: int, start: float, end: float) -> Rows:
    """The clean log with start and end of a row moved by minutes."""
    row = CLEAN[place]
    return changed(place, start=row["start"] + dt.timedelta(minutes=start), end=row["end"] + dt.timedelta(minutes=end))


def overtime(place: int) -> Rows:
    row = CLEAN[place]
    return changed(place, start=row["start"].replace(hour=22), end=row["start"].replace(hour=23))


def night(place: int) -> Rows:
    end = (CLEAN[place]["start"] + dt.timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0)
    return changed(place, end=end)


def hours(rows: Rows) -> Rows:
    return [row | {"start": row["start"].replace(minute=0, second=0, microsecond=0)} for row in rows]


AGAIN = [*CLEAN, booking("A00-00", "paint", 500, 520, person="W9", asked=10, good=9, rework=True)]
ODD: dict[str, tuple[Rows, set[int]]] = {
    "duplicates": ([*CLEAN, CLEAN[4]], {SIZE + 2}),
    "nearly duplicates": ([*CLEAN, CLEAN[4] | {"good": 9}], {SIZE + 2}),
    "negative span": (changed(6, start=CLEAN[6]["end"], end=CLEAN[6]["start"]), {8}),
    "zero span": (changed(6, end=CLEAN[6]["start"]), {8}),
    "no start": (changed(6, 9, start=None), {8, 11}),
    "no end": (changed(6, 9, end=None), {8, 11}),
    "no time": (changed(6, start=None, end=None), {8}),
    "span differs": (changed(6, span=60.0), {8}),
    "far away in time": (moved(6, 60 * 24 * 3653, 60 * 24 * 3653), {8}),
    "station in two places": (moved(6, -20, 0), {8}),
    "person in two places": (changed(7, person="W0a"), {9}),
    "spellings": (changed(6, activity="Saw  Tube", station="Saw  Tube"), {8}),
    "more than ordered": (changed(6, 7, good=11), {8, 9}),
    "more than before": (changed(6, good=8), {9}),
    "begun before the log": ([row for k, row in enumerate(CLEAN) if k != 0], {2}),
    "not through": (CLEAN[:-1], {SIZE}),
    "outside working time": (overtime(6), {8}),
    "long": (night(7), {9}),
    "days without any": ([row for row in CLEAN if row["start"].day != 11], set()),
    "midnight": (night(6), {8}),
    "rounded": (hours(CLEAN), set(range(2, SIZE + 2))),
    "all at once": (
        [*CLEAN, *(booking(f"B{k}", "pack", 100, 100.3 + k, 3, person=f"Z{k}", asked=10, good=10) for k in range(14))],
        set(range(SIZE + 2, SIZE + 16)),
    ),
    "again without a first": (AGAIN, {SIZE + 2}),
    "says nothing": (CLEAN, set()),
}  # fmt: skip
"""For each kind a log that has it, and the rows in which it is."""


def odd_log(key: str) -> Events:
    return log_of(ODD[key][0], has={"scrap"} if key == "says nothing" else ())


def by_key(events: Events) -> dict[str, Oddity]:
    return {one.key: one for one in oddities(events)}


def test_every_kind_has_a_log_here() -> None:
    assert set(ODD) == set(BY_KEY) == {kind.key for kind in ODDITIES}


def test_a_clean_log_has_nothing_odd() -> None:
    assert oddities(log_of(CLEAN)) == ()


@pytest.mark.parametrize("key", ODD)
def test_a_kind_is_found_with_its_rows(key: str) -> None:
    found = by_key(odd_log(key))

    assert key in found
    assert set(found[key].rows) == ODD[key][1]
    assert found[key].sentence.endswith((".", "?"))
    # None of these logs has a column that says how long things took.
    nowhere_to_take_it_from = {SPAN} if key in ("no start", "no end") else set()
    assert set(found[key].choices) == set(BY_KEY[key].choices) - nowhere_to_take_it_from
    if ODD[key][1]:
        assert found[key].count == len(ODD[key][1])


@pytest.mark.parametrize("key", ["no start", "no end"])
def test_where_the_log_has_spans_what_is_missing_can_be_taken_from_them(key: str) -> None:
    events = log_of(ODD[key][0], has={"span"})
    assert by_key(events)[key].choices == BY_KEY[key].choices


def test_every_choice_is_told_and_no_word_of_it_is_for_nothing() -> None:
    offered = {choice for kind in ODDITIES for choice in kind.choices}

    assert offered == set(CHOICES)
    assert all(sentence.endswith(".") for sentence in CHOICES.values())
    assert all(kind.question.endswith("?") for kind in ODDITIES)


EVERY_CHOICE = [(kind.key, choice) for kind in ODDITIES for choice in kind.choices]


@pytest.mark.parametrize(("key", "choice"), EVERY_CHOICE, ids=lambda value: str(value))
def test_a_choice_does_what_it_says_and_loses_nothing(key: str, choice: str) -> None:
    events = odd_log(key)
    others = {kind.key: "keep" for kind in ODDITIES if "keep" in kind.choices and kind.key != key}
    done = decide(events, others | {key: choice})
    used, aside = set(done.events.table["row"].to_list()), set(done.aside["row"].to_list())

    assert done.source.table.equals(events.table)
    assert used | aside == set(events.table["row"].to_list())
    assert not used & aside
    assert (done.events.table["end"] >= done.events.table["start"]).all()
    if choice == "set aside":
        assert aside == ODD[key][1]
        assert set(done.aside["why"].to_list()) == {key}
    if choice == "keep" and key not in ("negative span",):
        assert not aside
    if choice == "set the whole orders aside":
        cases = set(events.table.filter(pl.col("row").is_in(ODD[key][1]))["case"].to_list())
        assert aside == set(events.table.filter(pl.col("case").cast(pl.String).is_in(cases))["row"].to_list())


@pytest.mark.parametrize("key", ["duplicates", "spellings", "no end"])
def test_decisions_can_be_written_down_and_give_the_same_again(key: str) -> None:
    events = odd_log(key)
    first = decide(events)
    kept = json.loads(json.dumps(first.as_dict()))

    again = decide(events, kept["decisions"], merges=kept["merges"])

    assert again.events.table.equals(first.events.table)
    assert again.aside.equals(first.aside)
    assert again.changed.equals(first.changed)
    assert again.as_dict() == first.as_dict()


def test_a_choice_that_does_not_exist_gives_a_clear_error() -> None:
    with pytest.raises(LogError) as told:
        decide(log_of(CLEAN[:2]), {"duplicates": "throw away"})

    assert str(told.value) == (
        "shop.csv: 'throw away' for 'duplicates' was read; allowed is set aside or keep; choose one of them"
    )


def test_start_and_end_change_places() -> None:
    done = decide(odd_log("negative span"), {"negative span": "swap start and end"})
    row = done.events.table.row(6, named=True)

    assert (row["start"], row["end"]) == (CLEAN[6]["start"], CLEAN[6]["end"])
    assert done.changed.rows() == [(8, "negative span")]


@pytest.mark.parametrize("key", ["no start", "no end"])
def test_what_is_missing_is_worked_out_from_the_span(key: str) -> None:
    missing = key.removeprefix("no ")
    events = log_of(changed(6, **{missing: None, "span": 30.1 * 60})[:9] + changed(9, **{missing: None})[9:])
    done = decide(events, {key: "work it out from its span"})

    assert done.aside.rows() == [(11, key)]
    assert done.changed.rows() == [(8, key)]
    row = done.events.table.filter(pl.col("row") == 8).row(0, named=True)
    assert abs(row[missing] - CLEAN[6][missing]) < dt.timedelta(seconds=0.01)


def test_the_span_can_be_believed_rather_than_the_end() -> None:
    done = decide(odd_log("span differs"), {"span differs": "work it out from its span"})
    row = done.events.table.row(6, named=True)

    assert row["end"] - row["start"] == dt.timedelta(seconds=60)
    assert done.changed.rows() == [(8, "span differs")]


def test_a_row_without_a_start_can_be_a_moment() -> None:
    done = decide(odd_log("no start"), {"no start": "take the moment alone"})

    assert done.aside.height == 0
    assert done.changed["row"].to_list() == [8, 11]
    assert done.events.table.row(6, named=True)["start"] == CLEAN[6]["end"]


def test_a_row_begins_when_the_earlier_one_is_done() -> None:
    done = decide(odd_log("station in two places"), {"station in two places": "begin when the earlier one is done"})

    assert done.changed.rows() == [(8, "station in two places")]
    assert done.events.table.row(6, named=True)["start"] == CLEAN[4]["end"]


def test_what_is_over_by_then_is_set_aside() -> None:
    within = [booking("A", "saw", 0, 60), booking("B", "saw", 10, 20), booking("C", "saw", 30, 90)]
    done = decide(log_of(within), {"station in two places": "begin when the earlier one is done"})

    assert done.aside.rows() == [(3, "station in two places")]
    assert done.changed.rows() == [(4, "station in two places")]


def test_spellings_are_taken_as_one_or_kept_apart() -> None:
    one = decide(odd_log("spellings"))
    apart = decide(odd_log("spellings"), {"spellings": "keep apart"})

    assert one.merges == {role: {"Saw  Tube": "saw tube"} for role in ("activity", "station")}
    assert set(one.events.table["activity"].to_list()) == {"saw tube", "weld base"}
    assert set(apart.events.table["activity"].to_list()) == {"saw tube", "weld base", "Saw  Tube"}


def test_a_log_of_moments_is_used_as_one() -> None:
    events = log_of([row | {"start": None} for row in CLEAN])
    done = decide(events)

    assert done.aside.height == 0
    assert done.changed.height == SIZE
    assert (done.events.table["start"] == done.events.table["end"]).all()


@pytest.mark.parametrize("span", [float("inf"), 1e15, 1e300, -1.0])
def test_nothing_is_worked_out_from_a_span_that_cannot_be(span: float) -> None:
    done = decide(log_of([booking("A", "saw", 0, None, span=span), booking("A", "weld", None, 5, span=span)]))

    assert done.aside.rows() == [(2, "no end"), (3, "no start")]
