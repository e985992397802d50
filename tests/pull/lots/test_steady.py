"""Lots of the shortest waiting: the least of the formula, the formula at its limits, and what a shorter set-up does to it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from pullwright.pull.lots.shorter import at_set_ups
from pullwright.pull.lots.steady import (
    Making,
    load_of_lots,
    longer_interval,
    steady_interval,
    time_at_interval,
    time_in_queue,
    time_in_system,
)


def makings() -> st.SearchStrategy[Making]:
    """One to five products that fill one to three machines to somewhere between a tenth and nineteen twentieths."""

    def making(seed: int, count: int, machines: int, load: float) -> Making:
        rng = np.random.default_rng(seed)
        times = rng.uniform(20.0, 400.0, count)
        rates = rng.uniform(0.1, 1.0, count)
        rates *= load * machines / float((rates * times).sum())
        set_ups = rng.uniform(60.0, 5000.0, count)
        return Making(
            list(rates), list(times), list((0.4 * times) ** 2), list(set_ups), list((0.3 * set_ups) ** 2), float(machines),
            list(rng.uniform(0.2, 3.0, count)),
        )  # fmt: skip

    return st.builds(making, st.integers(0, 2**32 - 1), st.integers(1, 5), st.integers(1, 3), st.floats(0.1, 0.95))


@settings(max_examples=40, deadline=None)
@given(makings())
def test_the_steady_interval_is_the_least_of_the_formula(making: Making) -> None:
    found = float(steady_interval(making))
    soonest = float(making.soonest)

    # Looked through densely and then narrowed down by another method.
    tried = soonest * (1 + np.logspace(-4, 4, 400))
    best = tried[int(np.argmin([float(time_at_interval(making, one)) for one in tried]))]
    least = minimize_scalar(
        lambda t: float(time_at_interval(making, t)), bounds=(best * 0.9, best * 1.1), method="bounded"
    )

    assert found > soonest
    assert float(time_at_interval(making, found)) <= least.fun * (1 + 1e-6)


@settings(max_examples=30, deadline=None)
@given(makings(), st.floats(1.01, 50.0))
def test_a_round_added_up_is_the_formula_lot_by_lot(making: Making, times: float) -> None:
    interval = float(making.soonest) * times
    lots = [rate * interval for rate in making.rates]

    assert float(time_at_interval(making, interval)) == pytest.approx(
        float(time_in_system(making, lots, in_rounds=True))
    )


@settings(max_examples=30, deadline=None)
@given(makings(), st.floats(1.01, 50.0))
def test_a_fixed_order_never_waits_longer_than_lots_as_they_come(making: Making, times: float) -> None:
    lots = [rate * float(making.soonest) * times for rate in making.rates]

    assert time_in_queue(making, lots, in_rounds=True) <= time_in_queue(making, lots) * (1 + 1e-9)


@settings(max_examples=30, deadline=None)
@given(makings(), st.floats(0.05, 0.95))
def test_a_shorter_set_up_shortens_interval_stock_and_waiting(making: Making, share: float) -> None:
    now, then = at_set_ups(making, 1.0), at_set_ups(making, share)

    assert then.interval <= now.interval
    assert sum(then.stock) <= sum(now.stock) * (1 + 1e-6)
    assert all(lot >= 1 for lot in then.lots)
    if min(then.lots) > 1:  # a lot of one piece cannot become smaller
        assert then.wait <= now.wait * (1 + 1e-6)


def test_at_the_soonest_interval_the_machine_is_full_and_waiting_has_no_end() -> None:
    making = Making([0.01, 0.02], [20.0, 30.0], [0.0, 0.0], [600.0, 300.0], [0.0, 0.0], 1.0, [1.0, 1.0])
    lots = [rate * float(making.soonest) for rate in making.rates]

    assert float(load_of_lots(making, lots)) == pytest.approx(1.0)
    assert time_at_interval(making, float(making.soonest) * 0.999) == np.inf


def test_without_time_for_set_ups_no_interval_will_do_and_without_set_ups_any() -> None:
    full = Making([0.1], [10.0], [0.0], [60.0], [0.0], 1.0, [1.0])

    assert steady_interval(full) == np.inf
    assert steady_interval(replace(full, rates=[0.05], set_ups=[0.0])) == 0


def test_waiting_that_may_be_longer_gets_the_longest_interval_for_it() -> None:
    making = Making([0.01, 0.02], [20.0, 10.0], [9.0, 9.0], [600.0, 300.0], [0.0, 0.0], 1.0, [1.0, 1.0])
    steady = float(steady_interval(making))
    longer = longer_interval(making, steady, 0.1)

    assert longer > steady
    assert float(time_at_interval(making, longer)) == pytest.approx(1.1 * float(time_at_interval(making, steady)))


def test_unknown_numbers_are_gone_through_one_by_one() -> None:
    rates = [np.array([0.01, 0.02]), np.array([0.02, 0.01])]
    making = Making(rates, [20.0, 10.0], [9.0, 9.0], [600.0, 300.0], [0.0, 0.0], 1.0, [1.0, 1.0])

    each = [float(steady_interval(replace(making, rates=[one[k] for one in rates]))) for k in range(2)]

    assert steady_interval(making) == pytest.approx(each, rel=1e-9)
