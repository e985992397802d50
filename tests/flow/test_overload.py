"""A line that cannot make its demand is not a broken file: it is a finding."""

from __future__ import annotations

import math

import pytest

from pullwright.flow import Flow, flow_of
from pullwright.line import Line

LINE = """
line: bores
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: P, demand: 60 /d}]
stations: [{name: saw}, {name: honing}, {name: press}]
steps:
  - {name: saw tube, station: saw, machine: 5 min}
  - {name: hone bore, station: honing, machine: 10.48 min}
  - {name: bend, station: press, machine: 4 min}
"""


def flow_with(old: str = "", new: str = "", more: str = "") -> Flow:
    assert old in LINE
    return flow_of(Line.from_text(LINE.replace(old, new) + more))


def test_the_verdict_names_demand_bottleneck_and_what_can_be_made() -> None:
    flow = flow_with()
    assert flow.verdict() == "This line cannot make 60 a day: honing is loaded to 131 %. It can make 45.8."
    assert not flow.keeps_up
    assert flow.bottleneck.name == "honing"
    assert [one.name for one in flow.overloads()] == ["honing"]


def test_the_verdict_names_all_that_are_too_full_the_fullest_first() -> None:
    flow = flow_with("machine: 4 min", "machine: 9 min")
    assert (
        flow.verdict()
        == "This line cannot make 60 a day: honing is loaded to 131 % and press to 112 %. It can make 45.8."
    )


def test_the_verdict_of_a_line_where_all_are_too_full_stays_short() -> None:
    more = "".join(f"  - {{name: drill {k}, station: drill {k}, machine: {9 + k} min}}\n" for k in range(6))
    flow = flow_with(
        "{name: press}]", "{name: press}, " + ", ".join(f"{{name: drill {k}}}" for k in range(6)) + "]", more
    )
    assert flow.verdict() == (
        "This line cannot make 60 a day: drill 5 is loaded to 175 %, drill 4 to 162 %, drill 3 to 150 %, drill 2 to 138 % "
        "and 3 more above 100 %. It can make 34.3."
    )


def test_the_verdict_of_a_line_that_keeps_up() -> None:
    flow = flow_with("10.48 min", "7 min")
    assert flow.verdict() == "This line can make its 60 a day: honing is the fullest, loaded to 87.5 %."
    assert flow.made.value == 1


def test_the_verdict_says_when_it_is_not_sure() -> None:
    flow = flow_with("10.48 min", "{low: 6 min, likely: 7.5 min, high: 10 min}")
    assert flow.verdict() == (
        "This line can make its 60 a day, but that is not sure: honing is the fullest, loaded to 94 % (82 to 116)."
    )


def test_one_piece_a_day_reads_well() -> None:
    assert flow_with("60 /d", "1 /d").verdict().startswith("This line can make its 1 a day: ")


def test_people_who_are_too_few_are_what_is_short() -> None:
    flow = flow_with("machine: 5 min", "manual: 5 min, people: 2", "people: [{name: sawyers, number: 1}]\n")
    assert (
        flow.verdict()
        == "This line cannot make 60 a day: honing is loaded to 131 % and sawyers to 125 %. It can make 45.8."
    )


def test_people_who_are_not_given_are_not_the_bottleneck() -> None:
    flow = flow_with("machine: 10.48 min", "manual: 7.9 min")
    assert flow.people.assumed
    assert flow.bottleneck.name == "honing"


def test_what_is_made_and_shipped_shrinks_to_what_the_bottleneck_does() -> None:
    flow = flow_with()
    assert flow.made.value == pytest.approx(1 / 1.31)
    assert flow.shipped.value == pytest.approx(480 / 10.48)
    assert max(station.load.value * flow.made.value for station in flow.stations) == pytest.approx(1.0)


def test_the_queue_before_the_bottleneck_grows_without_end_and_says_so() -> None:
    flow = flow_with()
    queue = flow.waits[1].queue
    assert queue.value == math.inf
    assert queue.text() == "without end"
    station_queue = queue.inputs[0]
    assert station_queue.note == "honing is loaded to 131 %: the queue grows without end"
    assert flow.ladder.lead.text() == "without end"
    assert flow.ladder.efficiency.value == 0
    assert math.isfinite(flow.waits[0].queue.value)


def test_an_endless_queue_at_the_first_step_breaks_nothing() -> None:
    flow = flow_with("machine: 5 min", "machine: 9 min")
    assert flow.ladder.longest.value == math.inf
    assert all(figure.text() for figure in flow.figures().values())


def test_a_line_that_only_may_be_overloaded_has_endless_draws_and_finite_values() -> None:
    flow = flow_with("10.48 min", "{low: 6 min, likely: 7.5 min, high: 10 min}")
    assert math.isfinite(flow.waits[1].queue.value)
    assert math.isinf(flow.waits[1].queue.draws.max())
    assert flow.waits[1].queue.text().endswith("to without end)") or "without end" in flow.waits[1].queue.text()
    assert flow.cases.practical_worst.throughput.draws.max() < math.inf


def test_counted_stock_is_taken_at_the_rate_that_the_bottleneck_leaves() -> None:
    flow = flow_with(more="stores: [{before: bend, counted: 100}]\n")
    bend = next(stock for stock in flow.stocks if stock.step == 2 and stock.kind == "before")
    assert bend.lasts.value / flow.day.value == pytest.approx(100 / (60 / 1.31))
