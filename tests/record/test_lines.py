"""What people write about lines comes back exactly, oldest first, with who, when and why."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from pullwright.record import (
    LineExists,
    NothingChanged,
    Record,
    StaleRevision,
    UnknownLine,
    UnknownRevision,
)

AWKWARD_TEXTS = (
    "",
    "\n",
    "a: 1\r\nb: 2\n\rc: 3\r",
    "  blanks at both ends \t\n\n",
    "\ufeffmark first",
    "café and cafe\u0301 stay two spellings; 旋盤, 🛠, %s %(x)s :name ' \" \\ $$",
    "line\u2028separator \x0b \x1f \x7f \ufffd",
)


@pytest.mark.parametrize("text", AWKWARD_TEXTS)
def test_text_comes_back_letter_for_letter(record: Record, text: str) -> None:
    record.add_line("hone", "Honing", text, "A. Weber", "")

    assert record.revision("hone").text == text


def test_longest_text_is_kept_whole_and_comes_back(record: Record) -> None:
    text = "ä" * 1_000_000  # two bytes each: exactly the limit

    record.add_line("hone", "Honing", text, "A. Weber", "")

    assert record.revision("hone").text == text


def test_what_is_handed_back_on_saving_is_what_is_read_later(record: Record) -> None:
    first = record.add_line("hone", "Honing", "one", "A. Weber", "first count")
    second = record.revise("hone", "two", "B. Roth", "counted again\nat night", based_on=1)

    assert record.revisions("hone") == (first, second)
    assert (record.revision("hone", 1), record.revision("hone", 2), record.revision("hone")) == (first, second, second)


def test_revisions_are_numbered_from_one_without_gaps_each_on_the_one_before(record: Record) -> None:
    record.add_line("hone", "Honing", "text 1", "A. Weber", "")
    for number in range(2, 6):
        record.revise("hone", f"text {number}", "A. Weber", "", based_on=number - 1)

    kept = record.revisions("hone")

    assert [each.number for each in kept] == [1, 2, 3, 4, 5]
    assert [each.based_on for each in kept] == [None, 1, 2, 3, 4]
    assert [each.text for each in kept] == [f"text {number}" for number in range(1, 6)]


def test_time_of_saving_is_aware_utc_and_the_moment_of_saving(record: Record) -> None:
    before = datetime.now(UTC)
    record.add_line("hone", "Honing", "one", "A. Weber", "")
    after = datetime.now(UTC)

    when = record.revision("hone").when

    assert when.utcoffset() == timedelta(0)
    assert before <= when <= after


def test_list_of_lines_shows_latest_title_and_who_saved_last_in_order_of_key(record: Record) -> None:
    record.add_line("turn-2", "Turning", "one", "A. Weber", "")
    record.add_line("turn", "Old turning", "one", "A. Weber", "")
    record.add_line("hone", "Honing", "one", "A. Weber", "")
    last = record.revise("hone", "two", "B. Roth", "", based_on=1)
    record.rename("hone", "Fine honing", "C. Lind", "two of them now")

    rows = record.lines()

    assert [row.key for row in rows] == ["hone", "turn", "turn-2"]
    assert (rows[0].title, rows[0].revisions, rows[0].latest) == ("Fine honing", 2, 2)
    assert (rows[0].who, rows[0].when) == (last.who, last.when)
    assert [row.title for row in rows[1:]] == ["Old turning", "Turning"]


def test_empty_record_has_no_lines(record: Record) -> None:
    assert record.lines() == ()


def test_every_title_stays_in_the_history(record: Record) -> None:
    first = record.add_line("hone", "Honing", "one", "A. Weber", "first count")
    renamed = record.rename("hone", "Fine honing", "C. Lind", "two of them now")

    titles = record.titles("hone")

    assert [(each.title, each.who, each.why) for each in titles] == [
        ("Honing", "A. Weber", "first count"),
        ("Fine honing", "C. Lind", "two of them now"),
    ]
    assert (titles[0].when, titles[1]) == (first.when, renamed)
    assert len(record.revisions("hone")) == 1


def test_second_line_of_the_same_key_is_refused_and_the_first_left(record: Record) -> None:
    first = record.add_line("hone", "Honing", "one", "A. Weber", "")

    with pytest.raises(LineExists, match=r"There is a line 'hone' in this record already.*another key") as told:
        record.add_line("hone", "Other", "two", "B. Roth", "")

    assert told.value.key == "hone"
    assert record.revisions("hone") == (first,)
    assert [row.title for row in record.lines()] == ["Honing"]


def test_saving_on_an_older_revision_is_told_with_both_at_hand(record: Record) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")
    theirs = record.revise("hone", "theirs", "B. Roth", "new fixture", based_on=1)

    with pytest.raises(
        StaleRevision, match=r"You worked on revision 1 .* B\. Roth saved revision 2 .*new fixture"
    ) as told:
        record.revise("hone", "mine", "A. Weber", "counted", based_on=1)

    assert (told.value.latest, told.value.based_on) == (theirs, 1)
    assert record.revision("hone") == theirs


def test_after_seeing_both_one_can_save_on_the_latest(record: Record) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")
    record.revise("hone", "theirs", "B. Roth", "", based_on=1)

    third = record.revise("hone", "theirs and mine", "A. Weber", "", based_on=2)

    assert (third.number, third.based_on) == (3, 2)


@pytest.mark.parametrize("based_on", [1, 2])
def test_text_that_is_kept_already_is_not_kept_twice(record: Record, based_on: int) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")
    record.revise("hone", "two", "B. Roth", "", based_on=1)

    with pytest.raises(NothingChanged, match=r"letter for letter, the text that B\. Roth saved as revision 2"):
        record.revise("hone", "two", "A. Weber", "", based_on=based_on)

    assert len(record.revisions("hone")) == 2


def test_going_back_to_an_earlier_text_is_a_new_revision(record: Record) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")
    record.revise("hone", "two", "A. Weber", "", based_on=1)

    third = record.revise("hone", "one", "A. Weber", "it was better before", based_on=2)

    assert (third.number, third.text) == (3, "one")


def test_title_that_holds_already_is_not_kept_twice(record: Record) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")

    with pytest.raises(NothingChanged, match="The title of 'hone' is 'Honing' already"):
        record.rename("hone", " Honing ", "B. Roth", "")

    assert len(record.titles("hone")) == 1


def test_unknown_line_lists_what_there_is_and_the_likely_slip(record: Record) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")
    record.add_line("turn", "Turning", "one", "A. Weber", "")

    asked = (
        lambda: record.revisions("honne"),
        lambda: record.revision("honne"),
        lambda: record.titles("honne"),
        lambda: record.revise("honne", "two", "A. Weber", "", based_on=1),
        lambda: record.rename("honne", "Other", "A. Weber", ""),
    )
    for ask in asked:
        with pytest.raises(UnknownLine) as told:
            ask()
        assert str(told.value) == (
            "There is no line 'honne' in this record. It holds: hone, turn. Did you mean 'hone'?"
        )
        assert told.value.known == ("hone", "turn")


def test_unknown_line_in_an_empty_record_says_so(record: Record) -> None:
    with pytest.raises(UnknownLine, match="It holds no line yet; add one first"):
        record.revision("hone")


def test_unknown_line_among_many_lists_twenty_and_counts_the_rest() -> None:
    told = UnknownLine("x", [f"line-{number:02}" for number in range(25)])

    assert "line-19 and 5 more." in str(told)
    assert "line-20" not in str(told)


@pytest.mark.parametrize("number", [0, -1, 3])
def test_unknown_revision_says_which_there_are(record: Record, number: int) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")
    record.revise("hone", "two", "A. Weber", "", based_on=1)

    with pytest.raises(UnknownRevision, match=f"no revision {number} of 'hone'; it has revisions 1 to 2"):
        record.revision("hone", number)
    with pytest.raises(UnknownRevision, match=f"no revision {number} of 'hone'; it has revisions 1 to 2"):
        record.revise("hone", "three", "A. Weber", "", based_on=number)


def test_unknown_revision_of_a_line_with_one(record: Record) -> None:
    record.add_line("hone", "Honing", "one", "A. Weber", "")

    with pytest.raises(UnknownRevision, match="it has only revision 1"):
        record.revision("hone", 7)
