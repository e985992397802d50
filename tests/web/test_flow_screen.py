"""The flow on a page is the flow of the survey: every station, crew, wait, stock, stretch and indicator."""

from __future__ import annotations

import pytest

from pullwright.flow.indicators import INDICATORS
from pullwright.line import Line
from pullwright.survey import survey_of
from tests.web.small_line import TOO_MUCH, VALVES

FLOW = survey_of(Line.from_text(VALVES, name="valves.yaml")).flow


@pytest.fixture
def parts(at_bench):
    page = at_bench.get("/lines/valves/flow.json").json()
    return {part["key"]: part["tables"] for part in page["parts"]}


def _column(table, index):
    return [row["figures"][index]["value"] for row in table["rows"]]


def test_stations_and_crews_stand_there_with_their_loads(parts):
    assert _column(parts["stations"][0], 0) == [station.load.value for station in FLOW.stations]
    assert _column(parts["people"][0], 0) == [crew.load.value for crew in FLOW.people.crews]


def test_the_bar_of_a_station_adds_up_to_its_work_against_takt(parts):
    for row, station in zip(parts["bars"][0]["rows"], FLOW.stations, strict=True):
        assert sum(one["value"] for one in row["figures"] if one) == pytest.approx(station.content.value)


def test_the_ladder_adds_up_to_the_lead_time(parts):
    (table,) = parts["ladder"]
    stretches = [row["figures"][0]["value"] for row in table["rows"] if not row["words"].startswith("of it")]
    assert sum(stretches) == pytest.approx(FLOW.ladder.lead.value)
    assert table["total"]["figures"][0]["value"] == FLOW.ladder.lead.value


def test_waiting_and_stock_stand_there_place_by_place(parts):
    assert _column(parts["waiting"][0], 2) == [wait.total.value for wait in FLOW.waits]
    assert [row["words"] for row in parts["stock"][0]["rows"]] == [stock.words for stock in FLOW.stocks]
    assert _column(parts["stock"][0], 0) == [stock.held.value for stock in FLOW.stocks]


def test_every_indicator_of_the_standard_stands_there_for_every_station(parts):
    columns = [column for table in parts["indicators"] for column in table["columns"]]
    assert columns == [words.partition(":")[0] for _, words in INDICATORS]
    shown = [[one["value"] for one in row["figures"]] for row in parts["indicators"][0]["rows"]]
    assert shown == [[figure.value for figure in each.all()[:5]] for each in FLOW.indicators]


def test_the_three_cases_stand_beside_each_other(parts):
    held, table = parts["cases"]
    cases = (FLOW.cases.best, FLOW.cases.practical_worst, FLOW.cases.worst)
    assert _column(table, 0) == [case.throughput.value for case in cases]
    assert _column(table, 1) == [case.cycle.value for case in cases]
    assert held["rows"][1]["figures"][0]["value"] == FLOW.cases.critical_wip.value


def test_an_overloaded_station_carries_the_mark_and_the_word(valves, at_bench):
    valves.revise("valves", TOO_MUCH, "A. Weber", "a large order", 1)
    page = at_bench.get("/lines/valves/flow.json").json()
    stations = next(part for part in page["parts"] if part["key"] == "stations")["tables"][0]["rows"]
    assert all("beyond takt" in row["look"] for row in stations)
    assert page["found"]["look"]


def test_what_has_no_end_is_written_so_and_is_null_for_programs(valves, at_bench):
    valves.revise("valves", TOO_MUCH, "A. Weber", "a large order", 1)
    page = at_bench.get("/lines/valves/flow.json").json()
    waits = next(part for part in page["parts"] if part["key"] == "waiting")["tables"][0]["rows"]
    assert waits[0]["figures"][0]["value"] is None
    assert waits[0]["figures"][0]["number"] == "without end"
