"""Evidence that may be looked at after every run: it misleads no more often than it says, and finds what is there."""

from __future__ import annotations

from math import log

import numpy as np
import pytest
from scipy import stats

from pullwright.forecast.search import averages, betting
from pullwright.forecast.search.averages import Average
from pullwright.forecast.search.betting import Bet

WRONG = 0.1


def no_more_than(found: int, of: int, promised: float) -> None:
    """So many cases of so many agree with a chance of at most `promised` (they would not, one time in a thousand)."""
    assert found <= stats.binom.ppf(0.999, of, promised), f"{found} of {of} for {promised:.1%}"


@pytest.mark.parametrize("shape", [(0.9, 0.1), (18.0, 2.0), None])
@pytest.mark.parametrize("above", [True, False])
def test_a_bet_at_the_true_mean_seldom_wins_whatever_the_shares_are_like(shape, above):
    luck = np.random.default_rng(7)
    won = 0
    for _ in range(400):
        shares = luck.beta(*shape, size=300) if shape else (luck.random(300) < 0.9).astype(float)
        bet = Bet(0.9, above=above)
        won += any(bet.add(share) or bet.evidence >= log(1 / WRONG) for share in shares.tolist())
    no_more_than(won, 400, WRONG)


def test_a_bet_on_what_is_so_wins_soon():
    luck = np.random.default_rng(8)
    took = []
    for _ in range(50):
        bet, runs = Bet(0.94, above=True), 0
        while bet.evidence < log(1 / WRONG):
            bet.add(float(luck.binomial(100, 0.97)) / 100)
            runs += 1
        took.append(runs)
    assert np.mean(took) < 120  # all shares 1 would need log(10) / log(1 / 0.94) = 37


def test_what_no_share_can_be_is_known_without_a_run():
    assert Bet(-0.01, above=True).evidence == np.inf
    never = Bet(1.0, above=True)
    for _ in range(1000):
        never.add(1.0)
    assert never.evidence <= 0


def test_one_late_order_breaks_a_promise_of_all():
    """A share below 1 is proof that the mean is below 1."""
    bet = Bet(1.0, above=False)
    bet.add(1.0)
    bet.add(0.99)
    bet.add(0.99)
    assert bet.evidence > log(1e4)


def test_the_evidence_of_averages_at_the_true_mean_seldom_misleads():
    luck = np.random.default_rng(9)
    misled = 0
    for _ in range(400):
        average = Average(5.0)
        misled += any(average.add(one) or average.above >= log(1 / WRONG) for one in luck.normal(5, 3, 400).tolist())
    no_more_than(misled, 400, WRONG)


def test_averages_that_are_all_alike_tell_after_a_few_runs_and_not_before():
    average = Average(5.0)
    for _ in range(averages.LEAST_RUNS - 1):
        average.add(6.0)
        assert average.above == -np.inf
    average.add(6.0)
    assert average.above > log(1e3)
    assert average.below == -np.inf
    same = Average(5.0)
    for _ in range(50):
        same.add(5.0)
    assert same.above == same.below == -np.inf


@pytest.mark.parametrize("runs", [12, 60, 200])
def test_intervals_of_shares_hold_the_mean(runs):
    luck = np.random.default_rng(runs)
    missed = 0
    for _ in range(100):
        low, high = betting.interval(luck.beta(18, 2, size=runs).tolist(), WRONG)
        missed += not low <= 0.9 <= high
    no_more_than(missed, 100, WRONG)


@pytest.mark.parametrize("runs", [12, 60, 300])
def test_intervals_of_averages_hold_the_mean(runs):
    luck = np.random.default_rng(runs)
    missed = 0
    for _ in range(400):
        low, high = averages.interval(luck.normal(2, 0.5, size=runs).tolist(), WRONG)
        missed += not low <= 2.0 <= high
    no_more_than(missed, 400, WRONG)


def test_an_interval_ends_where_the_evidence_begins():
    """Both are the same test, once asked for a mean and once for all of them."""
    sample = np.random.default_rng(3).normal(10, 1, 40).tolist()
    low, _ = averages.interval(sample, WRONG)
    just, short = Average(low - 1e-6), Average(low + 1e-6)
    for one in sample:
        just.add(one)
        short.add(one)
    assert just.above > log(1 / WRONG) > short.above


def test_nothing_is_known_of_no_runs():
    assert betting.interval([], WRONG) == (0.0, 1.0)
    assert averages.interval([1.0, 2.0], WRONG) == (-np.inf, np.inf)
