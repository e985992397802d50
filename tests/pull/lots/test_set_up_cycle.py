"""The best cyclic order of set-ups: exact where it can be, never better than its bound, near the best where it is searched for."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from pullwright.pull.errors import BadPlanInput
from pullwright.pull.lots.cycle_bound import assignment_bound, bound
from pullwright.pull.lots.held_karp import exact_cycle
from pullwright.pull.lots.improving import good_cycle
from pullwright.pull.lots.set_up_cycle import MOST_EXACT, set_up_cycle

Times = NDArray[np.float64]


def tables(least: int, most: int) -> st.SearchStrategy[Times]:
    """Tables of set-up times in whole minutes, the usual one in most places or none like another."""

    def table(count: int, seed: int, usual: bool) -> Times:
        rng = np.random.default_rng(seed)
        found = rng.integers(0, 60, (count, count)).astype(float)
        return np.where(rng.random((count, count)) < 0.7, 25.0, found) if usual else found

    return st.builds(table, st.integers(least, most), st.integers(0, 2**32 - 1), st.booleans())


def length(times: Times, order: tuple[int, ...]) -> float:
    return float(sum(times[a, b] for a, b in zip(order, (*order[1:], order[0]), strict=True)))


def by_trying_all(times: Times) -> float:
    rest = range(1, len(times))
    return min(length(times, (0, *order)) for order in itertools.permutations(rest))


@settings(max_examples=40, deadline=None)
@given(tables(3, 7))
def test_dynamic_programming_finds_what_trying_all_orders_finds(times: Times) -> None:
    order, whole = exact_cycle(times)

    assert sorted(order) == list(range(len(times)))
    assert whole == pytest.approx(length(times, order))
    assert whole == pytest.approx(by_trying_all(times))


def test_eight_products_by_trying_all_orders() -> None:
    times = np.random.default_rng(8).integers(1, 90, (8, 8)).astype(float)

    assert exact_cycle(times)[1] == pytest.approx(by_trying_all(times))


@settings(max_examples=20, deadline=None)
@given(tables(4, 12))
def test_a_search_is_never_better_than_the_best_and_the_bound_never_above_it(times: Times) -> None:
    best = exact_cycle(times)[1]
    order, found = good_cycle(times, 0, best)

    assert found == pytest.approx(length(times, order))
    assert found >= best - 1e-9
    assert assignment_bound(times) <= best + 1e-9
    assert bound(times) <= best + 1e-9
    assert found <= best * 1.02 + 1e-9


@settings(max_examples=4, deadline=None)
@given(tables(16, 24))
def test_many_products_come_with_a_bound_and_a_gap(times: Times) -> None:
    cycle = set_up_cycle(times)

    assert sorted(cycle.order) == list(range(len(times)))
    assert cycle.order[0] == 0
    assert cycle.time == pytest.approx(length(times, cycle.order))
    assert cycle.at_least <= cycle.time
    assert 0 <= cycle.gap <= 0.02
    assert cycle.proven == (cycle.gap == 0)


def test_what_the_bound_leaves_open_is_settled() -> None:
    """The best order of these 20 takes 180 min; the cuts alone prove no more than 176.9."""
    times = 60.0 * np.random.default_rng(1).integers(5, 60, (20, 20))

    cycle = set_up_cycle(times)

    assert bound(times) == pytest.approx(176.87 * 60, abs=1.0)
    assert cycle.time == pytest.approx(180 * 60)
    assert cycle.proven
    assert "constraint programming" in cycle.by


def test_a_chain_of_cheap_changes_is_found_among_forty_products() -> None:
    """Every product is set up quickly after exactly one other: the search has to find the one order out of many."""
    rng = np.random.default_rng(40)
    hidden = rng.permutation(40)
    times = rng.integers(30, 90, (40, 40)).astype(float)
    times[hidden, np.roll(hidden, -1)] = 5.0

    cycle = set_up_cycle(times)

    assert cycle.time == pytest.approx(200.0)
    assert cycle.proven


def test_the_same_seed_gives_the_same_order() -> None:
    times = np.random.default_rng(3).integers(5, 60, (18, 18)).astype(float)

    assert set_up_cycle(times, seed=4) == set_up_cycle(times, seed=4)


@settings(max_examples=20, deadline=None)
@given(tables(2, 9), st.floats(0.1, 100.0))
def test_set_ups_in_another_unit_take_the_same_order(times: Times, factor: float) -> None:
    assert set_up_cycle(times * factor).time == pytest.approx(set_up_cycle(times).time * factor)


def test_one_product_changes_to_itself_and_two_take_turns() -> None:
    assert set_up_cycle([[600.0]]).time == 600.0
    assert set_up_cycle([[0.0, 300.0], [900.0, 0.0]]).time == 1200.0


def test_exact_up_to_the_most() -> None:
    times = np.random.default_rng(5).integers(5, 60, (MOST_EXACT, MOST_EXACT)).astype(float)

    assert set_up_cycle(times).proven


@pytest.mark.parametrize("times", [[[1.0, 2.0]], [], [[0.0, -1.0], [1.0, 0.0]], [[0.0, np.inf], [1.0, 0.0]]])
def test_times_that_cannot_be_are_refused(times: list[list[float]]) -> None:
    with pytest.raises(BadPlanInput, match=r"set-up time"):
        set_up_cycle(times)
