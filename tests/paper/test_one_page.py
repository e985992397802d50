"""Whatever the line: one A3 page, every word on it, no word on another, no letters under 6.5 points."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any
from unittest.mock import patch

import pytest

import bench.lines
from pullwright.paper import accounts_sheet, page
from pullwright.paper.contents import contents
from pullwright.paper.fit import Plan, plan_for, points_per_unit
from pullwright.survey import Survey

LONG = " of the Donaudampfschifffahrtsgesellschaft, second hall on the left"

HARD: dict[str, dict[str, Any]] = {
    "three stations": {"stations": 3},
    "thirty stations": {"stations": 30},
    "thirty stations beyond takt": {"stations": 30, "demand": 100},
    "thirty stations with long names": {"stations": 30, "called": LONG, "demand": 100},
    "twelve stations with long names": {"stations": 12, "called": LONG},
    "queues without end": {"stations": 6, "demand": 500},
    "a pile of 5,000": {"stations": 6, "pile": 5000},
    "a million pieces": {"stations": 4, "pile": 1_000_000},
    "twenty joining flows": {"stations": 10, "joining": 20},
    "one station": {"stations": 1},
    "no people, floor or money": {"stations": 3, "people": False},
}
MADE_UP = [(3, 5), (12, 3), (25, 8), (30, 1), (30, 2)]


DEMO = "the demo"
CASES = [DEMO, *HARD, *(f"{stations} stations, seed {seed}" for stations, seed in MADE_UP)]


@dataclass(frozen=True)
class Printed:
    """A sheet, and how it was planned."""

    sheet: Any
    plan: Plan


@pytest.fixture(scope="module", params=CASES)
def printed(
    request: pytest.FixtureRequest, demo: Survey, lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> Printed:
    if request.param == DEMO:
        survey = demo
    elif request.param in HARD:
        survey = lines.surveyed(lines.text(**HARD[request.param]))
    else:
        stations, seed = (int(part) for part in request.param.split(" stations, seed "))
        survey = lines.surveyed(bench.lines.line_text(stations, seed))
    plans: list[Plan] = []

    def planned(*asked: Any) -> Plan:
        plans.append(plan_for(*asked))
        return plans[-1]

    with patch("pullwright.paper.sheet.plan_for", planned):
        pdf = accounts_sheet(survey, printed=lines.when)
    return Printed(read_back(pdf), plans[-1])


def test_sheet_is_one_a3_page_lying_on_its_side(printed: Printed) -> None:
    assert printed.sheet.pages == 1
    assert printed.sheet.size == pytest.approx((420 / 25.4 * 72, 297 / 25.4 * 72), abs=0.1)


def test_every_word_is_on_the_page_down_to_the_last_line(printed: Printed) -> None:
    margin = page.MARGIN / 2  # the box of a line of capitals reaches above its ink
    outside = [
        word.text
        for word in printed.sheet.words
        if not (margin < word.left and word.right < page.WIDTH - margin)
        or not (margin < word.top and word.bottom < page.HEIGHT - margin)
    ]

    assert outside == []
    assert printed.sheet.says("Every number answers why")


def test_no_word_lies_on_another(printed: Printed) -> None:
    assert printed.sheet.overlapping() == []


def test_letters_are_never_under_six_and_a_half_points(printed: Printed) -> None:
    plan = printed.plan
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', plan.drawing.svg)]

    assert min(sizes) * points_per_unit(plan.layout.letters) >= page.SMALLEST - 1e-3
    assert plan.layout.letters >= page.SMALLEST
    assert plan.width == pytest.approx(page.ROOM)
    assert not printed.sheet.says("too long for one sheet")


def test_no_words_of_the_template_are_smaller_than_the_letters_of_the_sheet() -> None:
    from importlib.resources import files

    template = (files("pullwright.paper") / "accounts_sheet.typ").read_text("utf-8")
    sizes = [float(size) for size in re.findall(r"\bsize: ([\d.]+)em", template)]

    assert len(sizes) >= 4
    assert min(sizes) >= 1.0


def test_shorter_lines_get_larger_letters(lines: SimpleNamespace) -> None:
    letters = []
    for stations in (3, 12, 30):
        survey = lines.surveyed(lines.text(stations))
        letters.append(plan_for(survey, contents(survey, "", lines.when)).layout.letters)

    assert letters == sorted(letters, reverse=True)
    assert letters[0] > letters[-1]


def test_a_line_too_long_for_one_sheet_is_one_page_all_the_same_and_says_so(
    lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    sheet = read_back(accounts_sheet(lines.surveyed(lines.text(90)), printed=lines.when))

    assert sheet.pages == 1
    assert sheet.says("This line is too long for one sheet")
    assert sheet.overlapping() == []


def test_findings_beyond_what_fits_are_counted_and_every_kind_is_told(
    lines: SimpleNamespace, read_back: Callable[[bytes], Any]
) -> None:
    survey = lines.surveyed(lines.text(30, demand=100), "long.yaml")

    said = contents(survey, "", lines.when)
    told = plan_for(survey, said).layout.findings
    sheet = read_back(accounts_sheet(survey, printed=lines.when))

    assert 0 < told < len(survey.findings)
    assert sheet.says(f"and {len(survey.findings) - told} more: pullwright check long.yaml")
    kinds = {finding.word for finding in survey.findings}
    assert {one["word"] for one in said["findings"][: len(kinds)]} == kinds
