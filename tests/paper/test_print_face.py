"""The letters of the print fit where drawings reckoned with wider ones, and are as large as said."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable

import pytest
import typst

import bench.lines
from pullwright.draw.letters import width_of
from pullwright.line import Line
from pullwright.paper import page
from pullwright.paper.print_face import LARGER, in_print_face, units_across
from pullwright.survey import Survey, survey_of

MEASURING = """
#let words = json(bytes(sys.inputs.words))
#set text(font: sys.inputs.face, size: 100pt)
#context [#metadata(words.map(one => (measure(text(one)).width / 1pt, measure(text(weight: 600, one)).width / 1pt))) <widths>]
"""
BETWEEN_CELLS = 14.0
"""Free room that drawings leave between two columns of text, in drawing units."""


def widths(words: list[str]) -> list[tuple[float, float]]:
    """Regular and bold widths as Typst sets them, in em."""
    asked = {"words": json.dumps(words), "face": page.FACE}
    answer = typst.query(
        MEASURING.encode(), "<widths>", field="value", one=True, sys_inputs=asked, ignore_system_fonts=True
    )
    return [(regular / 100, bold / 100) for regular, bold in json.loads(answer)]


def names_of(surveys: Iterable[Survey]) -> list[str]:
    found = set()
    for survey in surveys:
        found |= {step.name for step in survey.line.steps} | {station.name for station in survey.line.stations}
        found |= {finding.word for finding in survey.findings}
        found |= {figure.text() for figure in list(survey.figures.values())[:400]}
    return sorted(found)


def test_words_as_they_occur_need_no_more_room_than_reckoned(demo: Survey) -> None:
    made_up = [survey_of(Line.from_text(bench.lines.line_text(12, seed))) for seed in range(3)]
    words = names_of([demo, *made_up])
    assert len(words) > 200

    for word, (regular, bold) in zip(words, widths(words), strict=True):
        assert regular * LARGER <= width_of(word, 1.0) + 1e-9, word
        assert bold * LARGER <= width_of(word, 1.0, bold=True) + 1e-9, word


def test_even_capitals_stay_within_the_room_between_columns() -> None:
    words = ["WAXMAN", "MAXIMUM WATT", "KNAVE HAWK XXL", "AVATAR"]

    for word, (regular, _) in zip(words, widths(words), strict=True):
        for size in (11.0, 12.0):
            assert regular * LARGER * size <= width_of(word, size) + BETWEEN_CELLS, word


def test_numbers_stand_under_each_other() -> None:
    digits = widths(list("0123456789"))

    assert len({round(regular, 6) for regular, _ in digits}) == 1


def test_both_faces_come_with_typst() -> None:
    brought = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True).families()

    assert page.FACE in brought
    assert page.FACE_OF_COMMANDS in brought


@pytest.mark.parametrize("letters", [10.0, 8.0, page.SMALLEST])
def test_small_letters_come_out_at_the_size_asked_for(letters: float) -> None:
    units = units_across(page.ROOM, letters)
    drawing = in_print_face(f'<svg width="{units}" height="10" viewBox="0 0 1 1"><text font-size="11">x</text></svg>')

    assert drawing.smallest * page.ROOM / units == pytest.approx(letters)


def test_blanks_are_kept_and_every_size_is_written_larger() -> None:
    svg = '<svg width="20" height="30.5"><text font-size="10">7.8<tspan> min</tspan></text><text font-size="20"/></svg>'

    drawing = in_print_face(svg)

    assert drawing.svg.startswith('<svg xml:space="preserve" ')
    assert [float(size) for size in re.findall(r'font-size="([\d.]+)"', drawing.svg)] == pytest.approx(
        [10 * LARGER, 20 * LARGER]
    )
    assert (drawing.height, drawing.smallest) == (30.5, 10 * LARGER)


def test_a_drawing_without_height_is_refused() -> None:
    with pytest.raises(ValueError, match="without a height"):
        in_print_face("<svg></svg>")
