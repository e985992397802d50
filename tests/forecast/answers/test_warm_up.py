"""Where a warm-up ends, and when a run is too short to tell."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.answers.warm_up import BATCH, mser5, standard_errors
from tests.forecast.answers.known_processes import autoregressive, queue


@pytest.mark.parametrize("start", [60.0, -40.0])
def test_a_start_far_from_the_long_run_is_cut_where_it_has_died_away(start):
    steady = autoregressive(np.random.default_rng(13), 20, 400, keeps=0.5).mean(axis=0)
    left = (start - 10.0) * 0.9 ** np.arange(400)

    found = mser5(steady + left)

    # After 30 to 90 days less than 4 % to 0.01 % of the start is left.
    assert found.settled
    assert 30 <= found.cut <= 90


def test_after_the_cut_the_mean_is_nearer_to_the_truth():
    steady = autoregressive(np.random.default_rng(14), 20, 400, keeps=0.5).mean(axis=0)
    series = steady + 50.0 * 0.9 ** np.arange(400)

    cut = mser5(series).cut

    assert abs(series[cut:].mean() - 10.0) < 0.2 * abs(series.mean() - 10.0)


def test_a_steady_series_keeps_most_of_it():
    cuts = [mser5(one) for one in autoregressive(np.random.default_rng(15), 100, 300, keeps=0.3)]

    assert np.median([one.cut for one in cuts]) <= 60


@pytest.mark.parametrize("series", [np.arange(200.0), 0.01 * np.arange(200.0) ** 2, np.repeat([0.0, 10.0], [150, 50])])
def test_what_grows_or_jumps_late_has_not_settled(series):
    assert not mser5(series).settled


def test_what_never_changes_has_no_warm_up():
    found = mser5(np.full(100, 3.3))

    assert found.cut == 0
    assert found.settled


def test_too_few_days_are_said_not_to_have_settled():
    assert not mser5(np.ones(30)).settled


def test_the_errors_are_those_of_the_definition():
    means = np.array([9.0, 5.0, 4.0, 6.0, 5.0])

    direct = [((means[d:] - means[d:].mean()) ** 2).sum() / (means.size - d) ** 2 for d in range(means.size)]

    np.testing.assert_allclose(standard_errors(means), direct, atol=1e-12)


def test_an_empty_queue_fills_up_within_the_cut():
    series = queue(np.random.default_rng(16), 200, 600, load=0.9, steady=False).mean(axis=0)

    found = mser5(series)

    assert found.cut % BATCH == 0
    assert found.cut >= 40
    assert abs(series[found.cut :].mean() - 10.0) < abs(series.mean() - 10.0)
