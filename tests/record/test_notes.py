"""Notes: all or none, in the order of arrival; a phone that sends its queue twice has written it once."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from pullwright.record import InvalidEntry, NewNote, NoteDiffers, Record

TAKEN = datetime(2024, 5, 2, 8, 30, 0, 250_000, tzinfo=UTC)


def _reading(uid: str, **changed: object) -> NewNote:
    note = NewNote(uid, "reading", {"element": "hone", "s": 12.5}, "A. Weber", TAKEN)
    return replace(note, **changed)  # type: ignore[arg-type]


@pytest.fixture
def study(file_record: Record) -> Record:
    file_record.begin_sheet("study", "Honing", {}, "A. Weber")
    return file_record


def test_notes_come_back_in_order_of_arrival_with_both_moments(record: Record) -> None:
    record.begin_sheet("study", "Honing", {}, "A. Weber")
    early = timezone(timedelta(hours=2))
    later = [_reading("b", body={"s": None, "why": "旋盤"}), _reading("a", taken=TAKEN.astimezone(early))]

    first = record.write_notes("study-1", later)
    second = record.write_notes("study-1", [_reading("c")])

    assert [(note.number, note.uid) for note in (*first, *second)] == [(1, "b"), (2, "a"), (3, "c")]
    assert record.notes("study-1") == (*first, *second)
    assert first[0].body == {"s": None, "why": "旋盤"}
    assert [note.taken for note in first] == [TAKEN, TAKEN]
    assert all(abs(datetime.now(UTC) - note.when) < timedelta(minutes=1) for note in first)
    assert record.notes("study-1", after=1) == (first[1], *second)
    assert record.notes("study-1", after=3) == ()
    assert record.sheet("study-1").notes == 3


def test_queue_sent_twice_is_written_once_and_the_rest_goes_on(file_record: Record) -> None:
    file_record.begin_sheet("study", "Honing", {}, "A. Weber")
    queue = [_reading("a"), _reading("b")]

    first = file_record.write_notes("study-1", queue)
    # The same table may come with its keys in another order, and the same moment in another zone.
    turned = _reading("a", body={"s": 12.5, "element": "hone"}, taken=TAKEN.astimezone(timezone(timedelta(hours=-5))))
    again = file_record.write_notes("study-1", [turned, _reading("c"), _reading("b"), _reading("c")])

    assert (again[0], again[2]) == first
    assert again[1] == again[3]
    assert [note.uid for note in file_record.notes("study-1")] == ["a", "b", "c"]


@pytest.mark.parametrize(
    "other",
    [
        {"body": {"element": "hone", "s": 12.6}},
        {"body": {"element": "hone", "s": "12.5"}},
        {"kind": "mark"},
        {"who": "B. Roth"},
        {"taken": TAKEN + timedelta(microseconds=1)},
    ],
)
def test_same_uid_with_other_content_is_refused_and_nothing_of_the_call_is_written(
    study: Record, other: dict[str, object]
) -> None:
    (kept,) = study.write_notes("study-1", [_reading("a")])

    with pytest.raises(
        NoteDiffers, match=r"'a' is there as note 1 of 'study-1' by A\. Weber.*Nothing was overwritten"
    ) as told:
        study.write_notes("study-1", [_reading("new"), _reading("a", **other)])

    assert (told.value.kept, told.value.uid, told.value.key) == (kept, "a", "study-1")
    assert study.notes("study-1") == (kept,)


def test_one_and_true_are_not_the_same_reading(study: Record) -> None:
    study.write_notes("study-1", [_reading("a", body={"s": 1})])

    for body in ({"s": 1.0}, {"s": True}):
        with pytest.raises(NoteDiffers):
            study.write_notes("study-1", [_reading("a", body=body)])


def test_two_of_one_call_under_the_same_uid_that_differ_are_refused(study: Record) -> None:
    with pytest.raises(NoteDiffers, match="'a' is there twice in what was sent") as told:
        study.write_notes("study-1", [_reading("a"), _reading("a", kind="mark")])

    assert told.value.kept is None
    assert study.notes("study-1") == ()


def test_same_uid_on_another_sheet_is_another_note(study: Record) -> None:
    study.begin_sheet("study", "Turning", {}, "A. Weber")
    study.write_notes("study-1", [_reading("a")])

    (note,) = study.write_notes("study-2", [_reading("a", kind="mark")])

    assert (note.number, study.notes("study-2")) == (1, (note,))


def test_writing_nothing_writes_nothing(study: Record) -> None:
    assert study.write_notes("study-1", []) == ()
    assert study.notes("study-1") == ()


def test_struck_sheet_still_takes_what_was_noted_before_somebody_knew(study: Record) -> None:
    study.strike("study-1", "A. Weber", "wrong watch")

    (late,) = study.write_notes("study-1", [_reading("a")])

    assert (late.number, study.sheet("study-1").struck) == (2, True)


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"uid": ""}, "^note uid: read ''.*1 to 80 characters"),
        ({"uid": "x" * 81}, "^note uid: read .*1 to 80 characters"),
        ({"uid": "a\nb"}, "^note uid: read .*one line"),
        ({"kind": "Reading taken"}, "^note kind: read 'Reading taken'; allowed is lower-case words"),
        ({"kind": "x" * 41}, "^note kind: read .*1 to 40 characters"),
        ({"kind": "struck"}, "^note kind: read 'struck'.*Use strike and restore, which ask for the reason"),
        ({"kind": " restored"}, "^note kind: read 'restored'.*Use strike and restore"),
        ({"body": [12.5]}, "^note body: read .*a table with text as keys"),
        ({"body": {"s": float("inf")}}, "^note body: read .*JSON gives back unchanged"),
        ({"body": {"x": "y" * 64_000}}, r"^note body: read .*64,009 bytes.*2 to 64,000 bytes\. Spread it"),
        ({"who": " "}, "^who: read "),
        ({"taken": datetime(2024, 5, 2, 8, 30)}, "^taken: read '2024-05-02T08:30:00'.*time zone"),
        ({"taken": datetime.min.replace(tzinfo=timezone(timedelta(hours=2)))}, "^taken: read .*years 1 to 9999"),
    ],
)
def test_what_a_note_cannot_hold_is_refused_and_the_good_ones_beside_it_are_not_written(
    study: Record, changed: dict[str, object], told: str
) -> None:
    with pytest.raises(InvalidEntry, match=told):
        study.write_notes("study-1", [_reading("good"), replace(_reading("bad"), **changed)])  # type: ignore[arg-type]

    assert study.notes("study-1") == ()


def test_most_notes_of_one_call_are_written_and_one_more_is_refused(file_record: Record) -> None:
    file_record.begin_sheet("study", "Honing", {}, "A. Weber")
    many = [_reading(f"n{number}") for number in range(2_001)]

    with pytest.raises(InvalidEntry, match="read 2,001 notes; allowed is at most 2,000 notes in one call"):
        file_record.write_notes("study-1", many)
    assert file_record.notes("study-1") == ()

    file_record.write_notes("study-1", many[:2_000])
    assert file_record.sheet("study-1").notes == 2_000
