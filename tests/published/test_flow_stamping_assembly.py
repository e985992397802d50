"""The value stream of a stamping and assembly plant: Rother & Shook, Learning to See (1998), from memory.

18,400 pieces in a month of 20 days, two shifts of 27,600 s net: takt 60 s; stock of 5, 7.6, 1.8, 2.7, 2.0 and 4.5 days; steps of 1, 39, 46, 62
and 40 s. The book adds up to a lead time of 23.6 d and 188 s of processing, with stock divided by the demand. One of the steps takes 62 s at a
takt of 60 s: at the rate that this line can make, stock lasts that much longer, and so it is worked out here.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from pullwright.flow import Flow, flow_of
from pullwright.line import Line

FILE = Path(__file__).parent / "stamping_assembly.yaml"
STOCK_DAYS = [5.0, 7.6, 1.8, 2.7, 2.0, 4.5]
STEP_SECONDS = [1, 39, 46, 62, 40]
PIECES_A_DAY = 18_400 / 20
DAY_SECONDS = 2 * 27_600


@pytest.fixture(scope="module")
def flow() -> Flow:
    return flow_of(Line.read(FILE))


def test_takt_is_a_minute(flow: Flow) -> None:
    assert flow.day.value == DAY_SECONDS
    assert flow.rates.demand.value == pytest.approx(PIECES_A_DAY)
    assert flow.takt.value == pytest.approx(DAY_SECONDS / PIECES_A_DAY)
    assert flow.takt.value == pytest.approx(60, abs=0.01)


def test_the_step_above_takt_is_found(flow: Flow) -> None:
    assert flow.bottleneck.name == "first bench"
    assert flow.bottleneck.load.value == pytest.approx(62 * PIECES_A_DAY / DAY_SECONDS)
    assert flow.made.value == pytest.approx(DAY_SECONDS / PIECES_A_DAY / 62)


def test_stock_lasts_for_so_many_days_of_demand_place_by_place(flow: Flow) -> None:
    waits = [rung.time.value / flow.day.value for rung in flow.ladder.chains[0].rungs if rung.kind == "waiting"]
    days_of_demand = [days * flow.made.value for days in waits if days > 0]
    assert days_of_demand == pytest.approx(STOCK_DAYS)


def test_lead_time_and_processing_time(flow: Flow) -> None:
    assert [rung.time.value for rung in flow.ladder.chains[0].rungs if rung.kind == "touch"] == STEP_SECONDS
    assert flow.ladder.touch.value == sum(STEP_SECONDS) == 188
    waiting = flow.ladder.lead.value - flow.ladder.touch.value
    assert round(waiting * flow.made.value / flow.day.value, 1) == 23.6
    assert flow.ladder.lead_days.value == pytest.approx(23.6 * 62 / 60 + 188 / DAY_SECONDS)
