"""Intervals of means and shares hold the truth as often as they say, though pieces of one run are alike."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.answers.interval import by_run, mean_of, ratio_of, share_of
from tests.forecast.answers.known_processes import autoregressive, often, queue

TRIES = 500


@pytest.mark.parametrize("level", [0.8, 0.9, 0.95])
def test_a_mean_over_runs_lies_in_its_interval_as_often_as_it_says(level):
    means = autoregressive(np.random.default_rng(1), TRIES * 8, 100, keeps=0.9).mean(axis=1).reshape(TRIES, 8)

    held = sum(mean_of(runs, level).holds(10.0) for runs in means)

    low, high = often(level, TRIES)
    assert low <= held <= high


def test_a_mean_over_all_pieces_lies_in_its_interval_though_runs_are_of_unequal_length():
    rng = np.random.default_rng(2)
    taken = queue(rng, TRIES * 20, 300, load=0.7)
    long = rng.integers(100, 301, size=TRIES * 20)
    seen = np.arange(300) < long[:, None]
    sums, many = (taken * seen).sum(axis=1).reshape(TRIES, 20), long.reshape(TRIES, 20).astype(float)

    held = sum(ratio_of(a, b, 0.9).holds(1 / 0.3) for a, b in zip(sums, many, strict=True))

    # The means of runs of a queue are skewed, which costs Student's interval some points: between 84 % and 93 %.
    assert 0.84 * TRIES <= held <= 0.93 * TRIES


def test_taking_pieces_of_a_run_for_independent_would_promise_far_too_much():
    taken = queue(np.random.default_rng(3), 200, 300, load=0.7)

    held = sum(mean_of(run, 0.9).holds(1 / 0.3) for run in taken)

    assert held < 0.5 * 200


def test_a_share_lies_in_its_interval_as_often_as_it_says_though_orders_of_a_run_share_their_luck():
    rng = np.random.default_rng(4)
    of_run = rng.beta(9.0, 1.0, size=(TRIES, 25))
    kept = rng.binomial(60, of_run)

    held = sum(share_of(row, np.full(25, 60.0), 0.9).holds(0.9) for row in kept)

    low, high = often(0.9, TRIES)
    assert low - 0.02 * TRIES <= held <= high + 0.03 * TRIES


def test_a_share_of_independent_orders_lies_in_its_interval_at_least_as_often_as_it_says():
    kept = np.random.default_rng(5).binomial(20, 0.95, size=(TRIES, 10))

    held = sum(share_of(row, np.full(10, 20.0), 0.9).holds(0.95) for row in kept)

    assert held >= often(0.9, TRIES)[0]


def test_promises_that_were_all_kept_are_not_taken_for_certain():
    kept = share_of([40.0] * 30, [40.0] * 30, 0.9)

    assert kept.value == kept.high == 1.0
    assert 0.9 < kept.low < 0.95


def test_what_each_run_says_has_the_ratio_as_its_mean_and_its_error():
    sums, many = np.array([10.0, 40.0, 33.0]), np.array([1.0, 2.0, 3.0])

    told, found = mean_of(by_run(sums, many)), ratio_of(sums, many)

    assert told.value == pytest.approx(found.value)
    assert told.half_width == pytest.approx(found.half_width)


def test_one_run_says_nothing_of_how_sure_it_is():
    assert mean_of([4.0]).half_width == np.inf


def test_nothing_seen_is_no_number():
    assert np.isnan(ratio_of([0.0, 0.0], [0.0, 0.0]).value)
    assert np.isnan(share_of([0.0], [0.0]).value)


@pytest.mark.parametrize("level", [0.0, 1.0, 90.0, float("nan")])
def test_a_level_that_is_no_probability_is_refused(level):
    with pytest.raises(ValueError, match="lies between 0 and 1"):
        mean_of([1.0, 2.0], level)
