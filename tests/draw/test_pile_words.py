"""What is written under a pile: short, readable, and with everything else one step away."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pullwright.draw import Branch, line_drawing
from pullwright.draw.little_room import how_long, in_pieces
from pullwright.draw.piles import pile_rows
from pullwright.draw.told import asked_once, told

SVG = "{http://www.w3.org/2000/svg}"
NARROW, WIDE = 96.0, 300.0


def lines(pile, room: float = NARROW) -> list[str]:
    return [row.text.replace("\u00a0", " ") for row in pile_rows(pile, "EUR", room)]


def whole(scenes, **more):
    known = {
        "capacity": scenes.pieces("room", 200.0),
        "lasts": scenes.seconds("lasts", 3.6e5, 0.02),
        "lasts_shown": scenes.days("days", 13.9, 0.02),
    }
    return scenes.pile(410.0, 139.4, **(known | more))


def test_a_pile_is_told_on_four_lines_and_its_unit_once(scenes):
    assert lines(whole(scenes)) == ["410 pieces", "needs 139", "room for 200", "lasts 13.9 d"]


def test_less_than_one_piece_is_said_to_be_less_than_one(scenes):
    assert lines(scenes.pile(0.0381, 0.734)) == ["under 1 piece", "needs under 1"]
    assert lines(scenes.pile(0.0, 0.0)) == ["0 pieces", "needs 0"]


@given(value=st.floats(1.0, 99.4))
def test_a_few_pieces_are_whole_pieces(scenes, value):
    number, _ = in_pieces(scenes.pieces("need", value), "EUR")
    assert number.isdigit()
    assert abs(int(number) - value) <= 0.5


def test_an_interval_is_written_only_where_it_is_wide(scenes):
    assert in_pieces(scenes.pieces("need", 50.0, 0.05), "EUR")[0] == "50"
    assert in_pieces(scenes.pieces("need", 50.0, 0.2), "EUR")[0] == "40–60"
    assert how_long(scenes.days("wait", 50.0, 0.05), "EUR") == ("50.0", "d")
    assert how_long(scenes.days("wait", 50.0, 0.2), "EUR") == ("40.0–60.0", "d")


def test_endless_stock_is_said_to_be_endless(scenes):
    assert lines(scenes.pile(math.inf), WIDE) == ["without end"]
    assert how_long(scenes.seconds("wait", math.inf, 0.2), "EUR")[0] == "without end"


@pytest.mark.parametrize("width", [1200, 380])
def test_every_figure_of_a_pile_stands_in_full_in_its_title(scenes, width):
    column = scenes.station("Saw", {"value": 20}, queue=whole(scenes))
    svg = line_drawing(scenes.picture(Branch("main", (column,))), width=width)
    titles = [title.text for title in ElementTree.fromstring(svg).iter(f"{SVG}title")]  # noqa: S314 - made here
    full = "410 pieces, needs 139 pieces, room for 200 pieces, lasts 13.9 d (13.6 to 14.2)"
    assert f"Stock before 1 Saw, {full}" in titles


def test_a_figure_is_asked_once_while_a_drawing_is_made(scenes):
    figure = scenes.seconds("wait", 60.0, 0.5)
    with asked_once():
        assert told(figure, "EUR") is told(figure, "EUR")
        assert told(figure, "EUR") is not told(figure, "CHF")
    assert told(figure, "EUR") is not told(figure, "EUR")
    assert told(figure, "EUR").text == figure.text()
