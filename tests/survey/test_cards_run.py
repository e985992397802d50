"""The forecast's own answer about cards, as it is written into the line file."""

from __future__ import annotations

from pullwright.survey.planned.cards_run import LoopRun


def test_no_more_cards_are_gathered_than_there_are() -> None:
    loop = LoopRun("hone / A", ("steps", 2, "release", "loops", 0), 14, 4, 6, 3, product="A", signal=4)
    assert loop.change.written == {"product": "A", "cards": 3, "per_card": 14, "signal": 3}


def test_one_number_for_all_is_written_as_such() -> None:
    assert LoopRun("hone", ("steps", 2, "release"), 14, 4, 6, 5).change.written == {
        "by": "cards",
        "cards": 5,
        "per_card": 14,
    }
