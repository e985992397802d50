"""Percentiles over the pieces of many runs hold the truth as often as they say."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from pullwright.forecast.answers.quantiles import quantile_of
from tests.forecast.answers.known_processes import autoregressive, often, queue

TRIES = 400


@pytest.mark.parametrize("share", [0.5, 0.9, 0.95])
def test_a_percentile_of_a_process_with_memory_lies_in_its_interval_as_often_as_it_says(share):
    keeps = 0.8
    runs = autoregressive(np.random.default_rng(6), TRIES * 20, 200, keeps).reshape(TRIES, 20, 200)
    truth = 10.0 + norm.ppf(share) / np.sqrt(1 - keeps**2)

    held = sum(quantile_of(list(one), share, 0.9).holds(truth) for one in runs)

    low, high = often(0.9, TRIES)
    assert low - 0.02 * TRIES <= held <= high + 0.02 * TRIES


def test_the_promise_that_95_percent_of_a_queue_keep_lies_in_its_interval():
    runs = queue(np.random.default_rng(7), TRIES * 30, 300, load=0.7).reshape(TRIES, 30, 300)
    truth = -np.log(0.05) / 0.3

    held = sum(quantile_of(list(one), 0.95, 0.9).holds(truth) for one in runs)

    # Skewed as runs of a queue are: between 83 % and 95 %.
    assert 0.83 * TRIES <= held <= 0.95 * TRIES


def test_pieces_of_independent_runs_give_the_interval_of_order_statistics():
    rng = np.random.default_rng(8)

    held = sum(quantile_of([rng.random(25) for _ in range(12)], 0.9, 0.9).holds(0.9) for _ in range(TRIES))

    assert held >= often(0.9, TRIES)[0]


def test_orders_that_were_never_shipped_put_a_percentile_beyond_every_number():
    samples = [np.array([1.0, 2.0, np.inf]), np.array([1.0, np.inf, np.inf])]

    assert quantile_of(samples, 0.3).value == 1.0
    assert quantile_of(samples, 0.95).value == np.inf


def test_without_pieces_there_is_no_percentile():
    assert np.isnan(quantile_of([np.empty(0), np.empty(0)], 0.5).value)


def test_a_share_that_is_none_is_refused():
    with pytest.raises(ValueError, match=r"a share of 95 was read; a percentile lies between 0 and 1, such as 0\.95"):
        quantile_of([np.ones(3)], 95)
