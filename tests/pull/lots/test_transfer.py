"""Handing on in smaller lots than are made: held against a machine-by-machine schedule."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pullwright.pull.lots.transfer import time_through, time_until_handed_on, trips


def scheduled(times: list[float], lot: int, transfer: int) -> float:
    """When the last piece leaves the last machine: every transfer lot goes on when it is whole."""
    done = [0.0] * (lot // transfer)
    for time in times:
        free = 0.0
        for k, ready in enumerate(done):
            free = max(free, ready) + transfer * time
            done[k] = free
    return done[-1]


@given(st.lists(st.floats(1.0, 90.0), min_size=1, max_size=5), st.integers(1, 8), st.integers(1, 9))
def test_time_through_is_that_of_a_schedule(times: list[float], transfer: int, parts: int) -> None:
    lot = transfer * parts

    assert float(time_through(times, lot, transfer)) == pytest.approx(scheduled(times, lot, transfer))


@given(st.floats(0.0, 900.0), st.floats(1.0, 90.0), st.integers(1, 8), st.integers(1, 9))
def test_time_until_handed_on_is_the_mean_over_the_pieces(
    set_up: float, time: float, transfer: int, parts: int
) -> None:
    lot = transfer * parts
    leaves = [set_up + (piece // transfer + 1) * transfer * time for piece in range(lot)]

    assert float(time_until_handed_on(set_up, time, lot, transfer)) == pytest.approx(np.mean(leaves))


def test_handing_on_more_than_is_made_is_handing_on_the_lot() -> None:
    assert time_until_handed_on(0.0, 60.0, 10.0, 30.0) == time_until_handed_on(0.0, 60.0, 10.0, 10.0)


def test_half_as_much_at_a_time_is_twice_as_often() -> None:
    assert trips(200.0, 10.0) == 2 * trips(200.0, 20.0)
