"""A long line said in fewer words: nothing is lost that is not said, and the scale stays."""

from __future__ import annotations

from itertools import pairwise

import pytest

import bench.lines
from pullwright.draw import LinePicture, line_drawing
from pullwright.line import Line
from pullwright.paper.bare_ribbon import without_overlap
from pullwright.paper.brief import in_brief, loops_in_words, main_flow
from pullwright.paper.brief_drawing import brief_drawing, stacked
from pullwright.survey import Survey, survey_of


@pytest.fixture(scope="module")
def long_line() -> LinePicture:
    return survey_of(Line.from_text(bench.lines.line_text(30, 1775539677))).picture()


def test_figures_keep_value_and_unit_and_lose_only_the_interval(long_line: LinePicture) -> None:
    brief = in_brief(long_line)

    for before, after in zip(long_line.branches[0].columns, brief.branches[0].columns, strict=True):
        assert after.content.value == before.content.value
        assert after.content.parts()[:2] == tuple(before.content.parts())[:2]
        assert after.content.parts()[2] == ""
        assert after.content.text() == before.content.text()


def test_lead_and_touch_time_keep_their_intervals(long_line: LinePicture) -> None:
    assert in_brief(long_line).lead is long_line.lead
    assert in_brief(long_line).touch is long_line.touch


def test_remarks_stay(long_line: LinePicture) -> None:
    def remarks(picture: LinePicture) -> list[object]:
        columns = [column for branch in picture.branches for column in branch.columns]
        return [(column.remark, column.queue.remark if column.queue else None) for column in columns]

    assert remarks(in_brief(long_line)) == remarks(long_line)


def test_every_loop_is_said_in_words(long_line: LinePicture) -> None:
    loops = [loop for branch in long_line.branches for loop in branch.loops]
    assert loops

    said = loops_in_words(long_line).removeprefix("let in: ").split("; ")

    assert len(said) == len(loops)
    assert "cards cards" not in "; ".join(said)
    assert "made to order at 2, back from the customer" in said
    assert "pushed by schedule at 6" in said


def test_a_line_without_loops_says_nothing_of_them(long_line: LinePicture) -> None:
    assert loops_in_words(in_brief(long_line)) == ""


def test_the_station_where_flows_join_names_them(demo: Survey) -> None:
    names = [column.name for column in main_flow(demo.picture()).branches[0].columns]

    assert "assembly bench + A, B" in names
    assert "saw" in names


def height(svg: str) -> float:
    return float(svg.split(' height="')[1].split('"')[0])


def test_the_drawing_in_brief_is_lower(long_line: LinePicture) -> None:
    dense = line_drawing(long_line, width=2160, font="any", heading=False, dense=True)

    assert height(brief_drawing(long_line, width=2160, prefix="a", font="any")) < 0.8 * height(dense)


def test_drawings_stand_under_each_other_without_a_gap() -> None:
    parts = tuple(f'<svg width="{wide}" height="{high}">{high}</svg>' for wide, high in ((10, 5), (8, 7.5)))

    svg = stacked(parts, 10.0, (0.0, 2.0))

    assert height(svg) == 12.5
    assert '<svg x="0" y="0" width="10" height="5">' in svg
    assert '<svg x="2" y="5" width="8" height="7.5">' in svg


def test_what_has_no_size_cannot_be_set_under_another() -> None:
    with pytest.raises(ValueError, match="without a size"):
        stacked(("<svg></svg>",), 10.0, (0.0,))


def test_numbers_over_the_ribbon_never_touch_and_none_is_left_out() -> None:
    places = [(str(number), place) for number, place in enumerate([0, 1, 2, 40, 41, 300, 301, 340, 700], 1)]

    placed = without_overlap(places)

    edges = [(one.place - one.row.width / 2, one.place + one.row.width / 2) for one in placed]
    assert all(right <= left for (_, right), (left, _) in pairwise(edges))
    told = [number for one in placed for number in range(int(one.first), int(one.last) + 1)]
    assert told == list(range(1, 10))
