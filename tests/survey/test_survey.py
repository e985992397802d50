"""A survey holds everything of a line under one name each; two surveys tell their differences."""

from __future__ import annotations

from pathlib import Path

import pytest

from pullwright import Line
from pullwright.survey import compare, survey_of
from pullwright.survey.survey import UnknownFigureError

ROOT = Path(__file__).parents[2]
DEMO = (ROOT / "examples" / "hand_pump.yaml").read_text("utf-8")


@pytest.fixture(scope="module")
def line() -> Line:
    return Line.from_text(DEMO, "hand_pump.yaml")


def test_every_figure_has_a_name_of_its_own(line: Line) -> None:
    named: dict[str, int] = {}
    waiting = list(line.survey.figures.values())
    seen: set[int] = set()
    while waiting:
        figure = waiting.pop()
        if id(figure) in seen:
            continue
        seen.add(id(figure))
        assert named.setdefault(figure.name, id(figure)) == id(figure), figure.name
        waiting.extend(figure.inputs)


def test_every_figure_answers_why_with_a_source(line: Line) -> None:
    for figure in line.survey.every_figure.values():
        if figure.inputs:
            assert figure.formula, figure.name
        else:
            assert figure.source is not None, figure.name
            assert figure.source.text, figure.name


def test_a_figure_is_found_by_its_name(line: Line) -> None:
    assert line.figure("takt time") is line.flow().takt


def test_an_unknown_name_gets_the_nearest(line: Line) -> None:
    with pytest.raises(UnknownFigureError, match="did you mean takt time"):
        line.figure("takt-time")


def test_a_line_does_not_differ_from_itself(line: Line) -> None:
    assert compare(line.survey, survey_of(Line.from_text(DEMO))) == ()


def test_what_is_not_known_alike_cancels_out_of_the_difference(line: Line) -> None:
    more = Line.from_text(DEMO.replace("counted: 64,", "counted: 92,"))

    changes = {change.words: change for change in more.compared_with(line)}

    stock = changes["stock after pack"]
    assert stock.difference.value == 28
    assert stock.difference.certain
    lead = changes["lead time"]
    assert not lead.before.certain
    assert lead.difference.draws.std() < 0.01 * lead.before.draws.std()


def test_the_notebook_shows_the_sentence_and_the_drawing(line: Line) -> None:
    html = line._repr_html_()

    assert "This line can make its 28 a day" in html
    assert "<svg" in html


def test_losses_come_dearest_first(line: Line) -> None:
    costs = [row.amount.value for row in line.losses()]

    assert costs == sorted(costs, reverse=True)
    assert costs[0] > 0


def test_what_to_watch_next_is_said_in_sentences(line: Line) -> None:
    advice = line.survey.watch_next()

    assert advice
    assert all(one.sentence.endswith(".") for one in advice)
