"""Lines at the edge of what a file allows: each is worked out, and says something sensible."""

from __future__ import annotations

import math

import pytest

from pullwright.flow import Flow, flow_of
from pullwright.line import Line

HEAD = "line: odd\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}, {name: night, from: '22:00', to: '06:00', days: [mon, tue]}]}\n"


def flow_with(text: str) -> Flow:
    flow = flow_of(Line.from_text(HEAD + text))
    for figure in flow.figures().values():
        assert figure.text()
    return flow


ONE = "products: [{{name: P, demand: {demand}}}]\nstations: [{{name: bench{station}}}]\nsteps: [{{name: work, station: bench, {work}}}]\n"


@pytest.mark.parametrize(
    "work",
    [
        "machine: {mean: 5 min, cv: 0}",
        "machine: {mean: 5 min, cv: 40}",
        "manual: 5 min, scrap: 0 %",
        "manual: 5 min, rework: {share: 0 %}",
        "manual: 5 min, rework: {share: 0 %, to: work}",
        "manual: 5 min, rework: {share: 99 %, to: work}",
        "manual: 5 min, first_pass_yield: 100 %",
        "manual: 5 min, first_pass_yield: {count: 1, of: 400}",
        "manual: 5 min, scrap: {count: 0, of: 3}",
        "manual: 5 min, scrap: {count: 1, of: 2}, rework: {share: {count: 1, of: 3}, to: work}",
        "manual: 5 min, people: 0",
        "manual: 5 min, lot: 1000, set_up: {time: 0 s}",
        "manual: 0.001 s",
        "manual: {readings: [5 min]}",
        "manual: {readings: [5 min, 5 min, 5 min]}",
        "machine: 5 min, watched: 0 %",
        "manual: 5 min, value_adding: 0 %",
        "walking: 5 min",
    ],
)
def test_a_step_at_the_edge(work: str) -> None:
    flow_with(ONE.format(demand="20 /d", station="", work=work))


@pytest.mark.parametrize(
    "demand",
    [
        "0.01 /d",
        "1000000 /d",
        "{mean: 20 /d, cv: 0}",
        "{mean: 20 /d, cv: 9}",
        "{low: 0 /d, likely: 0.1 /d, high: 90 /d}",
    ],
)
def test_a_demand_at_the_edge(demand: str) -> None:
    flow_with(ONE.format(demand=demand, station="", work="manual: 5 min"))


@pytest.mark.parametrize(
    "station",
    [
        ", breakdowns: {between: 9 h, repair: 0 s}",
        ", breakdowns: {between: 1 s, repair: 900 h}",
        ", breakdowns: {between: {low: 1 h, likely: 9 h, high: 99 h}, repair: {mean: 9 min, cv: 0}, counted_by: clock}",
        ", machines: 400",
        ", shifts: [night]",
        ", shifts: [day, night]",
    ],
)
def test_a_station_at_the_edge(station: str) -> None:
    flow_with(ONE.format(demand="20 /d", station=station, work="manual: 5 min"))


def test_a_product_that_nobody_pulls_leaves_its_station_idle() -> None:
    flow = flow_with("""
products: [{name: P, demand: 20 /d}, {name: Q, demand: 0 /d}]
stations: [{name: bench}, {name: old bench, breakdowns: {between: 9 h, repair: 1 h}}]
steps:
  - {name: work, station: bench, manual: 5 min, for: [P]}
  - {name: old work, station: old bench, after: [], manual: 5 min, for: [Q], lot: 5, set_up: {time: 9 min}, scrap: 3 %}
people: [{name: crew, number: 1}, {name: old hands, number: 1, skills: [old bench]}]
""")
    idle = flow.stations[1]
    assert idle.load.value == 0
    assert idle.content.value == 0
    # A piece would still take its time there: 5 min / availability + its part of the set-up.
    assert idle.time.value == pytest.approx(300 / 0.9 + 540 / 5)
    assert flow.waits[1].queue.value == 0
    assert flow.keeps_up


def test_products_of_different_work_weigh_by_their_pieces() -> None:
    flow = flow_with("""
products: [{name: P, demand: 30 /d}, {name: Q, demand: 10 /d}]
stations: [{name: bench}]
steps:
  - name: work
    station: bench
    elements:
      - {what: all, machine: 4 min, kind: value}
      - {what: more, machine: 4 min, kind: value, for: [Q]}
""")
    (bench,) = flow.stations
    assert bench.time.value == pytest.approx(300)
    # Variance of the mix: 3/4 x 1/4 x (4 min)².
    assert bench.cv2.value == pytest.approx(3 / 16 * 240**2 / 300**2)


def test_set_ups_follow_the_products_that_come_to_the_step() -> None:
    """Q skips the press, so changes are between P and R alone: from P to R 30 min, back 10 min."""
    flow = flow_with("""
products: [{name: P, demand: 20 /d}, {name: Q, demand: 900 /d}, {name: R, demand: 10 /d}]
stations: [{name: press}, {name: bench, machines: 20}]
steps:
  - name: press
    station: press
    for: [P, R]
    machine: 5 min
    lot: 10
    set_up: {time: 10 min, pairs: [{from: P, to: R, time: 30 min}]}
  - {name: pack, station: bench, manual: 1 min}
""")
    assert flow.rates.steps[0].set_up is not None
    assert flow.rates.steps[0].set_up.time.value == pytest.approx(20 * 60)
    assert flow.rates.steps[0].set_up.per_day.value == pytest.approx(3)


