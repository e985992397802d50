"""A plan as it is told holds every figure under one name, says what it changes once, and stands beside what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from pullwright.line import Line
from pullwright.pull.changes import applied
from pullwright.pull.plan import plan_of
from pullwright.survey import survey_of
from pullwright.survey.planned.planned import Planned
from tests.line_base import BASE

DEMO = (Path(__file__).parents[2] / "examples" / "hand_pump.yaml").read_text("utf-8")
NOT_PULLED = DEMO.replace("mean: 5 /d", "mean: 0 /d")


def planned_of(text: str) -> Planned:
    return Planned(plan_of(survey_of(Line.from_text(text)).accounts))


@pytest.fixture(scope="module")
def demo() -> Planned:
    return planned_of(DEMO)


def test_one_name_is_one_figure(demo):
    by_name: dict[str, float] = {}
    for chapter in demo.chapters:
        for figure in chapter.figures():
            assert by_name.setdefault(figure.name, figure.value) == figure.value, figure.name


def test_every_row_has_a_cell_for_every_column(demo):
    for chapter in demo.chapters:
        for table in chapter.tables:
            assert all(len(row.cells) == len(table.columns) for row in table.rows), table.caption


def test_a_line_as_planned_can_be_read_and_planned_again(demo):
    again = planned_of(applied(DEMO, demo.changes))
    assert [chapter.refused for chapter in again.chapters] == [""] * len(again.chapters)


def test_of_two_changes_of_one_field_one_is_told(demo):
    paths = [change.path for change in demo.changes]
    assert len(paths) == len(set(paths))


def test_cards_follow_the_lots_that_they_are_put_with(demo):
    lever = next(i for i, step in enumerate(demo.plan.line.steps) if step.name == "form lever")

    def pieces(keys):
        written = next(one.written for one in demo.changes_of(keys) if one.path == ("steps", lever, "release"))
        return written["cards"] * written["per_card"]

    assert pieces(["lots", "cards"]) < demo.plan.line.steps[lever].lot < pieces(["cards"])


def test_a_product_that_nobody_pulls_is_planned_for_by_no_part():
    found = planned_of(NOT_PULLED)
    assert [chapter.refused for chapter in found.chapters] == [""] * len(found.chapters)
    cards = next(table for table in found.chapter("cards").tables if table.caption == "Loops of cards")
    assert not [row.words for row in cards.rows if "P-50" in row.words and row.cells[2].value]
    assert "P-50" not in set(found.plan.day.sequence)


@pytest.mark.parametrize(
    ("text", "refused"),
    [
        (BASE.replace("manual: 60 s", "machine: 60 s, people: 0"), {"posts", "people"}),
        (BASE.replace("manual: 60 s", "manual: 60 s, set_up: {time: 9 h}, lot: 5"), set()),
        (DEMO.replace("mean: 14 /d", "mean: 140 /d"), set()),
    ],
    ids=["no work by hand", "set-ups that leave no time", "five times the demand"],
)
def test_what_cannot_be_planned_is_said_and_breaks_no_other_part(text, refused):
    found = planned_of(text)
    assert {chapter.key for chapter in found.chapters if chapter.refused} == refused
    assert found.figures
