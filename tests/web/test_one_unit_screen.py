"""One unit on its way: the page shows the stays of the engine, of a usual unit and of a slow one."""

from __future__ import annotations

import time

import pytest

from pullwright.forecast.layout import layout_of
from pullwright.forecast.one_unit import unit_through
from pullwright.forecast.unit_said import unit_sentence
from pullwright.forecast.warm import warm_up_kernels
from pullwright.line import Line
from tests.web.small_cards import SEALS

PAGE = "/lines/seals/forecast/unit"


@pytest.fixture(scope="module", autouse=True)
def kernels():
    """Compiled once: no page of these tests waits for that."""
    warm_up_kernels()


@pytest.fixture
def seals(at_bench, valves):
    valves.add_line("seals", "Seal line", SEALS, "A. Weber", "first count")
    return at_bench


def told(visitor, address):
    """The figures, once the line was run; a machine with much to do takes longer than a page waits."""
    until = time.monotonic() + 120
    while (page := visitor.get(address).json()).get("waiting") and time.monotonic() < until:
        time.sleep(0.1)
    return page


def test_the_stays_are_those_of_the_engine_from_the_begin_of_the_unit_on(seals):
    page, layout = told(seals, f"{PAGE}.json"), layout_of(Line.from_text(SEALS))
    unit = unit_through(layout, days=page["days"])
    begin = unit.stays[0].begin
    assert page["found"]["text"] == unit_sentence(unit, layout.day)
    assert [(one["step"], one["doing"], one["begin"], one["end"]) for one in page["stays"]] == [
        (one.step, one.doing, pytest.approx(one.begin - begin), pytest.approx(one.end - begin)) for one in unit.stays
    ]


def test_a_slow_unit_takes_longer_than_a_usual_one_and_each_leads_to_the_other(seals, tree):
    usual, slow = told(seals, f"{PAGE}.json"), told(seals, f"{PAGE}.json?share=0.95")
    assert slow["seconds"] > usual["seconds"]
    assert slow["found"]["text"].startswith("A slow unit takes")
    page = tree(seals.get(PAGE).text)
    assert not page.open
    assert f"{PAGE}?share=0.95" in [one.get("href") for one in page.all("a")]


def test_where_no_unit_comes_through_the_page_says_so(at_bench, valves):
    nobody = (
        SEALS.replace("30 /d", "{mean: 0.001 /d, cv: 0}")
        .replace("cards: 8", "cards: 1")
        .replace("counted: 8", "counted: 1")
    )
    valves.add_line("idle", "Idle line", nobody, "A. Weber", "first count")
    page = told(at_bench, "/lines/idle/forecast/unit.json")
    assert page["found"]["text"].startswith("No unit was begun and ended within 120 working days")
    assert at_bench.get("/lines/idle/forecast/unit").status_code == 200


@pytest.mark.parametrize("share", ["2", "-1", "nan", "much"])
def test_a_share_that_is_none_is_refused(seals, share):
    assert seals.get(f"{PAGE}?share={share}").status_code == 422
