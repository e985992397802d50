"""The mean of one long run lies in the interval of its batch means, where the run is long enough; where not, that is said."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.answers.batches import FEWEST, MOST, batch_means, independent_enough
from tests.forecast.answers.known_processes import autoregressive, often, queue

TRIES = 400


def test_the_mean_of_a_long_run_with_memory_lies_in_its_interval():
    runs = autoregressive(np.random.default_rng(9), TRIES, 4096, keeps=0.8)

    held = sum(batch_means(run, 0.9).interval.holds(10.0) for run in runs)

    low, high = often(0.9, TRIES)
    assert low - 0.03 * TRIES <= held <= high


def test_the_mean_of_a_long_run_of_a_queue_lies_in_its_interval_nearly_as_often_as_it_says():
    runs = queue(np.random.default_rng(10), TRIES, 6000, load=0.7)

    found = [batch_means(run, 0.9) for run in runs]

    # Batches that passed for independent once in a while were not quite: between 82 % and 94 %.
    assert 0.82 * TRIES <= sum(one.interval.holds(1 / 0.3) for one in found) <= 0.94 * TRIES


def test_batches_are_neither_too_few_nor_too_many():
    found = [batch_means(run) for run in autoregressive(np.random.default_rng(11), 50, 2000, keeps=0.9)]

    assert all(FEWEST <= one.batches <= MOST for one in found)
    assert all(one.batches * one.size <= 2000 for one in found)


def test_a_run_that_only_rises_is_never_taken_for_independent():
    found = batch_means(np.arange(1000.0))

    assert not found.independent


def test_independent_numbers_pass_as_often_as_they_should():
    rng = np.random.default_rng(12)

    passed = sum(independent_enough(rng.normal(size=50), chance=0.2) for _ in range(TRIES))

    low, high = often(0.8, TRIES)
    assert low <= passed <= high


def test_one_number_is_refused():
    with pytest.raises(ValueError, match="needs 2 or more"):
        batch_means([1.0])
