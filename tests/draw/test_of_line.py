"""From a line file to its drawing: every figure finds its place, waits are told in days, ends are told truly."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from bench.lines import line_text
from pullwright import Line
from pullwright.draw import line_drawing
from pullwright.draw.of_line import picture_of
from pullwright.draw.ribbon_time import strips_of
from pullwright.line.kinds import KINDS

SVG = "{http://www.w3.org/2000/svg}"
DEMO = Path(__file__).parents[2] / "examples" / "hand_pump.yaml"
TWO_WAYS = """
line: Two ways
invented: yes
calendar:
  days: [mon, tue, wed, thu, fri]
  shifts: [{name: day, from: "06:00", to: "14:00"}]
products:
  - {name: pump, demand: 40 /d}
  - {name: spare kit, demand: 5 /d}
  - {name: rebuilt pump, demand: 2 /d}
stations: [{name: lathe}, {name: mill}, {name: bench}, {name: table}, {name: wash tub}]
steps:
  - {name: turn, station: lathe, for: [pump, spare kit], elements: [{what: turn, machine: 100 s, kind: value}]}
  - {name: mill, station: mill, for: [pump, spare kit], elements: [{what: mill, manual: 90 s, kind: value}]}
  - {name: face, station: lathe, for: [pump], elements: [{what: face, machine: 80 s, kind: value}]}
  - {name: assemble, station: bench, for: [pump], elements: [{what: assemble, manual: 200 s, kind: value}]}
  - {name: bag, station: table, after: [mill], for: [spare kit], elements: [{what: bag, manual: 60 s, kind: value}]}
  - {name: strip and clean, station: wash tub, after: [], for: [rebuilt pump], elements: [{what: strip, manual: 900 s, kind: value}]}
"""


@pytest.fixture(scope="module")
def demo() -> Line:
    return Line.read(DEMO)


@pytest.fixture(scope="module")
def two_ways() -> Line:
    return Line.from_text(TWO_WAYS)


def lowest_of(svg: str, titles: tuple[str, ...]) -> float:
    """The bottom of what is drawn in the groups whose titles begin so."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - made here
    bottoms = []
    for group in root.iter(f"{SVG}g"):
        if group.findtext(f"{SVG}title", "").startswith(titles):
            bottoms += [float(rect.get("y")) + float(rect.get("height")) for rect in group.iter(f"{SVG}rect")]
            paths = (path.get("d") for path in group.iter(f"{SVG}path"))
            bottoms += [float(y) for path in paths for y in re.findall(r"M[\d.]+ ([\d.]+)h", path)]
    return max(bottoms)


def test_work_stock_and_ribbon_of_the_demo_are_seen_without_scrolling(demo):
    picture = demo.survey.picture()
    svg = line_drawing(picture, width=1200)
    main = picture.branches[0]
    assert lowest_of(svg, tuple(f"Work at {k} " for k in range(1, 10))) < 320
    assert lowest_of(svg, tuple(f"{piece.name}, " for piece in main.ribbon)) < 750


def test_waits_from_one_day_on_are_told_in_days_and_work_in_minutes(demo):
    picture = demo.survey.picture()
    day = demo.flow().day.value
    assert picture.lead_written is demo.flow().ladder.lead_days
    pieces = [piece for branch in picture.branches for piece in branch.ribbon]
    assert {piece.written.unit for piece in pieces if piece.touch} == {"s"}
    for piece in pieces:
        in_days = not piece.touch and piece.time.value >= day
        assert piece.written.unit == ("wd" if in_days else "s"), piece.name
        if in_days:
            assert piece.written.value == pytest.approx(piece.time.value / day)
    piles = [column.queue for branch in picture.branches for column in branch.columns]
    assert {pile.lasts_written.unit for pile in piles if pile.lasts.value >= day} == {"wd"}


def test_every_number_of_the_drawing_leads_to_a_figure_that_answers_why(demo):
    survey = demo.survey
    svg = line_drawing(picture_of(survey.accounts, survey.findings, survey.sentence, lambda name: f"why:{name}"))
    links = {link.get("href") for link in ElementTree.fromstring(svg).iter(f"{SVG}a")}  # noqa: S314 - made here
    assert len(links) > 100
    for link in links:
        figure = survey.figure(link.removeprefix("why:"))
        assert figure.inputs or figure.source, figure.name
        assert bool(figure.formula) == bool(figure.inputs), figure.name


def test_a_way_of_its_own_goes_to_the_customer_and_a_way_that_leaves_says_where_from(two_ways):
    main, *others = two_ways.survey.picture().branches
    assert [column.steps for column in main.columns] == [("turn",), ("mill",), ("face",), ("assemble",)]
    ends = {branch.name: (branch.joins, branch.leaves) for branch in others}
    assert ends == {"bag": (None, 1), "strip and clean": (None, None)}
    words = line_drawing(two_ways.survey.picture())
    assert "A bag, from 2 mill" in words
    assert "into " not in words


def test_two_steps_at_one_station_make_one_bar(two_ways):
    picture = two_ways.survey.picture()
    assert [column.same_as for column in picture.branches[0].columns] == [None, None, (0, 0), None]
    svg = line_drawing(picture)
    value = next(kind.words for kind in KINDS if kind.key == "value")
    assert svg.count(f"lathe: {value}, ") == 1
    assert "same station as 1" in svg


def test_the_ribbon_of_the_way_that_leaves_begins_where_it_leaves(two_ways):
    main, leaving, _ = strips_of(two_ways.survey.picture())
    milled = max(one.end for one in main.stretches if one.piece.column == 1)
    assert leaving.start == pytest.approx(milled)


@pytest.mark.parametrize("width", [1200, 380])
@pytest.mark.parametrize("seed", range(6))
def test_any_line_that_can_be_written_can_be_drawn(seed, width):
    picture = Line.from_text(line_text((3, 8, 14, 20, 30, 45)[seed], seed, busiest=1.2)).survey.picture()
    root = ElementTree.fromstring(line_drawing(picture, width=width))  # noqa: S314 - made here
    written = " ".join("".join(text.itertext()) for text in root.iter(f"{SVG}text"))
    for branch in picture.branches:
        for column in branch.columns:
            assert column.name.split()[0] in written
    assert " nan" not in written
