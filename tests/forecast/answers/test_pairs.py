"""Differences on the same luck are surer than those of two forecasts apart."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.answers.pairs import paired
from tests.forecast.answers.known_processes import often


def test_the_difference_lies_in_its_interval_as_often_as_it_says():
    tries, rng = 500, np.random.default_rng(20)
    luck = rng.gamma(2.0, size=(tries, 15))
    option = 0.9 * luck - 0.5 + rng.normal(scale=0.3, size=luck.shape)

    held = sum(paired(a, b, 0.9).difference.holds(0.9 * 2.0 - 0.5 - 2.0) for a, b in zip(luck, option, strict=True))

    low, high = often(0.9, tries)
    assert low <= held <= high


def test_the_share_of_the_variance_that_common_luck_takes_away_is_told():
    rng = np.random.default_rng(21)
    luck, own = rng.normal(size=20_000), rng.normal(size=(2, 20_000))

    # Var(d) = 2 x own; both apart: 2 x (luck + own). With own = 0.25: 1 - 0.25 / 1.25 = 0.8.
    found = paired(luck + 0.5 * own[0], luck + 0.5 * own[1] + 3.0)

    assert found.took == pytest.approx(0.8, abs=0.02)
    assert found.difference.value == pytest.approx(3.0, abs=0.02)


def test_luck_that_works_against_the_pairs_shows_below_nothing():
    luck = np.random.default_rng(22).normal(size=100)

    assert paired(luck, -luck).took < 0


def test_unlike_numbers_of_runs_are_refused():
    with pytest.raises(ValueError, match="pairs need the same runs of both"):
        paired([1.0, 2.0], [1.0, 2.0, 3.0])
