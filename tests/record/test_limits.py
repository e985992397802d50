"""Sizes and shapes: what stands in the table of limits is what is let in, to the last character."""

from __future__ import annotations

import pytest

from pullwright.record import InvalidEntry, Record
from pullwright.record.limits import LIMITS, Field, checked

GOOD = {"key": "hone", "title": "Honing", "text": "one", "who": "A. Weber", "why": "counted"}


def _add(record: Record, **changed: str) -> None:
    record.add_line(**(GOOD | changed))


@pytest.mark.parametrize(
    ("field", "most"), [("key", 60), ("title", 120), ("text", 2_000_000), ("who", 80), ("why", 2_000)]
)
def test_longest_entry_is_kept_and_one_more_character_is_refused(record: Record, field: str, most: int) -> None:
    _add(record, **{field: "x" * most})
    kept = len(record.lines())

    with pytest.raises(
        InvalidEntry, match=rf"^{field}: read 'xxx.*allowed is .* to {most:,} (characters|bytes)\. "
    ) as told:
        _add(record, **{"key": "other", field: "x" * (most + 1)})

    assert told.value.field == field
    assert len(str(told.value)) < 300
    assert kept == len(record.lines()) == 1


def test_text_is_counted_in_bytes_and_names_in_letters(record: Record) -> None:
    _add(record, who="ü" * 80, why="旋" * 2_000, title="🛠" * 120)

    with pytest.raises(InvalidEntry, match=r"2,000,002 bytes.*0 to 2,000,000 bytes"):
        _add(record, key="other", text="ü" * 1_000_001)
    assert record.revision("hone").why == "旋" * 2_000


@pytest.mark.parametrize("field", ["key", "title", "who"])
@pytest.mark.parametrize("blank", ["", "   ", "\t\n"])
def test_blank_is_no_name(field: Field, blank: str) -> None:
    with pytest.raises(InvalidEntry, match=f"{field}: read .*1 to "):
        checked(field, blank)


def test_reason_and_text_may_be_empty(file_record: Record) -> None:
    _add(file_record, text="", why="")

    assert (file_record.revision("hone").text, file_record.revision("hone").why) == ("", "")


def test_blanks_at_the_ends_make_no_second_spelling_of_a_name(file_record: Record) -> None:
    _add(file_record, who=" A. Weber\n", title=" Honing ", why=" counted ", text=" one ")

    kept = file_record.revision("hone")
    assert (kept.who, kept.why, kept.text) == ("A. Weber", "counted", " one ")
    assert file_record.lines()[0].title == "Honing"


@pytest.mark.parametrize(
    ("read", "near"),
    [
        ("Hone", "hone"),
        ("hone line", "hone-line"),
        ("hone_line", "hone-line"),
        ("-hone", "hone"),
        ("hone--line", "hone-line"),
        ("Dörren/2", "dorren-2"),
        ("../hone", "hone"),
    ],
)
def test_key_of_another_shape_is_refused_with_one_that_would_do(read: str, near: str) -> None:
    with pytest.raises(InvalidEntry, match=f"Did you mean '{near}'"):
        checked("key", read)
    assert checked("key", near) == near


def test_key_with_nothing_to_keep_gets_the_rule() -> None:
    with pytest.raises(InvalidEntry, match=r"lower-case letters a to z and digits.*Write the key in that shape"):
        checked("key", "旋盤")


@pytest.mark.parametrize("field", ["title", "text", "who", "why"])
def test_characters_that_no_database_keeps_are_refused_with_their_place(record: Record, field: str) -> None:
    with pytest.raises(InvalidEntry, match=f"{field}: read a zero character at position 3"):
        _add(record, **{field: "ab\0c"})
    with pytest.raises(InvalidEntry, match=rf"{field}: read half a character \(U\+D83D\) at position 2"):
        _add(record, **{field: "a\ud83dc"})
    assert record.lines() == ()


@pytest.mark.parametrize("field", ["title", "who"])
def test_names_stand_on_one_line(field: Field) -> None:
    with pytest.raises(InvalidEntry, match="one line without control characters"):
        checked(field, "A.\nWeber")


def test_every_limit_says_what_to_do() -> None:
    assert all(limit.remedy.endswith(".") and limit.least <= limit.most for limit in LIMITS.values())


def test_same_limits_hold_for_a_revision_and_a_title(file_record: Record) -> None:
    _add(file_record)
    for field, save in (
        ("text", lambda: file_record.revise("hone", "x" * 2_000_001, "A. Weber", "", based_on=1)),
        ("who", lambda: file_record.revise("hone", "two", "", "", based_on=1)),
        ("why", lambda: file_record.revise("hone", "two", "A. Weber", "x" * 2_001, based_on=1)),
        ("title", lambda: file_record.rename("hone", "", "A. Weber", "")),
        ("who", lambda: file_record.rename("hone", "Other", "x" * 81, "")),
        ("who", lambda: file_record.set_setting("wall.distance", 1, "")),
    ):
        with pytest.raises(InvalidEntry, match=f"^{field}: read "):
            save()
    assert len(file_record.revisions("hone")) == len(file_record.titles("hone")) == 1
