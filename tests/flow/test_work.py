"""The work on a piece: what it is for, how long it keeps the station and the people, and what a finer finish than needed costs."""

from __future__ import annotations

from itertools import pairwise

import pytest

from pullwright.flow import Flow, flow_of
from pullwright.flow.work import Work
from pullwright.line import Line


def flow_with(step: str, more: str = "") -> Flow:
    return flow_of(
        Line.from_text(
            "line: work\ncalendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
            f"products: [{{name: P, demand: 30 /d}}]\nstations: [{{name: bench}}]\nsteps: [{{name: do, station: bench, {step}}}]\n{more}"
        )
    )


def work_of(step: str) -> Work:
    return flow_with(step).rates.steps[0].groups[0].work


def seconds(figures: dict[str, object]) -> dict[str, float]:
    return {kind: figure.value for kind, figure in figures.items()}  # type: ignore[attr-defined]


def test_elements_come_one_after_another_and_each_is_for_something() -> None:
    work = work_of(
        "elements: [{what: load, manual: 20 s, kind: needed}, {what: mill, machine: 60 s, kind: value},"
        " {what: gauge, manual: 10 s, kind: needed}, {what: walk, walking: 5 s, kind: motion}]"
    )
    assert work.cycle.value == 95
    assert seconds(work.kinds) == {"needed": 30, "value": 60, "motion": 5}
    # The machine mills by itself: nobody is needed meanwhile.
    assert seconds(work.people) == {"needed": 30, "motion": 5}
    assert work.attended.value == 35


def test_watching_is_waiting_whatever_the_machine_does() -> None:
    work = work_of("people: 2, watched: 25 %, elements: [{what: mill, machine: 60 s, manual: 10 s, kind: value}]")
    assert seconds(work.kinds) == {"value": 70}
    assert seconds(work.people) == {"value": 20, "waiting": 30}


def test_an_element_says_itself_how_much_it_is_watched() -> None:
    work = work_of(
        "watched: 25 %, elements: [{what: mill, machine: 60 s, kind: value}, {what: drill, machine: 60 s, watched: 0 %, kind: value}]"
    )
    assert seconds(work.people) == {"waiting": 15}


def test_work_in_short_is_parted_by_its_value_adding_share() -> None:
    work = work_of("manual: 40 s, machine: 60 s, walking: 10 s, value_adding: 75 %, rest: moving")
    assert seconds(work.kinds) == {"value": 75, "moving": 25, "motion": 10}


def test_work_of_which_nobody_has_said_what_it_is_for_counts_as_needed_and_says_so() -> None:
    work = work_of("manual: 40 s")
    assert seconds(work.kinds) == {"needed": 40}
    sources = [node.figure.source for node in work.kinds["needed"].why().walk() if node.figure.source is not None]
    assert any(
        source.kind == "common practice" and "until somebody has looked and said so" in source.text
        for source in sources
    )


def test_a_finer_finish_than_is_needed_is_no_value() -> None:
    asked = "asked: [{what: roughness, asked: 0.2 um, needed: 0.4 um, costs: 45 s}]"
    work = work_of(f"machine: 100 s, value_adding: 100 %, {asked}")
    assert seconds(work.kinds) == {"value": 55, "needed": 0, "extra": 45}
    assert work.cycle.value == 100
    by_hand = work_of(f"manual: 100 s, people: 2, {asked}")
    assert seconds(by_hand.people) == {"needed": 110, "extra": 90}


def test_a_finish_costs_at_most_the_value_that_there_is() -> None:
    work = work_of(
        "machine: 30 s, value_adding: 100 %, asked: [{what: roughness, asked: 0.2 um, needed: 0.4 um, costs: 45 s}]"
    )
    assert seconds(work.kinds) == {"value": 0, "needed": 0, "extra": 30}


def test_elements_vary_by_themselves() -> None:
    work = work_of(
        "elements: [{what: a, manual: {mean: 30 s, cv: 0.1}, kind: value}, {what: b, manual: {mean: 40 s, cv: 0.1}, kind: value}]"
    )
    assert work.variance.value == pytest.approx(3**2 + 4**2)


def test_readings_say_how_much_the_work_varies() -> None:
    work = work_of("manual: {readings: [50 s, 60 s, 70 s]}")
    assert work.cycle.value == 60
    assert work.variance.value == pytest.approx(100)


def test_set_ups_and_putting_right_are_work_of_their_people() -> None:
    flow = flow_with(
        "machine: 5 min, lot: 10, set_up: {time: 20 min, people: 2}, rework: {share: 10 %, time: 6 min, people: 1}"
    )
    assert seconds(flow.people.by_step[0]) == {"needed": 3 * 1200 * 2, "again": pytest.approx(3 * 360)}


def test_people_are_paid_whether_they_have_work_or_not() -> None:
    flow = flow_with("manual: 5 min", "people: [{name: crew, number: 3}]\n")
    assert flow.people.paid.value == 3 * 8 * 3600
    assert flow.people.crews[0].load.value == pytest.approx(30 * 300 / (3 * 8 * 3600))


def test_as_many_people_are_assumed_as_the_work_needs() -> None:
    flow = flow_with("manual: 5 min, people: 5", "")
    assert flow.people.assumed
    assert flow.people.crews[0].number.value == 2  # 12.5 h of work in days of 8 h
    assert flow.people.paid.value == 2 * 8 * 3600


def test_rates_of_a_week_month_and_year_are_those_of_working_days() -> None:
    days = {"wd": 1.0, "week": 5.0, "month": 5 * 365.2425 / 7 / 12, "year": 5 * 365.2425 / 7}
    words = {"wd": "d", "week": "week", "month": "month", "year": "year"}
    found = []
    for period, count in days.items():
        text = f"line: r\ncalendar: {{shifts: [{{name: day, from: '06:00', to: '14:00'}}]}}\nproducts: [{{name: P, demand: {30 * count!r} /{words[period]}}}]\nstations: [{{name: b}}]\nsteps: [{{name: do, station: b, manual: 5 min}}]\n"
        found.append(flow_of(Line.from_text(text)).rates.demand.value)
    assert all(one == pytest.approx(other) for one, other in pairwise(found))
    assert found[0] == 30


def test_spans_are_turned_between_working_and_calendar_days() -> None:
    text = """
line: spans
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: P, demand: 30 /d, promise: 7 cal d, uses: [{part: tube, quantity: 1, at: do}]}]
parts: [{name: tube, price: 1 EUR, lead_time: 16 h}]
suppliers: [{name: tube works, paid_after: 5 d}]
stations: [{name: b}]
steps: [{name: do, station: b, manual: 5 min}]
"""
    givens = flow_of(Line.from_text(text)).givens
    assert givens.span_days(("products", 0, "promise")).value == pytest.approx(5.0)  # a week has five working days
    assert givens.span_days(("parts", 0, "lead_time")).value == pytest.approx(2.0)  # 16 h of 8 h a day
    assert givens.calendar_days(("suppliers", 0, "paid_after")).value == pytest.approx(7.0)
    assert givens.calendar_days(("products", 0, "promise")).value == 7.0
