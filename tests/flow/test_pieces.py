"""How many pieces each step must start: balances at every step, and an absorbing Markov chain that knows nothing of the code."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from pullwright.flow import Flow, flow_of
from pullwright.flow.visits import Visits
from tests.flow.generated_lines import Line, lines

few = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


def flow_with(steps: str) -> Flow:
    return flow_of(
        Line.from_text(
            "line: pieces\n"
            "calendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
            "products: [{name: P, demand: 100 /d}]\n"
            "stations: [{name: bench, machines: 9}]\n"
            f"steps:\n{steps}"
        )
    )


def shares(line: Line, i: int) -> tuple[float, float, int | None]:
    """Of a step: share that goes on, share that goes back, and where to; straight from the file."""
    step = line.steps[i]
    scrap = step.scrap.value if step.scrap else None
    again = step.rework.share.value if step.rework else 0.0
    first = step.first_pass_yield.value if step.first_pass_yield else None
    if scrap is None:
        scrap = 0.0 if first is None else 1 - first - again
    if step.rework is None or step.rework.to is None:
        return 1 - scrap, 0.0, None
    return 1 - scrap - again, again, [one.name for one in line.steps].index(step.rework.to)


def starts_by_markov_chain(line: Line, product: str) -> dict[int, float]:
    """Pieces started at each step for one good unit, out of the expected visits of one unit that is followed through the line.

    Lines of one assembly at most. Until the assembly each branch is a chain of its own; from there on one unit is followed until it is good
    or scrapped, also where it goes back into one of the branches.
    """
    route = line.route
    takes = route.takes_for(product)
    steps = sorted(route.visits(product))
    next_one = {taking.step: i for i in steps for taking in takes[i]}
    quantity = {
        taking.step: 1.0 if taking.quantity is None else taking.quantity.value for i in steps for taking in takes[i]
    }
    join = next((i for i in steps if len(takes[i]) > 1), None)
    place = {i: n for n, i in enumerate(steps)}
    matrix = np.zeros((len(steps), len(steps)))
    for i in steps:
        good, again, back = shares(line, i)
        if i in next_one:
            matrix[place[i], place[next_one[i]]] += good
        if back is not None and back in place:
            matrix[place[i], place[back]] += again
    (last,) = [i for i in steps if i not in next_one]

    def visits(start: int, matrix: np.ndarray) -> np.ndarray:
        return np.linalg.inv(np.eye(len(steps)) - matrix)[place[start]]

    if join is None:
        found = visits(steps[0], matrix)
        return {i: found[place[i]] / (found[place[last]] * shares(line, last)[0]) for i in steps}
    unit = visits(join, matrix)
    units = 1 / (unit[place[last]] * shares(line, last)[0])  # sets put together for one good unit
    starts = {i: unit[place[i]] * units for i in steps}
    for branch_end in (taking.step for taking in takes[join]):
        branch = [branch_end]
        while takes[branch[0]]:
            branch.insert(0, takes[branch[0]][0].step)
        # Pieces of a branch are so many to a unit; those of a unit that came back too.
        for i in branch:
            starts[i] *= quantity[branch_end]
        until_join = matrix.copy()
        until_join[place[join], :] = 0.0
        found = visits(branch[0], until_join)
        arriving = found[place[join]]
        for i in branch:
            starts[i] += found[place[i]] / arriving * units * quantity[branch_end]
    return starts


@few
@given(lines(certain=True))
def test_pieces_started_are_the_expected_visits_of_a_markov_chain(line: Line) -> None:
    for way in flow_of(line).rates.ways:
        expected = starts_by_markov_chain(line, way.products[0])
        for i, started in way.started.items():
            assert started.value == pytest.approx(expected[i]), line.steps[i].name


def balance(line: Line, way: Visits) -> None:
    backs = {(back.start, back.end): back for back in way.backs}
    for i, started in way.started.items():
        good, again, back = shares(line, i)
        assert started.draws * good == pytest.approx(way.passed[i].draws)
        if back is not None and back in way.started:
            assert backs[i, back].leaving.value == pytest.approx(started.value * again)
        coming = sum(one.coming.value for one in way.backs if one.end == i)
        assert way.fresh[i].value + coming == pytest.approx(started.value)
        assert way.fresh[i].value > 0
        assert started.value >= way.needed[i].value * (1 - 1e-12)


@few
@given(lines(certain=True))
def test_what_comes_to_a_step_goes_on_or_back_or_is_scrapped(line: Line) -> None:
    for way in flow_of(line).rates.ways:
        balance(line, way)


def test_nested_loops_start_as_many_pieces_as_a_linear_solve_says() -> None:
    flow = flow_with(
        "  - {name: a, station: bench, manual: 60 s, scrap: 2 %}\n"
        "  - {name: b, station: bench, manual: 60 s, rework: {share: 10 %, to: a}}\n"
        "  - {name: c, station: bench, manual: 60 s, rework: {share: 5 %, to: c}, scrap: 1 %}\n"
        "  - {name: d, station: bench, manual: 60 s, rework: {share: 20 %, to: b}, scrap: 3 %}\n"
    )
    # Unknown: pieces started at a, b, c, d and fresh ones at a. What goes on from one is what comes to the next.
    good = [0.98, 0.90, 0.94, 0.77]
    equations = np.array([
        [1.0, -0.10, 0.0, 0.0, -1.0],     # a: started = fresh + back from b
        [-good[0], 1.0, 0.0, -0.20, 0.0],  # b: started = good from a + back from d
        [0.0, -good[1], 1.0 - 0.05, 0.0, 0.0],  # c: started = good from b + its own
        [0.0, 0.0, -good[2], 1.0, 0.0],
        [0.0, 0.0, 0.0, good[3], 0.0],    # one good unit leaves
    ])  # fmt: skip
    expected = np.linalg.solve(equations, [0.0, 0.0, 0.0, 0.0, 1.0])
    (way,) = flow.rates.ways
    assert [way.started[i].value for i in range(4)] == pytest.approx(list(expected[:4]))
    assert way.fresh[0].value == pytest.approx(expected[4])


def test_a_unit_that_goes_back_into_a_branch_needs_no_second_base() -> None:
    flow = flow_with(
        "  - {name: base, station: bench, manual: 60 s}\n"
        "  - {name: motor, station: bench, manual: 60 s, after: [], scrap: 10 %}\n"
        "  - {name: assemble, station: bench, manual: 60 s, after: [base, motor]}\n"
        "  - {name: test, station: bench, manual: 60 s, rework: {share: 20 %, to: motor}}\n"
    )
    (way,) = flow.rates.ways
    base, motor, assemble, test = (way.started[i].value for i in range(4))
    assert test == assemble == pytest.approx(1.25)
    assert motor == pytest.approx(1.25 / 0.9)
    # 0.25 units come round again, of whose motors a tenth is scrapped: so many assemblies have their base already.
    assert base == pytest.approx(1.25 - 0.25 * 0.9)


def test_a_unit_that_goes_back_is_as_many_pieces_as_went_into_it() -> None:
    flow = flow_with(
        "  - {name: cut, station: bench, manual: 60 s}\n"
        "  - {name: assemble, station: bench, manual: 60 s, after: [{step: cut, quantity: 2}], rework: {share: 20 %, to: cut}}\n"
    )
    (way,) = flow.rates.ways
    assert way.started[1].value == pytest.approx(1.25)
    assert way.started[0].value == pytest.approx(2.5)
    assert way.fresh[0].value == pytest.approx(2.0)


def test_a_product_that_skips_a_step_still_takes_as_many_of_the_one_before() -> None:
    flow = flow_of(
        Line.from_text(
            "line: wheels\n"
            "calendar: {shifts: [{name: day, from: '06:00', to: '14:00'}]}\n"
            "products: [{name: plain, demand: 10 /d}, {name: painted, demand: 10 /d}]\n"
            "stations: [{name: bench, machines: 9}]\n"
            "steps:\n"
            "  - {name: turn, station: bench, manual: 60 s}\n"
            "  - {name: paint, station: bench, manual: 60 s, for: [painted]}\n"
            "  - {name: mount, station: bench, manual: 60 s, after: [{step: paint, quantity: 4}]}\n"
        )
    )
    assert [way.started[0].value for way in flow.rates.ways] == [4.0, 4.0]


def test_first_pass_yield_alone_is_all_the_rest_scrapped() -> None:
    flow = flow_with("  - {name: a, station: bench, manual: 60 s, first_pass_yield: 80 %}\n")
    assert flow.rates.steps[0].started.value == pytest.approx(125)
    assert flow.rolled_throughput_yield.value == pytest.approx(0.8)


def test_first_pass_yield_beside_scrap_leaves_the_rest_to_be_put_right() -> None:
    flow = flow_with("  - {name: a, station: bench, manual: 60 s, first_pass_yield: 80 %, scrap: 5 %}\n")
    (step,) = flow.rates.steps
    assert step.started.value == pytest.approx(100 / 0.95)
    assert step.repair is not None
    assert step.repair.share.value == pytest.approx(0.15)
    # Putting right takes as long as doing, where nothing else is said.
    assert flow.stations[0].time.value == pytest.approx(60 * 1.15)


def test_what_is_put_right_on_the_spot_costs_first_pass_yield_and_no_piece() -> None:
    flow = flow_with("  - {name: a, station: bench, manual: 60 s, rework: {share: 10 %, time: 2 min, people: 1}}\n")
    assert flow.rates.steps[0].started.value == 100
    assert flow.rolled_throughput_yield.value == pytest.approx(0.9)
    assert flow.stations[0].time.value == pytest.approx(60 + 0.1 * 120)
    assert flow.people.by_step[0]["again"].value == pytest.approx(100 * 0.1 * 120)


def test_both_of_two_levers_must_be_right_the_first_time() -> None:
    flow = flow_with(
        "  - {name: lever, station: bench, manual: 60 s, scrap: 10 %}\n"
        "  - {name: assemble, station: bench, manual: 60 s, after: [{step: lever, quantity: 2}]}\n"
    )
    assert flow.rolled_throughput_yield.value == pytest.approx(0.81)
