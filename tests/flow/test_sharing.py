"""Sharing attended work among crews, beside a linear programme."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import linprog

from pullwright.flow.sharing import share_work

Case = tuple[list[float], list[list[bool]], list[float]]


@st.composite
def cases(draw: st.DrawFn) -> Case:
    steps, crews = draw(st.integers(1, 8)), draw(st.integers(1, 5))
    work = draw(st.lists(st.floats(0.0, 1e5), min_size=steps, max_size=steps))
    able = draw(st.lists(st.lists(st.booleans(), min_size=crews, max_size=crews), min_size=steps, max_size=steps))
    capacity = draw(st.lists(st.floats(1.0, 1e5), min_size=crews, max_size=crews))
    return work, able, capacity


def lowest_highest_load(work: list[float], able: list[list[bool]], capacity: list[float]) -> float:
    """The lowest load that the fullest crew can have: minimise z over shares, by a linear programme."""
    rows = [i for i in range(len(work)) if any(able[i])]
    places = [(i, c) for i in rows for c in range(len(capacity)) if able[i][c]]
    if not places:
        return 0.0
    count = len(places)
    total = np.zeros((len(rows), count + 1))
    loads = np.zeros((len(capacity), count + 1))
    for n, (i, c) in enumerate(places):
        total[rows.index(i), n] = 1.0
        loads[c, n] = work[i] / capacity[c]
    loads[:, count] = -1.0
    goal = np.zeros(count + 1)
    goal[count] = 1.0
    found = linprog(goal, A_ub=loads, b_ub=np.zeros(len(capacity)), A_eq=total, b_eq=np.ones(len(rows)), bounds=(0, None))  # fmt: skip
    assert found.status == 0
    return float(found.fun)


def loads_of(shares: NDArray[np.float64], work: list[float], capacity: list[float]) -> NDArray[np.float64]:
    found: NDArray[np.float64] = (shares * np.asarray(work)[:, None]).sum(axis=0) / np.asarray(capacity)
    return found


@settings(max_examples=150, deadline=None)
@given(cases())
def test_the_fullest_crew_is_as_little_full_as_a_linear_programme_makes_it(case: Case) -> None:
    work, able, capacity = case
    loads = loads_of(share_work(work, able, capacity), work, capacity)
    assert loads.max() == pytest.approx(lowest_highest_load(work, able, capacity), rel=1e-4, abs=1e-9)


@settings(max_examples=150, deadline=None)
@given(cases())
def test_all_of_a_step_is_done_and_only_by_those_who_can(case: Case) -> None:
    work, able, capacity = case
    shares = share_work(work, able, capacity)
    can = np.asarray(able, dtype=bool)
    assert shares.min() >= 0
    assert not shares[~can].any()
    assert shares.sum(axis=1) == pytest.approx(can.any(axis=1).astype(float))


def test_crews_alike_share_alike_and_bigger_crews_take_more() -> None:
    assert share_work([9.0], [[True, True]], [1.0, 2.0])[0] == pytest.approx([1 / 3, 2 / 3])


def test_work_stays_with_the_only_crew_that_can_do_it() -> None:
    assert share_work([8.0, 1.0], [[True, False], [True, True]], [5.0, 5.0]).tolist() == [[1.0, 0.0], [0.0, 1.0]]


def test_work_of_crews_without_time_is_not_lost() -> None:
    assert share_work([8.0], [[True, False]], [0.0, 5.0]).tolist() == [[1.0, 0.0]]


def test_nothing_to_do_and_nobody_to_do_it_are_no_trouble() -> None:
    assert share_work([], [], [5.0]).shape == (0, 1)
    assert share_work([4.0], [[]], []).shape == (1, 0)
    assert share_work([0.0], [[True, True]], [1.0, 1.0]).sum() == pytest.approx(1.0)
