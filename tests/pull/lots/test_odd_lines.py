"""The lots of odd lines: nothing to set up, nobody who pulls, no time, wishes that cannot be, numbers that are missing."""

from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, given, settings

from bench.lines import line_text
from pullwright.account import accounts_of
from pullwright.figure import Figure
from pullwright.flow import flow_of
from pullwright.line import Line
from pullwright.pull.changes import applied
from pullwright.pull.lots.of_line import Lots, lots_of
from tests.flow.test_whatever_the_line import below
from tests.strategies import line_texts

HEAD = 'line: lots\ncalendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}\n'


def lots(text: str) -> Lots:
    return lots_of(flow_of(Line.from_text(HEAD + text)))


def two(time: str = "120 s", set_up: str = "{time: 20 min}", machines: int = 1, more: str = "") -> str:
    return (
        "products: [{name: P, demand: 100 /d}, {name: Q, demand: 20 /d}]\n"
        f"stations: [{{name: press, machines: {machines}}}]\n"
        f"steps: [{{name: bend, station: press, machine: {time}, lot: 50, set_up: {set_up}}}]\n{more}"
    )


def is_said(part: str, sentences: tuple[str, ...]) -> bool:
    return any(part in sentence for sentence in sentences)


def test_people_who_have_little_time_get_larger_lots() -> None:
    """One person at the press, busy for 83 % of the day: the set-ups of the shortest waiting, two people at each, are too much."""
    text = two(set_up="{time: 20 min, people: 2}").replace("machine: 120 s, lot: 50", "manual: 200 s, lot: 200")
    wanted, had = lots(text), lots(text + "people: [{name: setters, number: 1, wage: 20 EUR/h}]\n")

    assert had.stations[0].chosen.interval.value > wanted.stations[0].chosen.interval.value
    assert is_said("setters has time for no more set-ups", had.stations[0].said)
    assert had.crews[0].load.value <= 0.95 + 1e-9
    assert wanted.crews == ()  # nobody is given, so nobody is short


def test_a_line_without_set_ups_says_so() -> None:
    plan = lots(
        "products: [{name: P, demand: 20 /d}]\nstations: [{name: s}]\nsteps: [{name: a, station: s, manual: 60 s}]"
    )

    assert plan.stations == ()
    assert plan.said == ("No step of this line is set up: lots can be as small as one piece.",)
    assert plan.changes == ()


def test_a_product_that_nobody_pulls_has_no_lot() -> None:
    plan = lots(
        "products: [{name: P, demand: 50 /d}, {name: Q, demand: 0 /d}]\nstations: [{name: s}]\n"
        "steps: [{name: a, station: s, manual: 120 s, lot: 50, set_up: {time: 20 min}}]"
    )

    assert [one.product for one in plan.stations[0].there.made] == ["P"]
    assert is_said("Nobody pulls Q", plan.stations[0].said)


def test_a_station_that_nobody_pulls_from_has_no_lots() -> None:
    plan = lots(
        "products: [{name: P, demand: 0 /d}, {name: Q, demand: 5 /d}]\nstations: [{name: s}, {name: t}]\nsteps:\n"
        "  - {name: a, station: s, for: [P], after: [], manual: 120 s, lot: 50, set_up: {time: 20 min}}\n"
        "  - {name: b, station: t, for: [Q], after: [], manual: 120 s}\n"
    )

    assert plan.stations == ()
    assert plan.said == ("s: nobody pulls what is made there, so there are no lots to choose.",)


def test_one_product_alone_has_a_set_up_before_each_lot() -> None:
    plan = lots(
        "products: [{name: P, demand: 100 /d}]\nstations: [{name: s}]\n"
        "steps: [{name: a, station: s, machine: 120 s, lot: 50, set_up: {time: 20 min}}]"
    )
    (one,) = plan.stations

    assert one.there.around.value == 1200
    assert one.chosen.pieces[0] < 50
    assert is_said("Only P is made there in lots", one.said)


def test_a_machine_without_time_for_set_ups_says_what_gives() -> None:
    (one,) = lots(two(time="300 s")).stations

    assert one.chosen.key == "today"
    assert not one.keeps_up
    assert one.said[0] == "press: no time is left for set-ups; production alone takes 125 % of what there is."
    assert is_said("2.27 h more working time of the machines a day, or 77 % of the demand", one.said)
    assert one.shorter == ()


def test_an_interval_that_cannot_be_says_what_gives_and_the_nearest_is_planned() -> None:
    plan = lots(two(set_up="{time: 60 min}", more="plan: {lots: {interval: 0.4 d}}"))
    (one,) = plan.stations

    assert one.gives is not None
    assert one.gives.interval == pytest.approx(0.5)
    assert is_said("Every product every 0.4 d cannot be", one.said)
    assert one.chosen.key == "steady"
    assert is_said("no room for the set-ups as wished at press", plan.said)


def test_a_wished_interval_is_kept_where_it_can_be() -> None:
    free = lots(two()).stations[0].chosen.interval.value
    (one,) = lots(two(more=f"plan: {{lots: {{interval: {free * 0.8:.3f} d}}}}")).stations

    assert one.keeps_up
    assert one.chosen.interval.value == pytest.approx(free * 0.8, abs=1e-3)


