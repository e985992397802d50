"""A pile that grows is told from one that swings."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.answers.growth import SURE, growth_of
from tests.forecast.answers.known_processes import autoregressive, often


def test_the_rate_lies_in_its_interval_as_often_as_it_says():
    tries, rng = 400, np.random.default_rng(17)
    piles = autoregressive(rng, tries * 10, 60, keeps=0.9).reshape(tries, 10, 60) + 0.7 * np.arange(60)

    held = sum(growth_of(pile).rate.holds(0.7) for pile in piles)

    low, high = often(SURE, tries)
    assert low <= held <= high


def test_what_only_swings_hardly_ever_grows():
    piles = autoregressive(np.random.default_rng(18), 4000, 60, keeps=0.9).reshape(400, 10, 60)

    assert sum(growth_of(pile).grows for pile in piles) <= often(0.005, 400)[1]


def test_what_shrinks_does_not_grow():
    assert not growth_of(-2.0 * np.arange(60) * np.ones((5, 1))).grows


def test_what_filled_up_in_the_first_half_does_not_grow():
    pile = np.minimum(np.arange(60.0), 25.0) * np.ones((5, 1))

    assert not growth_of(pile).grows


def test_a_growth_that_is_negligible_is_not_told():
    pile = 0.01 * np.arange(60) * np.array([[1.0], [1.1], [0.9]])

    assert growth_of(pile).grows
    assert not growth_of(pile, negligible=0.05).grows
