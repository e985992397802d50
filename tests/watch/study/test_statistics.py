"""Intervals, drift, outliers and shapes hold what they promise, on samples whose truth is known."""

from __future__ import annotations

from itertools import pairwise, permutations

import numpy as np
import pytest

from pullwright.watch.study.drift import runs_test, trend_of
from pullwright.watch.study.enough import enough, half_width, readings_needed, worth_taking
from pullwright.watch.study.learning import learning_of
from pullwright.watch.study.outliers import proposals
from pullwright.watch.study.shapes import fit_of, goodness_of, shape_of
from pullwright.watch.study.sheet import TimedReading
from pullwright.watch.study.spread import cv_interval_normal, cv_interval_vangel


def test_the_exact_interval_of_the_cv_covers_the_truth_as_often_as_it_says() -> None:
    rng = np.random.default_rng(1)
    rows = rng.normal(50, 15, size=(400, 10))
    inside = 0
    for row in rows:
        low, high = cv_interval_normal(float(row.std(ddof=1) / row.mean()), 10)
        inside += low <= 0.3 <= high

    assert abs(inside / 400 - 0.9) < 3 * (0.9 * 0.1 / 400) ** 0.5


def test_the_two_intervals_of_the_cv_agree_where_it_is_small() -> None:
    assert cv_interval_normal(0.03, 15) == pytest.approx(cv_interval_vangel(0.03, 15), rel=1e-5)


def test_a_trend_by_chance_is_counted_over_all_orders() -> None:
    scores = [
        sum((b > a) - (b < a) for i, a in enumerate(order) for b in order[i + 1 :]) for order in permutations(range(5))
    ]
    values = [3.0, 1.0, 2.0, 5.0, 4.0]
    score = round(trend_of(values).tau * 10)

    assert trend_of(values).chance == pytest.approx(sum(abs(one) >= abs(score) for one in scores) / len(scores))


def test_runs_by_chance_are_counted_over_all_orders() -> None:
    signs = set(permutations([0] * 4 + [1] * 4))
    runs = [1 + sum(a != b for a, b in pairwise(one)) for one in signs]
    few = sum(one <= 2 for one in runs) / len(runs)

    assert runs_test([1, 2, 3, 4, 5, 6, 7, 8])[2] == pytest.approx(2 * few)


def test_more_readings_stop_being_worth_it() -> None:
    for cv in (0.05, 0.2, 0.6):
        worth = worth_taking(cv, 10)
        assert 10 + worth <= max(10, readings_needed(cv))
        assert (
            half_width(cv, 10 + worth + 1) - half_width(cv, 20 + worth + 1) < 0.005
            or worth == readings_needed(cv) - 10
            or worth == 0
        )
    assert enough([5.0, 5.0, 5.0]).sentence() == "3 readings, all alike: no more are needed."


def test_learning_is_seen_where_it_is_and_not_where_it_is_not() -> None:
    rng = np.random.default_rng(2)
    noise = rng.lognormal(0, 0.03, 20)
    falling = learning_of((noise * 100 * np.arange(1, 21) ** np.log2(0.9)).tolist())

    assert falling.there
    assert falling.rate_low < 0.9 < falling.rate_high
    assert learning_of((noise * 100).tolist()).sentence == "no learning to be seen"


def test_nothing_is_proposed_where_nothing_lies_apart() -> None:
    times = [41.0, 44.0, 39.0, 45.0, 40.0, 47.0, 38.0, 43.0]

    assert proposals([TimedReading(str(i), i, 0, t) for i, t in enumerate(times, 1)]) == ()
    assert proposals([]) == ()
    assert proposals([TimedReading(str(i), i, 0, 5.0) for i in range(1, 9)]) == ()


@pytest.mark.parametrize("family", ["lognormal", "weibull", "gamma"])
def test_a_true_shape_is_refused_in_about_one_case_of_twenty(family: str) -> None:
    rng = np.random.default_rng(5)
    draw = {
        "lognormal": lambda: rng.lognormal(3, 0.3, 20),
        "weibull": lambda: 30 * rng.weibull(2.5, 20),
        "gamma": lambda: rng.gamma(6, 5, 20),
    }[family]
    refused = 0
    for seed in range(200):
        times = np.round(draw(), 1).tolist()
        refused += not goodness_of(fit_of(family, times), times, resamples=99, seed=seed).fits

    assert abs(refused / 200 - 0.05) < 3 * (0.05 * 0.95 / 200) ** 0.5


def test_a_wrong_shape_is_refused() -> None:
    times = np.random.default_rng(6).exponential(30, 60).tolist()

    assert not goodness_of(fit_of("normal", times), times).fits


def test_a_watch_read_to_whole_seconds_does_not_refuse_a_true_shape() -> None:
    times = np.round(np.random.default_rng(7).normal(50, 1.2, 60)).tolist()

    assert goodness_of(fit_of("normal", times), times).fits


def test_the_line_file_gets_a_shape_that_it_knows_or_the_readings_themselves() -> None:
    rng = np.random.default_rng(8)
    assert shape_of([5.0] * 9).for_line == ("constant", None)
    assert shape_of(rng.exponential(30, 80).tolist()).for_line[0] in ("exponential", "gamma", "weibull")
    two = np.concatenate([rng.normal(20, 0.5, 30), rng.normal(60, 0.5, 30)]).tolist()
    assert shape_of(two).for_line == ("empirical", None)
