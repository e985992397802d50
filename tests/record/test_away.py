"""Lines that are put away: out of the list, kept with all they hold, and brought back by anybody."""

from __future__ import annotations

import pytest

from pullwright.record import LineExists, NothingChanged, PutAway, Record, UnknownLine


def test_line_put_away_is_left_out_of_the_list_keeps_all_and_comes_back(record: Record) -> None:
    for key in ("hone", "turn"):
        record.add_line(key, key.title(), "one", "A. Weber", "")

    away = record.put_line_away("hone", "B. Roth", "not run any more")

    assert (away.key, away.away, away.who, away.why) == ("hone", True, "B. Roth", "not run any more")
    assert [line.key for line in record.lines()] == ["turn"]
    assert [(line.key, line.away) for line in record.lines(away=True)] == [("hone", True), ("turn", False)]
    assert record.revise("hone", "two", "A. Weber", "", based_on=1).number == 2
    with pytest.raises(LineExists):
        record.add_line("hone", "Honing", "one", "A. Weber", "")

    back = record.bring_line_back("hone", "A. Weber", "runs again")

    assert [(line.key, line.away) for line in record.lines()] == [("hone", False), ("turn", False)]
    assert record.put_aways("hone") == (away, back)
    assert record.put_aways("turn") == ()
    again = record.put_line_away("hone", "B. Roth", "")
    assert record.put_aways("hone") == (away, back, again)
    assert [line.key for line in record.lines()] == ["turn"]


def test_what_is_so_already_adds_nothing(file_record: Record) -> None:
    file_record.add_line("hone", "Honing", "one", "A. Weber", "")

    with pytest.raises(NothingChanged, match="The line 'hone' is in the list already; nothing was added"):
        file_record.bring_line_back("hone", "A. Weber", "")
    away: PutAway = file_record.put_line_away("hone", "A. Weber", "")
    with pytest.raises(NothingChanged, match="The line 'hone' is put away already; nothing was added"):
        file_record.put_line_away("hone", "B. Roth", "")

    assert file_record.put_aways("hone") == (away,)


def test_unknown_line_is_told(file_record: Record) -> None:
    for act in (file_record.put_line_away, file_record.bring_line_back):
        with pytest.raises(UnknownLine):
            act("hone", "A. Weber", "")
    with pytest.raises(UnknownLine):
        file_record.put_aways("hone")