def test_a_night_of_two_days_a_week_is_two_fifths_of_a_working_day() -> None:
    flow = flow_with(ONE.format(demand="20 /d", station=", shifts: [night]", work="manual: 5 min"))
    (bench,) = flow.stations
    assert bench.available.value == pytest.approx(8 * 3600 * 2 / 5)
    assert flow.day.value == pytest.approx(8 * 3600 * 7 / 5)
    assert bench.load.value == pytest.approx(20 * 300 / (8 * 3600 * 2 / 5))


def test_a_repair_that_takes_no_time_is_no_breakdown() -> None:
    flow = flow_with(
        ONE.format(demand="20 /d", station=", breakdowns: {between: 9 h, repair: 0 s}", work="machine: 5 min")
    )
    (bench,) = flow.stations
    assert bench.time.value == 300
    assert bench.cv2.value == 0


def test_nothing_that_varies_does_not_wait() -> None:
    flow = flow_with(ONE.format(demand="{mean: 90 /d, cv: 0}", station="", work="machine: 5 min"))
    assert flow.waits[0].queue.value == 0
    assert flow.ladder.lead.value == pytest.approx(300)  # nothing is needed behind the last step either


def test_a_line_loaded_to_the_brim_keeps_up_and_waits_without_end() -> None:
    flow = flow_with(ONE.format(demand="134.4 /d", station="", work="machine: 5 min"))
    assert flow.stations[0].load.value == pytest.approx(1.0)
    assert flow.keeps_up
    assert flow.waits[0].queue.value == math.inf


def test_crews_who_cannot_do_it_do_not_let_work_vanish() -> None:
    """The set-up of a machine that nobody is said to serve is still somebody's work."""
    flow = flow_with("""
products: [{name: P, demand: 20 /d}]
stations: [{name: press}, {name: bench}]
steps:
  - {name: press, station: press, machine: 5 min, lot: 5, set_up: {time: 10 min}}
  - {name: pack, station: bench, manual: 1 min}
people: [{name: packers, number: 1, skills: [pack]}, {name: helpers, number: 1, skills: [pack]}]
""")
    attended = sum(figure.value for figure in flow.people.attended.values())
    assert attended == pytest.approx(4 * 600 + 20 * 60)
    assert sum(crew.work.value for crew in flow.people.crews) == pytest.approx(attended)


IDLE = "{name: idle, from: '14:00', to: '15:00', breaks: [{name: pause, from: '14:00', to: '15:00'}]}"


@pytest.mark.parametrize(
    ("station", "people", "who"),
    [(", shifts: [idle]", "", "bench"), ("", "people: [{name: crew, number: 2, shifts: [idle]}]\n", "crew")],
)
def test_work_without_any_working_time_is_a_finding_and_no_crash(station: str, people: str, who: str) -> None:
    text = ONE.format(demand="20 /d", station=station, work="manual: 5 min") + people
    flow = flow_of(Line.from_text(HEAD.replace("{name: night", IDLE + ", {name: night") + text))
    assert all(figure.text() for figure in flow.figures().values())
    assert flow.verdict() == f"This line cannot make 20 a day: {who} has work and no working time. It can make nothing."
    assert flow.made.value == flow.shipped.value == 0
    if who == "bench":
        assert flow.ladder.lead.value == math.inf
        assert flow.cases.practical_worst.throughput.value == 0


def test_sub_flows_of_sub_flows_and_ways_by_product_keep_their_books() -> None:
    flow = flow_with("""
products: [{name: P, demand: 20 /d}, {name: Q, demand: 9 /d}]
stations: [{name: bench, machines: 90}]
steps:
  - {name: s1, station: bench, manual: 5 min}
  - {name: s2, station: bench, manual: 5 min, for: [P]}
  - {name: s3, station: bench, manual: 5 min, for: [Q]}
  - {name: b1, station: bench, manual: 5 min, after: []}
  - {name: b2, station: bench, manual: 5 min, after: []}
  - {name: b3, station: bench, manual: 5 min, after: [b1, {step: b2, quantity: 3}], rework: {share: 10 %, to: b2}}
  - {name: s4, station: bench, manual: 5 min, after: [s3, {step: b3, quantity: 2}], rework: {share: 10 %, to: b1}, scrap: 4 %}
""")
    starts = {step.name: step.started.value for step in flow.rates.steps}
    units = 29 / 0.86  # started at s4
    assert starts["s4"] == pytest.approx(units)
    b3 = 2 * units / 0.9
    assert starts["b3"] == pytest.approx(b3)
    # With every tenth unit two b3 go back to b1, and have their b2 already; every tenth b3 goes back to b2, and has its b1.
    came_back = 2 * 0.1 * units
    assert starts["b2"] == pytest.approx(3 * (b3 - came_back))
    assert starts["b1"] == pytest.approx(b3 - 0.1 * b3)
    assert starts["s1"] == pytest.approx(units - 0.1 * units)
