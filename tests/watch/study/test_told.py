"""A study sheet from what the stopwatch wrote."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.told import body_of, checked_note, sheet_of

START = datetime(2026, 3, 11, 9, 0, tzinfo=UTC)
BODY = {
    "name": "T-1",
    "station": "saw",
    "elements": [{"what": "load"}, {"what": "saw", "work": "machine"}],
    "rating": 90,
}


@dataclass
class Note:
    uid: str
    kind: str
    body: dict[str, Any] = field(default_factory=dict)
    minutes: int = 0
    who: str = "line lead"

    @property
    def taken(self) -> datetime:
        return START + timedelta(minutes=self.minutes)


def reading(uid: str, cycle: int = 1, element: int = 0, seconds: float = 5.0, **more: Any) -> Note:
    return Note(uid, "reading", {"cycle": cycle, "element": element, "seconds": seconds, **more})


def test_a_reading_knows_who_when_and_where() -> None:
    (one,) = sheet_of(BODY, [reading("a", note="left hand")]).readings

    assert (one.who, one.when, one.where, one.note) == (
        "line lead",
        "2026-03-11T09:00:00+00:00",
        "reading 1 of the stopwatch",
        "left hand",
    )


def test_a_note_sent_twice_counts_once() -> None:
    assert len(sheet_of(BODY, [reading("a"), reading("a"), reading("b")]).readings) == 2


def test_the_mark_noted_last_wins_whenever_it_arrives() -> None:
    marks = [
        Note("m2", "mark", {"of": "a", "aside": "phone rang"}, 5),
        Note("m1", "mark", {"of": "a", "aside": "", "rating": 110}, 2),
    ]
    (one,) = sheet_of(BODY, [reading("a"), *marks]).readings

    assert (one.aside, one.rating) == ("phone rang", 1.1)


def test_a_mark_can_make_a_reading_foreign_and_an_undo_takes_that_back_and_an_undo_of_the_undo() -> None:
    notes = [reading("a"), Note("m", "mark", {"of": "a", "element": -1}), Note("u", "undo", {"of": "m"})]

    assert sheet_of(BODY, notes[:2]).readings[0].element == -1
    assert sheet_of(BODY, notes).readings[0].element == 0
    assert sheet_of(BODY, [*notes, Note("v", "undo", {"of": "u"})]).readings[0].element == -1


def test_rating_allowances_and_elements_are_replaced_and_other_kinds_left_alone() -> None:
    sheet = sheet_of(
        BODY,
        [
            Note("1", "rating", {"rating": 105}),
            Note("2", "allowances", {"rows": [{"key": "standing"}]}),
            Note("3", "elements", {"elements": ["load", "saw", "deburr"]}),
            Note("4", "somebody else's", {"what": 1}),
            reading("a", element=2),
        ],
    )

    assert (sheet.rating, sheet.allowances[0].share, sheet.readings[0].element) == (1.05, 0.02, 2)


def test_the_body_of_a_sheet_gives_the_sheet() -> None:
    sheet = sheet_of({**BODY, "allowances": [{"key": "personal"}]})

    assert sheet_of(body_of(sheet)) == sheet


@pytest.mark.parametrize(
    ("note", "said"),
    [
        (reading("a", seconds=0), "reading of 0 s is no time (allowed: above 0 s and up to a week)"),
        (reading("a", element=2), "element 2 is none (allowed: a whole number from -1 to 1)"),
        (reading("a", cycle=0), "cycle 0 is none (allowed: a whole number from 1 to 1,000,000)"),
        (reading("a", rating=7), "rating 7 is no rating (allowed: 0.2 to 2 as a share, 20 to 200"),
        (Note("a", "undo", {}), "of nothing names no note"),
        (Note("a", "elements", {"elements": []}), "a study without elements times nothing"),
        (Note("a", "elements", {"elements": ["x", "X"]}), "element X stands there twice"),
        (Note("a", "allowances", {"rows": [{"key": "wet"}]}), "allowance wet of nothing is no share of basic time"),
    ],
)
def test_what_cannot_be_understood_is_said_before_and_after_it_is_written(note: Note, said: str) -> None:
    with pytest.raises(StudyError) as before:
        checked_note(note.kind, note.body, sheet_of(BODY))
    with pytest.raises(StudyError) as after:
        sheet_of(BODY, [note])

    assert said in str(before.value)
    assert str(before.value) == str(after.value)


def test_a_list_of_elements_must_not_leave_out_one_that_was_read() -> None:
    with pytest.raises(StudyError, match="leaves out saw, which has readings"):
        sheet_of(BODY, [reading("a", element=1), Note("e", "elements", {"elements": ["load"]}, 1)])
