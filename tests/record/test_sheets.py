"""Sheets: what was begun at the line, by whom, about which line, and whether it still counts."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from pullwright.record import InvalidEntry, NothingChanged, Record, SheetExists, UnknownLine, UnknownSheet


def _begin(record: Record, **changed: object) -> str:
    given = {"kind": "study", "title": "Honing", "body": {}, "who": "A. Weber"} | changed
    return record.begin_sheet(**given).key  # type: ignore[arg-type]


def test_sheet_comes_back_as_it_was_begun(record: Record) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")
    body = {"elements": ["take", "hone ✓", None], "rating": 1.1, "deep": {"er": [True]}}

    begun = record.begin_sheet("study", " Honing, early ", body, "A. Weber", line="hone")

    assert (begun.key, begun.kind, begun.line, begun.title, begun.body) == (
        "study-1",
        "study",
        "hone",
        "Honing, early",
        body,
    )
    assert (begun.who, begun.struck, begun.notes) == ("A. Weber", False, 0)
    assert abs(datetime.now(UTC) - begun.when) < timedelta(minutes=1)
    assert record.sheet("study-1") == begun
    assert record.sheets() == (begun,)


def test_body_handed_back_is_not_the_callers_own_table(file_record: Record) -> None:
    body: dict[str, object] = {"elements": ["take"]}
    begun = file_record.begin_sheet("study", "Honing", body, "A. Weber")

    body["elements"] = []

    assert begun.body == file_record.sheet("study-1").body == {"elements": ["take"]}


def test_each_kind_is_numbered_for_itself_and_goes_on_after_keys_given_by_hand(file_record: Record) -> None:
    keys = [
        _begin(file_record),
        _begin(file_record, kind="log"),
        _begin(file_record),
        _begin(file_record, key="study-9"),
        _begin(file_record, key="study-early"),
        _begin(file_record, key="study-1-again"),
        _begin(file_record, key="study-" + "9" * 50),
        _begin(file_record),
    ]

    assert keys == [
        "study-1",
        "log-1",
        "study-2",
        "study-9",
        "study-early",
        "study-1-again",
        "study-" + "9" * 50,
        "study-10",
    ]


def test_sheets_are_listed_newest_first_by_kind_and_by_line(file_record: Record) -> None:
    for line in ("hone", "turn"):
        file_record.add_line(line, line, "one", "A. Weber", "")
        _begin(file_record, line=line)
    _begin(file_record, kind="log")

    assert [sheet.key for sheet in file_record.sheets()] == ["log-1", "study-2", "study-1"]
    assert [sheet.key for sheet in file_record.sheets("study")] == ["study-2", "study-1"]
    assert [sheet.key for sheet in file_record.sheets(line="hone")] == ["study-1"]
    assert file_record.sheets("log", "hone") == ()
    assert [sheet.line for sheet in file_record.sheets()] == [None, "turn", "hone"]


def test_struck_sheet_is_left_out_kept_and_can_be_restored_with_its_history(record: Record) -> None:
    _begin(record)
    _begin(record)

    struck = record.strike("study-1", "A. Weber", "wrong watch")

    assert (struck.number, struck.kind, struck.body, struck.who) == (1, "struck", {"why": "wrong watch"}, "A. Weber")
    assert [sheet.key for sheet in record.sheets()] == ["study-2"]
    assert [(sheet.key, sheet.struck, sheet.notes) for sheet in record.sheets(struck=True)] == [
        ("study-2", False, 0),
        ("study-1", True, 1),
    ]
    assert record.sheet("study-1").struck

    restored = record.restore("study-1", "B. Roth", "the watch was right")
    assert [sheet.key for sheet in record.sheets()] == ["study-2", "study-1"]
    again = record.strike("study-1", "A. Weber", "it was not")

    assert record.sheet("study-1").struck
    assert record.notes("study-1") == (struck, restored, again)
    assert not record.sheet("study-2").struck


def test_striking_or_restoring_what_is_so_already_adds_nothing(file_record: Record) -> None:
    _begin(file_record)
    with pytest.raises(NothingChanged, match="'study-1' is not struck; nothing was added"):
        file_record.restore("study-1", "A. Weber", "")
    file_record.strike("study-1", "A. Weber", "")
    with pytest.raises(NothingChanged, match="'study-1' is struck already; nothing was added"):
        file_record.strike("study-1", "B. Roth", "")

    assert len(file_record.notes("study-1")) == 1


def test_unknown_sheet_is_told_with_what_there_is(file_record: Record) -> None:
    with pytest.raises(UnknownSheet, match="It holds no sheet yet; begin one first"):
        file_record.sheet("study-1")
    _begin(file_record)
    _begin(file_record, kind="log")

    for act in (
        file_record.sheet,
        file_record.notes,
        file_record.kept_file,
        file_record.read_file,
        lambda key: file_record.write_notes(key, []),
        lambda key: file_record.strike(key, "A. Weber", ""),
        lambda key: file_record.restore(key, "A. Weber", ""),
    ):
        with pytest.raises(UnknownSheet, match=r"'stdy-1'.*holds: log-1, study-1\. Did you mean 'study-1'\?") as told:
            act("stdy-1")
        assert told.value.known == ("log-1", "study-1")


def test_key_that_is_taken_is_told_and_the_first_sheet_stays(file_record: Record) -> None:
    _begin(file_record, key="honing", title="First")

    with pytest.raises(SheetExists, match="There is a sheet 'honing' in this record already, and it was left as it is"):
        _begin(file_record, key="honing", title="Second")

    assert [sheet.title for sheet in file_record.sheets()] == ["First"]


def test_what_a_sheet_cannot_hold_is_refused_and_nothing_is_begun(file_record: Record) -> None:
    with pytest.raises(UnknownLine, match="no line 'hone'"):
        _begin(file_record, line="hone")
    with pytest.raises(UnknownLine, match="no line 'hone'"):
        file_record.sheets(line="hone")
    with pytest.raises(InvalidEntry, match=r"sheet kind: read 'walk'; allowed is one of study, sample, count, log\."):
        _begin(file_record, kind="walk")
    with pytest.raises(InvalidEntry, match="sheet kind"):
        file_record.sheets("walk")  # type: ignore[arg-type]
    with pytest.raises(InvalidEntry, match=r"^key: "):
        _begin(file_record, key="Honing 1")
    for body in ({1: "one"}, {"tuple": (1, 2)}, {"nan": float("nan")}, {"when": datetime.now(UTC)}, [1], None):
        with pytest.raises(InvalidEntry, match=r"^sheet body: read "):
            _begin(file_record, body=body)

    assert file_record.sheets(struck=True) == ()


def test_largest_body_is_kept_and_one_more_byte_is_refused(file_record: Record) -> None:
    _begin(file_record, body={"x": "y" * (256_000 - 9)})

    with pytest.raises(
        InvalidEntry, match=r"256,001 bytes.*allowed is 2 to 256,000 bytes\. Hand long data in as a file"
    ):
        _begin(file_record, body={"x": "y" * (256_001 - 9)})
    assert len(file_record.sheets()) == 1
