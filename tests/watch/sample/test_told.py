"""A tour is what its sheet said, and what was noted on the rounds."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest

from pullwright.watch.misread import SampleError
from pullwright.watch.sample.csv_file import read_looks, write_looks
from pullwright.watch.sample.told import body_of, checked_note, tour_of


@dataclass(frozen=True)
class Noted:
    uid: str
    kind: str
    body: dict[str, Any]
    who: str = "line lead"
    taken: datetime = datetime(2026, 3, 17, 7, 30, tzinfo=UTC)


BODY: dict[str, Any] = {
    "name": "March",
    "line": "pump",
    "stations": ["saw", "press"],
    "seed": 4,
    "rounds": [
        {"number": 1, "at": "2026-03-17T08:30:00"},
        {"number": 2, "at": "2026-03-17T09:40:00", "stations": ["press", "saw"]},
    ],
}


def look(uid: str, number: int = 1, station: str = "saw", seen: str = "waiting", **more: Any) -> Noted:
    return Noted(uid, "look", {"round": number, "station": station, "seen": seen, **more})


def test_looks_come_with_who_when_and_which_round() -> None:
    tour = tour_of(
        BODY, [look("a"), look("b", 2, "press", "unexplained", note="nobody there")], zone=timezone(timedelta(hours=1))
    )

    first, second = tour.looks
    assert (first.who, first.at, first.where) == ("line lead", datetime(2026, 3, 17, 8, 30), "round 1")
    assert (second.seen, second.note, second.station) == ("unexplained", "nobody there", "press")
    assert tour.rounds[1].stations == ("press", "saw")


def test_what_is_undone_is_gone_and_comes_back_when_that_is_undone() -> None:
    later = datetime(2026, 3, 17, 8, 0, tzinfo=UTC)
    undo = Noted("u", "undo", {"of": "a"}, taken=later)
    back = Noted("v", "undo", {"of": "u"}, taken=later + timedelta(minutes=1))

    assert tour_of(BODY, [look("a"), undo], zone=UTC).looks == ()
    assert len(tour_of(BODY, [look("a"), undo, back], zone=UTC).looks) == 1


def test_a_note_sent_twice_counts_once_and_foreign_kinds_are_left_alone() -> None:
    assert len(tour_of(BODY, [look("a"), look("a"), Noted("z", "reading", {})], zone=UTC).looks) == 1


def test_rounds_may_be_added_even_when_their_note_arrives_after_the_looks() -> None:
    more = Noted("r", "rounds", {"rounds": [{"number": 3, "at": "2026-03-18T10:00:00"}]})

    tour = tour_of(BODY, [look("a", 3), more], zone=UTC)

    assert [one.number for one in tour.rounds] == [1, 2, 3]
    assert tour.looks[0].round == 3


def test_the_body_gives_the_tour_back() -> None:
    tour = tour_of(BODY, [look("a")], zone=UTC)

    assert tour_of(body_of(tour)) == replace(tour, looks=())


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (
            {"round": 7, "station": "saw", "seen": "value"},
            "round 7 was not planned (allowed: 1, 2); plan more rounds first",
        ),
        ({"round": 1, "station": "kiln", "seen": "value"}, "station kiln is not on round 1 (allowed: saw, press)"),
        (
            {"round": 1, "station": "saw", "seen": "asleep"},
            "seen asleep is no kind of work (allowed: value, needed, waiting, moving, motion, extra, again, ahead, unexplained)",
        ),
        (
            {"round": "x", "station": "saw", "seen": "value"},
            "round x is no such number (allowed: a whole number from 1 to 10,000,000)",
        ),
    ],
)
def test_a_look_that_cannot_be_is_refused_before_it_is_written(body: dict[str, Any], said: str) -> None:
    with pytest.raises(SampleError) as refused:
        checked_note("look", body, tour_of(BODY))
    assert str(refused.value) == said


def test_a_round_planned_twice_is_refused_with_the_next_number() -> None:
    with pytest.raises(SampleError, match=r"round 2 is planned twice .*go on with 3"):
        checked_note("rounds", {"rounds": [{"number": 2, "at": "2026-03-18T10:00:00"}]}, tour_of(BODY))


@pytest.mark.parametrize("at", ["soon", "2026-03-17T08:30:00+01:00", None])
def test_a_round_needs_a_moment_of_the_wall_clock(at: object) -> None:
    with pytest.raises(SampleError, match="of round 1 is no moment"):
        tour_of({**BODY, "rounds": [{"number": 1, "at": at}]})


def test_looks_go_into_a_csv_and_come_back_with_their_rows() -> None:
    looks = tour_of(BODY, [look("a", note="=HYPER()"), look("b", 2, "press", "value")], zone=UTC).looks

    text = write_looks(looks)
    again = read_looks(text, "looks.csv")

    assert "'=HYPER()" in text
    assert [replace(one, where="") for one in again] == [replace(one, where="") for one in looks]
    assert [one.where for one in again] == ["row 2 of looks.csv", "row 3 of looks.csv"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("round,station,seen\n", "has no column at"),
        ("round,station,at,seen\n0,saw,2026-03-17 08:00,value\n", "row 2 of looks.csv: round 0 is no round"),
        ("round,station,at,seen\n1,saw,later,value\n", "row 2 of looks.csv: at later is no moment"),
        ("round,station,at,seen\n1,saw,2026-03-17 08:00,idle\n", "row 2 of looks.csv: seen idle is no kind of work"),
        ('round,station,at,seen\n1,"saw', "cannot be read"),
    ],
)
def test_a_csv_that_cannot_be_says_row_and_remedy(text: str, said: str) -> None:
    with pytest.raises(SampleError, match=said):
        read_looks(text)
