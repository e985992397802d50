"""Luck and ignorance are told apart without leaning to either side."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import f_oneway

from pullwright.forecast.answers.chance_and_ignorance import Split, drawn_together, split


def tables(rng: np.random.Generator, many: int, draws: int, runs: int, ignorance: float, chance: float) -> np.ndarray:
    return rng.normal(scale=np.sqrt(ignorance), size=(many, draws, 1)) + rng.normal(
        scale=np.sqrt(chance), size=(many, draws, runs)
    )


@pytest.mark.parametrize(("ignorance", "chance"), [(4.0, 1.0), (1.0, 0.5)])
def test_both_variances_are_right_on_average(ignorance, chance):
    found = [split(table) for table in tables(np.random.default_rng(23), 2000, 40, 2, ignorance, chance)]

    # Within four standard errors of the mean of 2000 estimates.
    between, within = np.array([one.ignorance for one in found]), np.array([one.chance for one in found])
    assert not any(one.below_zero for one in found)
    assert between.mean() == pytest.approx(ignorance, abs=4 * between.std() / np.sqrt(2000))
    assert within.mean() == pytest.approx(chance, abs=4 * within.std() / np.sqrt(2000))


def test_what_is_all_luck_comes_out_below_nothing_about_every_second_time_and_is_said():
    found = [split(table) for table in tables(np.random.default_rng(24), 500, 40, 2, 0.0, 1.0)]

    below = [one for one in found if one.below_zero]

    assert 0.4 * 500 <= len(below) <= 0.6 * 500
    assert all(one.ignorance == 0.0 and one.of_chance == 1.0 for one in below)


def test_the_shares_add_up_and_are_said():
    found = Split(3.0, 1.0, below_zero=False)

    assert found.of_ignorance + found.of_chance == 1.0
    assert found.sentence() == "75 % of the spread is what we do not know, 25 % is luck"
    assert Split(0.0, 0.0, below_zero=False).sentence() == "nothing of it varies"


def test_the_mean_squares_are_those_of_the_analysis_of_variance():
    table = np.random.default_rng(25).normal(size=(7, 3)) + np.arange(7.0)[:, None]

    found = split(table)

    assert f_oneway(*table).statistic == pytest.approx((found.chance + 3 * found.ignorance) / found.chance)


def test_draws_differ_as_ignorance_does_and_no_longer_by_the_luck_of_a_few_runs():
    table = tables(np.random.default_rng(26), 1, 400, 2, 1.0, 4.0)[0]

    drawn = drawn_together(table, error=0.0)

    assert drawn.var(ddof=1) == pytest.approx(split(table).ignorance)
    assert drawn.mean() == pytest.approx(table.mean())
    assert table.mean(axis=1).var(ddof=1) > 2 * drawn.var(ddof=1)


@pytest.mark.parametrize("shape", [(1, 5), (5, 1)])
def test_too_few_of_either_are_refused(shape):
    with pytest.raises(ValueError, match="need 2 or more of both"):
        split(np.zeros(shape))
