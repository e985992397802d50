"""A few runs say how many more are needed, and never without end."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.answers.interval import mean_of
from pullwright.forecast.answers.runs_needed import PILOT, runs_needed
from pullwright.watch.sample.clusters import t_quantile


@pytest.mark.parametrize("wished", [0.3, 1.0, 4.0])
def test_so_many_runs_are_enough_and_one_fewer_is_not(wished):
    found = runs_needed(5.0, wished, pilot=10, most=10_000, level=0.95)

    def half(runs: int) -> float:
        return t_quantile(runs - 1, 0.95) * 5.0 / np.sqrt(runs)

    assert half(found.runs) <= wished
    assert found.runs == 10 or half(found.runs - 1) > wished


def test_a_wish_that_cannot_be_met_ends_at_the_most_and_says_so():
    found = runs_needed(5.0, 0.001, pilot=10, most=200)

    assert (found.runs, found.reached) == (200, False)
    assert found.half_width > 0.001


def test_runs_that_never_differ_need_no_more():
    assert runs_needed(0.0, 0.1, pilot=10, most=200).runs == 10


def test_the_number_foretold_by_the_first_runs_reaches_the_half_width_every_second_time_and_nearly_always_half_more():
    rng, wished, reached, near = np.random.default_rng(19), 1.0, 0, 0
    for _ in range(300):
        runs = rng.normal(10.0, 4.0, size=2000)
        needed = runs_needed(float(runs[:PILOT].std(ddof=1)), wished, pilot=PILOT, most=2000).runs
        half = mean_of(runs[:needed]).half_width
        reached += half <= wished
        near += half <= 1.5 * wished
    assert 0.35 * 300 <= reached <= 0.65 * 300
    assert near >= 0.93 * 300


@pytest.mark.parametrize("wished", [0.0, -1.0, float("nan"), float("inf")])
def test_a_half_width_that_is_none_is_refused(wished):
    with pytest.raises(ValueError, match="has to be above 0"):
        runs_needed(1.0, wished, pilot=10, most=100)


def test_fewer_runs_at_the_most_than_at_first_are_refused():
    with pytest.raises(ValueError, match="10 runs first and 5 at the most"):
        runs_needed(1.0, 1.0, pilot=10, most=5)
