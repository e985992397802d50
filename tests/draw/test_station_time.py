"""Where a station's time goes: bars of one length, true to the shares, told apart by hatch and never by hue alone."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from pullwright.draw.ink import INK, LOOK, PAPER, PENCIL
from pullwright.draw.scene import SceneError
from pullwright.draw.station_time import GRAINS, GREY, StationTime, station_time
from pullwright.figure import Source, given

ROWS = [row for row, _ in GRAINS]


def station(name="hone", shares=(0.5, 0.1, 0.05, 0.1, 0.0, 0.05, 0.05, 0.05, 0.1)) -> StationTime:
    named = tuple(
        (row, given(f"{row} / {name}", share, "share", Source("computed", "a run")))
        for row, share in zip(ROWS, shares, strict=True)
    )
    return StationTime(name, named)


def test_the_fields_of_a_bar_are_as_long_as_their_shares_and_fill_it():
    drawn = station_time([("", [station()])], width=1000.0)
    wide = [float(one) for one in re.findall(r'<rect [^>]*width="([\d.]+)"[^>]*fill="transparent"', drawn)]
    assert wide[0] / sum(wide) == pytest.approx(0.5, abs=0.001)
    assert len(wide) == sum(share > 0 for share in (0.5, 0.1, 0.05, 0.1, 0.0, 0.05, 0.05, 0.05, 0.1))


def test_every_row_has_a_look_of_its_own_and_none_is_told_by_hue():
    assert len({(grain.ground, grain.strokes) for _, grain in GRAINS}) == len(GRAINS)
    assert {grain.tone for _, grain in GRAINS} <= {INK, PENCIL, GREY}


def test_the_key_names_the_rows_that_are_there_and_no_others():
    drawn = station_time([("", [station(shares=(0.6, 0, 0, 0, 0, 0, 0, 0, 0.4))])])
    assert ">starved<" in drawn
    assert ">held<" not in drawn


def test_today_and_the_option_stand_one_under_the_other_each_with_its_own_whys():
    drawn = station_time(
        [("today", [station()]), ("option", [station(shares=(0.9, 0.1, 0, 0, 0, 0, 0, 0, 0))])],
        why_links=[lambda name: f"/today?{name}", lambda name: f"/option?{name}"],
    )
    assert drawn.index("/today?working / hone") < drawn.index("/option?working / hone")
    assert ">today<" in drawn
    assert ">option<" in drawn


def test_it_is_drawing_text_with_ids_of_its_own_and_escaped_names():
    drawn = station_time([("", [station("<b>&\u6cf5")])], prefix="narrow", width=358.0)
    ElementTree.fromstring(drawn)  # noqa: S314
    assert "<b>" not in drawn
    assert all(one.startswith("narrow") for one in re.findall(r' id="([^"]+)"', drawn))


def test_nothing_in_it_is_coloured_and_it_has_no_ground_of_its_own():
    drawn = station_time([("", [station()])])
    assert LOOK not in drawn
    assert PAPER not in drawn


def test_a_row_that_nobody_knows_is_refused():
    with pytest.raises(SceneError, match="no row of a station's time"):
        StationTime("hone", (("asleep", given("x", 0.1, "share", Source("computed", "a run"))),))


def test_no_station_is_an_empty_drawing():
    assert station_time([("", [])]).startswith("<svg")
