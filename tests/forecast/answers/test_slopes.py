"""Slopes of an answer against what is not known are told where they can be told from luck."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.answers.slopes import slopes_of


def test_slopes_are_right_on_average_where_they_are_steep():
    rng = np.random.default_rng(30)
    found = []
    for _ in range(200):
        inputs = rng.normal(size=(2, 40))
        found.append(slopes_of(inputs, 3.0 * inputs[0] - 2.0 * inputs[1] + rng.normal(size=40)))

    assert np.mean(found, axis=0) == pytest.approx([3.0, -2.0], abs=0.05)


def test_inputs_that_do_nothing_have_a_slope_about_once_in_twenty():
    rng = np.random.default_rng(31)

    told = [slopes_of(rng.normal(size=(1, 40)), rng.normal(size=40))[0] != 0 for _ in range(400)]

    assert 0.02 * 400 <= sum(told) <= 0.09 * 400


def test_an_input_that_never_changes_has_none():
    assert slopes_of(np.ones((1, 10)), np.arange(10.0)).tolist() == [0.0]


def test_too_few_draws_tell_nothing():
    assert slopes_of(np.eye(3), np.arange(3.0)).tolist() == [0.0, 0.0, 0.0]
