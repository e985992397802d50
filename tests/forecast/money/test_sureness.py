"""How sure is what many runs tell?"""

from __future__ import annotations

from math import inf

import numpy as np
import pytest

from pullwright.forecast.money.sureness import bands_of, chance_of, enough


def test_the_interval_of_a_chance_is_wilsons():
    found = chance_of("dry", np.arange(50) < 5)

    # (0.1 + 1.92 / 50 -+ 1.96 sqrt(0.09 / 50 + 0.9604 / 2500)) / (1 + 3.8415 / 50), by hand.
    assert (found.found, found.of) == (5, 50)
    assert (found.low, found.high) == pytest.approx((0.0435, 0.2136), abs=1e-4)
    assert found.figure.value == 0.1
    assert found.low < found.figure.interval()[0] < found.figure.interval()[1] < found.high
    assert found.figure.source is not None
    assert found.figure.source.text == "5 of 50 runs"


def test_never_in_some_runs_is_not_never():
    found = chance_of("dry", np.zeros(40, bool))

    assert found.low == 0.0
    assert found.high == pytest.approx(0.0876, abs=1e-4)


def test_what_is_enough_leaves_no_more_runs_short_than_wished():
    amounts = np.random.default_rng(3).lognormal(size=237)

    for wished in (0.01, 0.05, 0.1, 0.5):
        found = enough("capital", amounts, "money", wished=wished)
        assert np.count_nonzero(amounts > found.value) <= wished * 237
        less = amounts[amounts < found.value].max()
        assert np.count_nonzero(amounts > less) > wished * 237
        assert found.low <= found.value <= found.high


def test_the_interval_holds_the_true_amount_as_often_as_it_says():
    rng = np.random.default_rng(11)
    true = -np.log(0.1)  # what is enough in nine of ten, of an exponential law
    held = 0
    for _ in range(2000):
        found = enough("capital", rng.exponential(size=120), "money", wished=0.1)
        held += found.low <= true <= found.high

    # Two amounts in their order hold it with at least 95 %; three standard errors of 2000 are 1.5 %.
    assert 0.95 - 0.015 < held / 2000 < 0.985


def test_too_few_runs_promise_nothing_and_say_how_many_would():
    found = enough("capital", np.arange(71.0), "money", wished=0.05)

    assert (found.high, found.promised, found.runs_needed) == (inf, False, 72)
    assert "71 runs are too few" in found.words
    assert enough("capital", np.arange(72.0), "money", wished=0.05).promised
    assert enough("capital", np.arange(72.0), "money", wished=0.05).high == 71.0
    assert enough("capital", np.arange(72.0), "money", wished=0.01).runs_needed == 368


def test_where_the_lower_end_is_unknown_it_is_the_least_there_can_be():
    assert enough("capital", np.array([5.0, 6.0]), "money", wished=0.5).low == 0.0


def test_runs_that_all_ask_for_nothing_need_nothing():
    found = enough("capital", np.zeros(100), "money", wished=0.05)

    assert (found.value, found.low, found.high) == (0.0, 0.0, 0.0)


def test_draws_of_the_figure_lie_where_the_interval_does():
    found = enough("capital", np.random.default_rng(5).normal(1000.0, 100.0, 400), "money", wished=0.05)
    low, high = np.quantile(found.figure.draws, [0.025, 0.975])

    assert found.figure.value == found.value
    assert (low, high) == pytest.approx((found.low, found.high), abs=15.0)


@pytest.mark.parametrize(("wished", "level"), [(0.0, 0.95), (1.0, 0.95), (0.05, 1.0)])
def test_shares_outside_nothing_to_all_are_refused(wished: float, level: float):
    with pytest.raises(ValueError, match="both lie between 0 and 1"):
        enough("capital", np.zeros(3), "money", wished=wished, level=level)


def test_without_runs_nothing_is_enough():
    with pytest.raises(ValueError, match="capital: no run was read"):
        enough("capital", np.zeros(0), "money", wished=0.05)


def test_bands_lie_in_their_order_on_each_day():
    runs = np.array([[0.0, 10.0], [1.0, 30.0], [2.0, 20.0]])

    assert bands_of(runs, (0.0, 0.5, 1.0)).values.tolist() == [[0.0, 10.0], [1.0, 20.0], [2.0, 30.0]]
