"""What a stopwatch sends: kept once, all that can be understood; of the rest it is said which and why, and nothing is lost."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

import pytest

from pullwright.record import Record
from pullwright.web import create_app
from pullwright.web.pace import Pace
from pullwright.web.screens.study_notes import read_sent
from tests.web.small_line import VALVES

ELEMENTS = [
    {"what": "load", "work": "manual", "kind": "needed"},
    {"what": "hone", "work": "machine", "kind": "value"},
]
NINE = 1_772_442_000_000
"""A moment in thousandths of a second since 1970."""


def reading(number, element=0, seconds=5.0, cycle=1, **more):
    body = {"cycle": cycle, "element": element, "seconds": seconds, "phone": "phone-a", **more}
    return {"uid": f"reading-{number:04d}", "kind": "reading", "body": body, "who": "line lead", "taken": NINE + number * 1000}  # fmt: skip


def mark(number, of, **said):
    return {"uid": f"mark-{number:06d}", "kind": "mark", "body": {"of": of, **said}, "who": "line lead", "taken": NINE + number * 1000}  # fmt: skip


@dataclass
class Study:
    """A study without a reading, begun for one test, and a visitor to it."""

    record: Record
    visitor: Any
    key: str

    @property
    def address(self):
        return f"/lines/valves/studies/{self.key}"

    def send(self, notes, *, address="", **more):
        text = notes if isinstance(notes, str) else json.dumps(notes)
        address = address or f"{self.address}/notes"
        return self.visitor.send(address, {"notes": text}, headers={"accept": "application/json"}, **more)

    def page(self, part="notes"):
        return self.visitor.get(f"{self.address}/{part}")

    @property
    def kept(self):
        return self.record.notes(self.key)


@pytest.fixture(scope="module")
def shop(tmp_path_factory, visitor_of):
    with Record.open(tmp_path_factory.mktemp("shop") / "shop.db") as record:
        for key in ("valves", "other"):
            record.add_line(key, f"{key} line", VALVES, "A. Weber", "")
        yield record, visitor_of(create_app(record, secret=b"k" * 32, pace=Pace(burst=1_000_000)))


@pytest.fixture
def begun(shop):
    record, visitor = shop
    sheet = record.begin_sheet("study", "T-2", {"name": "T-2", "elements": ELEMENTS}, "line lead", line="valves")
    return Study(record, visitor, sheet.key)


def test_notes_are_kept_and_sending_them_again_changes_nothing(begun):
    notes = [reading(1), reading(2, 1, 60.0), mark(3, "reading-0001", aside="dropped a part")]
    for _ in range(2):
        answer = begun.send(notes)
        assert answer.status_code == 200
        assert answer.json()["kept"] == [note["uid"] for note in notes]
        assert answer.json()["refused"] == []
    assert [note.uid for note in begun.kept] == [note["uid"] for note in notes]
    assert "load, cycle 1: set aside: dropped a part" in begun.page().text


def test_of_several_notes_the_one_that_says_nothing_is_named_and_the_others_are_kept(begun):
    wrong = [
        reading(2, element=7), reading(3, seconds=-4.0), reading(4, seconds=10**400), reading(5, seconds="long"), reading(6, cycle=True),
        reading(7, rating=900), {**reading(8), "kind": "verdict"}, {**reading(9), "body": []}, {**reading(10), "who": ""},
        {**reading(11), "taken": "now"}, {**reading(12), "taken": 10**15}, {**reading(13), "who": "\ud800"}, mark(14, ""),
        {**reading(15), "kind": "elements", "body": {"elements": []}},
    ]  # fmt: skip
    answer = begun.send([reading(1), *wrong, reading(20)])
    assert answer.status_code == 200
    assert answer.json()["kept"] == ["reading-0001", "reading-0020"]
    refused = {one["uid"]: one["why"] for one in answer.json()["refused"]}
    assert list(refused) == [note["uid"] for note in wrong]
    assert refused["reading-0002"] == "Element 7 is none (allowed: a whole number from -1 to 1)"
    assert "is no rating" in refused["reading-0007"]
    assert "A note of the kind 'verdict' is none of a study." in refused.values()
    assert all(refused.values())
    assert len(begun.kept) == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[", "this is no JSON"), ("{}", "A list of 1 to 1000 notes"), ("[]", "A list of 1 to 1000 notes"),
        ("[NaN]", "NaN was read"), ("[1]", "Note 1 has no uid"), ('[{"uid": "short"}]', "Note 1 has no uid"),
        ("[" * 100_000, "nested too deeply"), (f"[{'9' * 5000}]", "digits"),
        (json.dumps([reading(1), reading(1)]), "is there twice"), (json.dumps([reading(1)] * 1001), "A list of 1 to 1000"),
    ],
    ids=range(10),
)  # fmt: skip
def test_what_is_no_list_of_notes_is_refused_in_words_and_nothing_is_kept(begun, text, said):
    answer = begun.send(text)
    assert answer.status_code == 422
    assert answer.json()["title"] == "Nothing was kept: what was sent is no list of notes."
    assert said in answer.json()["errors"][0]["message"]
    assert begun.kept == ()


def test_a_note_that_says_something_else_under_a_name_that_is_taken_is_refused_and_the_first_one_stays(begun):
    begun.send([reading(1)])
    answer = begun.send([reading(1, seconds=6.0), reading(2)])
    assert answer.json()["kept"] == ["reading-0002"]
    assert "stands there already, and says something else" in answer.json()["refused"][0]["why"]
    assert begun.kept[0].body["seconds"] == 5.0


def test_a_stale_seal_is_told_from_a_refusal_so_that_a_phone_can_ask_for_a_new_one(begun):
    assert begun.send([reading(1)], seal="old").status_code == 403
    assert begun.kept == ()
    assert begun.visitor.seal(f"{begun.address}/notes")


def test_the_sheet_of_another_line_or_none_takes_no_notes(begun):
    seal = begun.visitor.seal(f"{begun.address}/notes")
    for address in ("/lines/valves/studies/study-99/notes", f"/lines/other/studies/{begun.key}/notes"):
        assert begun.send([reading(1)], address=address, seal=seal).status_code == 404
    assert begun.kept == ()


def test_a_struck_study_still_takes_what_a_phone_noted_before_it_knew(begun):
    begun.record.strike(begun.key, "A. Weber", "the wrong product")
    assert begun.send([reading(1)]).json()["kept"] == ["reading-0001"]
    assert "This study was struck" in begun.page("stopwatch").text


def test_cycles_that_two_phones_counted_by_themselves_are_told_apart(begun):
    other = {**reading(3, 0, 7.0), "body": {**reading(3, 0, 7.0)["body"], "phone": "phone-b"}}
    begun.send([reading(1), reading(2, 1, 60.0), other, reading(5, 0, 5.5, cycle=2)])
    rows = begun.page("readings.csv").text.splitlines()
    first = next(at for at, row in enumerate(rows) if row.startswith("cycle,"))
    assert [tuple(row.split(",")[:3]) for row in rows[first + 1 :]] == [
        ("1", "load", "5.0"), ("1", "hone", "60.0"), ("2", "load", "7.0"), ("3", "load", "5.5"),
    ]  # fmt: skip


def test_an_element_that_was_added_counts_even_for_a_phone_whose_clock_is_slow(begun):
    later = {"uid": "elements-0001", "kind": "elements", "who": "A. Weber", "taken": NINE + 3_600_000}
    later["body"] = {"elements": [*ELEMENTS, {"what": "gauge"}]}
    assert begun.send([later]).json()["refused"] == []
    assert begun.send([reading(1, element=2)]).json()["kept"] == ["reading-0001"]
    assert "gauge, cycle 1: 5\u00a0s" in begun.page().text


def test_every_kind_of_note_is_told_in_words(begun):
    rows = [{"key": "personal", "share": 0.05, "words": "personal needs"}]
    said = [
        reading(1, note="the phone slept"),
        mark(2, "reading-0001", rating=0.95),
        mark(3, "reading-0001", element=-1),
        mark(4, "not-here-yet", aside=""),
        {**mark(5, ""), "kind": "rating", "body": {"rating": 0.9}},
        {**mark(6, ""), "kind": "allowances", "body": {"rows": rows}},
        {**mark(7, ""), "kind": "undo", "body": {"of": "mark-000003"}},
    ]
    assert begun.send(said).json()["refused"] == []
    page = begun.page("notes.json").json()
    assert [note["words"] for note in page["notes"]] == [
        "load, cycle 1: 5 s (the phone slept)",
        "load, cycle 1: rated 95",
        "load, cycle 1: foreign",
        "a reading that has not come yet: counts again",
        "the study is rated 90",
        "allowances: personal needs 5 %",
        "taken back: load, cycle 1: foreign",
    ]
    assert [note["undone"] for note in page["notes"]] == [False, False, True, False, False, False, False]
    assert [note["number"] for note in begun.page("notes.json?after=5").json()["notes"]] == [6, 7]
    assert page["found"]["text"].startswith("7 notes by line lead; nothing is thrown away")


def test_a_list_of_notes_is_read_letter_for_letter():
    assert read_sent(json.dumps([reading(1)])) == [reading(1)]