def test_a_wished_share_of_time_for_set_ups_is_not_exceeded() -> None:
    (one,) = lots(two(more="plan: {lots: {set_ups: 5 %}}")).stations

    for key in ("interval", "steady"):
        assert one.choice(key).set_up_time.value <= 0.05 * 28_800 * (1 + 1e-9)
    assert is_said("of which set-ups may take 24 min", one.said)


def test_set_ups_that_take_no_time_leave_lots_of_one() -> None:
    (one,) = lots(two(set_up="{time: 0 min}")).stations

    assert one.chosen.pieces == (1, 1)
    assert one.said[0].startswith("press: make one piece at a time, as they are wanted")


def test_what_costs_cannot_be_reckoned_without_is_named() -> None:
    (one,) = lots(two()).stations

    assert all(choice.cost is None for choice in one.choices)
    assert is_said(
        "lacks a wage (`people.*.wage`), a price of the parts (`parts.*.price`) and a carrying rate", one.said
    )


def test_several_machines_share_the_lots() -> None:
    (one,) = lots(two(time="300 s", machines=2)).stations

    assert one.there.available.value == 2 * 28_800
    assert is_said("each lot is taken to be made at one of them", one.said)


def test_two_steps_at_one_station_are_set_up_for_one_another() -> None:
    plan = lots(
        "products: [{name: P, demand: 50 /d}, {name: Q, demand: 20 /d}]\nstations: [{name: s}]\nsteps:\n"
        "  - {name: a, station: s, machine: 120 s, lot: 50, set_up: {time: 20 min, pairs: [{from: P, to: Q, time: 5 min}]}}\n"
        "  - {name: b, station: s, machine: 30 s}\n"
        "  - {name: c, station: s, machine: 60 s, lot: 20, set_up: {time: 10 min}}\n"
    )
    (one,) = plan.stations

    assert one.order == ("P (a)", "Q (a)", "Q (c)", "P (c)") or one.order == ("P (a)", "Q (a)", "P (c)", "Q (c)")
    assert one.there.around.value == (20 + 5 + 10 + 10) * 60
    # What needs no set-up there takes its part of the day too.
    assert one.there.production.value == pytest.approx(70 * (120 + 30 + 60))
    assert {change.path[1] for change in plan.changes} == {0, 2}


def test_many_products_at_one_station_are_planned_with_a_proven_or_told_gap() -> None:
    names = [f"N{k}" for k in range(20)]
    products = ", ".join(f"{{name: {name}, demand: {k + 1} /d}}" for k, name in enumerate(names))
    pairs = ", ".join(f"{{from: N{k}, to: N{(k + 1) % 20}, time: 2 min}}" for k in range(20))
    (one,) = lots(
        f"products: [{products}]\nstations: [{{name: s}}]\n"
        f"steps: [{{name: a, station: s, machine: 90 s, lot: 20, set_up: {{time: 9 min, pairs: [{pairs}]}}}}]"
    ).stations

    assert one.there.cycle.proven
    assert one.there.around.value == 20 * 120


@settings(max_examples=3, suppress_health_check=list(HealthCheck))
@given(line_texts(5))
def test_any_line_has_a_plan_whose_figures_have_names_of_their_own_and_whose_changes_hold(text: str) -> None:
    line = Line.from_text(text, name="l.yaml")
    flow = flow_of(line)
    accounts = accounts_of(line, flow)

    plan = lots_of(flow, accounts.ground)

    figures: list[Figure] = [*plan.figures().values(), *flow.figures().values()]
    figures += [figure for account in accounts.all() for figure in account.figures().values()]
    found = below(figures)
    assert len({figure.name for figure in found}) == len(found)
    Line.from_text(applied(text, plan.changes))
    for one in plan.stations:
        assert one.said
        assert not math.isnan(one.chosen.wait.value)


def test_an_overloaded_line_is_planned_too() -> None:
    plan = lots_of(flow_of(Line.from_text(line_text(8, 17))))

    assert {one.chosen.key for one in plan.stations} == {"today", "chosen"}


def test_where_some_products_share_a_lot_and_another_does_not_one_number_is_written_for_all() -> None:
    text = (
        'line: l\ncalendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}\n'
        "products: [{name: P, demand: 50 /d}, {name: Q, demand: 30 /d}, {name: R, demand: 10 /d}]\nstations: [{name: s}, {name: t}]\nsteps:\n"
        "  - {name: a, station: s, lot: 50, set_up: {time: 10 min}, elements: [{what: cut, machine: 60 s, kind: value, for: [P, Q]}, {what: cut long, machine: 90 s, kind: value, for: [R]}]}\n"
        "  - {name: b, station: t, machine: 60 s}\nstores: [{before: b, container: {holds: 7, floor: 1 m2}}]\n"
    )
    plan = lots_of(flow_of(Line.from_text(text)))
    (one,) = plan.stations

    assert [made.products for made in one.there.made] == [("P", "Q"), ("R",)]
    (lot,) = [change.written for change in plan.changes if change.path[-1] == "lot"]
    assert lot % 7 == 0
    assert Line.from_text(applied(text, plan.changes)).steps[0].lots == ()
