"""The rest of today on paper: one page, every slot with its pieces in their order, what waits, and nothing lost without a word."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest

from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.paper import rest_sheet
from pullwright.pull.sequence.of_line import day_of
from pullwright.pull.sequence.rest import rest_of
from pullwright.survey.planned.rest import ToldRest, slots_to_come
from tests.pull.sequence.sequenced_lines import carts

WHEN = datetime(2026, 3, 2, 10, 41)
TYPED = {"now": "10:40", "done": "13", "started": "2", "asked.green": "6 more"}


def told(more: str = "", **other: str) -> ToldRest:
    flow = carts(more)
    return ToldRest(rest_of(flow, day_of(flow), TYPED | other))


@pytest.fixture(scope="module")
def rest() -> ToldRest:
    return told()


def test_it_is_one_page_with_every_slot_in_its_order(rest: ToldRest, read_back: Callable[[bytes], Any]) -> None:
    sheet = read_back(rest_sheet(rest, wished="pieces asked for at a time: 4", printed=WHEN))

    assert sheet.pages == 1
    assert sheet.size == pytest.approx((595.3, 841.9), abs=0.1)
    assert sheet.says("The rest of today: carts")
    assert sheet.says("from 10:40 until 14:00")
    assert sheet.says(rest.chapter.sentence)
    slots = slots_to_come(rest.rest)
    assert sum((one.pieces for one in slots), ()) == rest.rest.coming
    for one in slots:
        assert sheet.says(f"slot {one.number}")
    assert sheet.says("started")
    for name, n in rest.rest.day.left_over.items():
        assert sheet.says(f"{n} {name}")
    assert sheet.says("13 pieces are finished and left out.")
    assert sheet.says("2 March 2026, 10:41")


def test_the_same_rest_gives_the_same_bytes(rest: ToldRest) -> None:
    assert rest_sheet(rest, printed=WHEN) == rest_sheet(rest, printed=WHEN)


def test_a_day_of_very_many_slots_says_what_has_no_room(read_back: Callable[[bytes], Any]) -> None:
    text = carts("plan: {day: {pitch: 1}}").line.text
    for station in ("bend, station: bender, machine: 6 min", "booth, manual: 15 min", "bench, manual: 16 min"):
        text = text.replace(station, station.rpartition(" min")[0].rpartition(" ")[0] + " 20 s")
    text = (
        text.replace("demand: 12 /d", "demand: 500 /d")
        .replace("time: 4 min", "time: 1 s")
        .replace("time: 12 min", "time: 1 s")
    )
    flow = flow_of(Line.from_text(text))
    day = day_of(flow)
    assert len(day.sequence) > 400

    sheet = read_back(rest_sheet(ToldRest(rest_of(flow, day, {})), printed=WHEN))

    assert sheet.pages == 1
    assert sheet.says("Not on this page:")


def test_names_of_any_letters_are_only_text(read_back: Callable[[bytes], Any]) -> None:
    strange = '#panic("x") *b* _e_ $x$'
    text = carts().line.text.replace("name: red,", f"name: '{strange}',")
    flow = flow_of(Line.from_text(text))

    sheet = read_back(rest_sheet(ToldRest(rest_of(flow, day_of(flow), {"done": "3"})), printed=WHEN))

    assert sheet.pages == 1
    assert sheet.says("#panic")
