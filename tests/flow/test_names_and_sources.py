"""What figures are called, and where a why ends: every name once, every source in the line of the file that holds it."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings

from pullwright.figure import Figure
from pullwright.flow import Flow, flow_of
from pullwright.line import Line
from tests.flow.test_whatever_the_line import below
from tests.strategies import line_texts


def flow_with(text: str) -> Flow:
    return flow_of(
        Line.from_text(
            "line: names\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n" + text.lstrip(),
            name="l.yaml",
        )
    )


def names_below(flow: Flow) -> list[str]:
    return [figure.name for figure in below(list(flow.figures().values()))]


@settings(max_examples=15, suppress_health_check=list(HealthCheck))
@given(line_texts(10))
def test_names_are_the_only_ones_and_sources_hold_on_typed_lines(text: str) -> None:
    flow = flow_of(Line.from_text(text, name="l.yaml"))
    found = below(list(flow.figures().values()))
    assert len({figure.name for figure in found}) == len(found)
    rows = text.splitlines()
    for figure in found:
        if not figure.inputs and figure.source is not None and figure.source.line is not None:
            study = figure.source.kind == "study"
            field = "readings" if study else figure.source.text.split(" / ")[-1]
            assert field in rows[figure.source.line - 1]


ALL_ALIKE = """
products: [{name: paint, demand: 20 /d, uses: [{part: paint, quantity: 1, at: paint}]}]
parts: [{name: paint, price: 3 EUR, delivery_lot: 50, lead_time: 3 d}]
stations: [{name: paint, breakdowns: {between: 9 h, repair: 20 min}}, {name: pack}]
steps:
  - {name: paint, station: paint, manual: 5 min, scrap: 2 %, lot: 5, set_up: {time: 9 min}, also_at: [{station: pack, share: 10 %}]}
  - {name: pack, station: pack, manual: 5 min, rework: {share: 4 %, to: paint}}
people: [{name: paint, number: 2, skills: [paint]}, {name: pack, number: 2}]
stores: [{part: paint, counted: 9}, {before: paint, counted: 9}, {after: pack, counted: 9}]
"""


def test_a_product_part_station_step_and_crew_of_one_name_keep_their_figures_apart() -> None:
    names = names_below(flow_with(ALL_ALIKE))
    assert len(set(names)) == len(names)


def test_strokes_inside_names_do_no_harm() -> None:
    flow = flow_with("""
products: [{name: P / left, demand: 20 /d}, {name: P, demand: 5 /d}]
stations: [{name: saw / deburr}, {name: saw}, {name: deburr}]
steps:
  - {name: saw / deburr, station: saw / deburr, manual: 5 min, first_pass_yield: 98 %}
  - {name: saw, station: saw, manual: 5 min}
  - {name: deburr, station: deburr, manual: 5 min, for: [P / left]}
  - {name: deburr / wash, station: deburr, manual: 5 min}
""")
    names = names_below(flow)
    assert len(set(names)) == len(names)
    why = str(flow.figures()["load / saw / deburr"].why())
    assert "steps / saw / deburr / manual: 5 min [line file: steps / saw / deburr / manual (l.yaml:6)]" in why


def test_two_elements_of_the_same_words_are_two_figures_with_draws_of_their_own() -> None:
    time = "{low: 50 s, likely: 60 s, high: 90 s}"
    flow = flow_with(f"""
products: [{{name: P, demand: 20 /d}}]
stations: [{{name: bench}}]
steps:
  - name: assemble
    station: bench
    elements:
      - {{what: fit, manual: {time}, kind: value}}
      - {{what: fit, manual: {time}, kind: value}}
      - {{what: "fit #2", manual: {time}, kind: value}}
""")
    found = {figure.name: figure for figure in below([flow.ladder.touch])}
    fits = [found[f"steps / assemble / elements / {word} / manual"] for word in ("fit #1", "fit (entry 2)", "fit #2")]
    assert [figure.source.line for figure in fits if figure.source] == [9, 10, 11]
    assert len({tuple(figure.draws) for figure in fits}) == 3


def test_one_study_behind_two_elements_is_one_figure() -> None:
    flow = flow_with("""
products: [{name: P, demand: 20 /d}]
stations: [{name: bench}]
steps:
  - name: assemble
    station: bench
    elements:
      - {what: left side, manual: {study: T-1}, kind: value}
      - {what: right side, manual: {study: T-1}, kind: value}
studies: [{name: T-1, of: one side, readings: [40 s, 44 s, 42 s]}]
""")
    studies = [figure for figure in below([flow.ladder.touch]) if figure.name == "study T-1"]
    assert len(studies) == 1
    assert flow.ladder.touch.draws == pytest.approx(2 * studies[0].draws)
    assert studies[0].source is not None
    assert [reading.where for reading in studies[0].source.readings] == ["l.yaml:11"] * 3


def given_below(figure: Figure) -> dict[str, str]:
    return {one.name: one.source.kind for one in below([figure]) if not one.inputs and one.source is not None}


def test_what_the_file_does_not_say_is_common_practice_and_no_field() -> None:
    flow = flow_with("""
products: [{name: P, demand: 20 /d}]
stations: [{name: bench}]
steps: [{name: assemble, station: bench, manual: 5 min}]
""")
    assert given_below(flow.stations[0].load)["stations / bench / machines"] == "common practice"
    assert given_below(flow.waits[0].queue)["assumed / manual work varies by"] == "common practice"
    (machines,) = [figure for figure in below([flow.stations[0].load]) if figure.name == "stations / bench / machines"]
    assert machines.source is not None
    assert machines.source.text == "the line file does not say it: 1 is taken"


def test_a_lot_is_cited_where_it_stands() -> None:
    flow = flow_with("""
products: [{name: P, demand: 20 /d}]
stations: [{name: bench}]
steps:
  - {name: cut, station: bench, manual: 5 min, lot: 8}
  - {name: bend, station: bench, manual: 5 min}
moves: [{from: cut, to: bend, distance: 9 m, batch: 12}]
""")
    cited = {
        one.source.text: one.source.line
        for one in below([flow.waits[1].lot])
        if one.source is not None and one.source.line
    }
    assert cited["moves / #1 / batch"] == 8
    assert flow.rates.steps[0].enters.source is not None
    assert flow.rates.steps[0].enters.source.text == "steps / cut / lot"


COPIED = """
products: [{name: pump, demand: {mean: 20 /d, from: order book}}]
stations: [{name: bench}]
steps: [{name: fit, station: bench, manual: {study: T-1}, scrap: {count: 3, of: 90, from: rows 2 to 91 of fit.csv}}]
stores: [{before: fit, counts: [{on: 2026-03-02, pieces: 9, who: round, from: counting sheet 3}]}]
studies: [{name: T-1, from: the stopwatch, readings: [28 s, {value: 31 s, from: row 17 of fit.csv}]}]
"""


def test_the_why_of_what_was_copied_into_the_file_ends_where_it_was_written_first() -> None:
    found = {figure.name: figure.source for figure in below(list(flow_with(COPIED).figures().values()))}
    assert {name: source.origin for name, source in found.items() if source and source.origin} == {
        "products / pump / demand": "order book",
        "steps / fit / scrap": "rows 2 to 91 of fit.csv",
        "study T-1": "the stopwatch",
        "study T-1 / cv": "the stopwatch",
    }
    origins = {reading.origin for source in found.values() if source for reading in source.readings}
    assert origins >= {"row 17 of fit.csv", "counting sheet 3"}
