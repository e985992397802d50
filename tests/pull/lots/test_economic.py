"""Lots of least cost: the least of their own formula, and never below what any schedule must cost."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from pullwright.pull.lots.economic import at_least, common_cycle, common_cycle_cost, economic_lot, yearly_cost

COSTS = st.floats(0.5, 500.0)
PRODUCTS = st.lists(st.tuples(st.floats(10.0, 9000.0), COSTS, COSTS, st.floats(0.01, 0.2), st.floats(0.0, 3.0)), min_size=1, max_size=5)  # fmt: skip
Products = list[tuple[float, float, float, float, float]]


@given(st.floats(10.0, 9000.0), COSTS, COSTS, st.floats(0.0, 0.95))
def test_the_economic_lot_is_where_the_year_costs_least(
    demand: float, set_up: float, holding: float, used: float
) -> None:
    lot = float(economic_lot(demand, set_up, holding, used))
    least = minimize_scalar(
        lambda power: yearly_cost(np.exp(power), demand, set_up, holding, used),
        bounds=(np.log(lot) - 3, np.log(lot) + 3),
        method="bounded",
    )

    assert yearly_cost(lot, demand, set_up, holding, used) == pytest.approx(least.fun, rel=1e-6)
    # There, set-ups cost as much as stock.
    assert set_up * demand / lot == pytest.approx(holding * lot * (1 - used) / 2)


@given(PRODUCTS)
def test_one_cycle_for_all_costs_no_less_than_every_product_by_itself(products: Products) -> None:
    demands, set_ups, holdings, used, times = (list(column) for column in zip(*products, strict=True))
    room = 100.0
    interval = float(common_cycle(demands, set_ups, holdings, used, times, room))

    cost = common_cycle_cost(interval, demands, set_ups, holdings, used)
    least, intervals = at_least(demands, set_ups, holdings, used, times, room)

    assert sum(times) / interval <= room * (1 + 1e-9)
    assert least <= cost * (1 + 1e-9)
    assert sum(s / t for s, t in zip(times, intervals, strict=True)) <= room * (1 + 1e-6)
    alone = [yearly_cost(float(economic_lot(d, k, h, u)), d, k, h, u) for d, k, h, u, _ in products]
    assert least >= sum(alone) * (1 - 1e-9)


def test_the_cycle_is_the_least_of_its_cost_where_there_is_room() -> None:
    products = ([400.0, 900.0], [12.0, 30.0], [5.0, 2.0], [0.2, 0.3])
    interval = float(common_cycle(*products, [1.0, 1.0], 1e9))

    found = minimize_scalar(
        lambda t: common_cycle_cost(t, *products), bounds=(interval / 9, interval * 9), method="bounded"
    )

    assert interval == pytest.approx(found.x, rel=1e-4)


def test_without_room_there_is_no_cycle_and_no_cost() -> None:
    assert common_cycle([1.0], [1.0], [1.0], [0.1], [1.0], 0.0) == np.inf
    assert at_least([1.0], [1.0], [1.0], [0.1], [1.0], 0.0)[0] == np.inf


def test_a_scarce_machine_makes_longer_rounds_than_money_wants() -> None:
    free = float(common_cycle([1000.0], [1.0], [9.0], [0.1], [2.0], 1e9))
    scarce = float(common_cycle([1000.0], [1.0], [9.0], [0.1], [2.0], 4.0))

    assert scarce == pytest.approx(0.5)
    assert scarce > free


def test_whole_arrays_go_through_number_by_number() -> None:
    demands = np.array([100.0, 400.0])

    each = [float(economic_lot(one, 20.0, 4.0)) for one in (100.0, 400.0)]

    assert economic_lot(demands, 20.0, 4.0) == pytest.approx(each)
