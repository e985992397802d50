"""Dual feasible functions: whatever fits into a post still fits into it with the new times."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.balance.feasible_functions import all_new_times, in_shares


@settings(max_examples=40)
@given(st.lists(st.integers(0, 40), min_size=1, max_size=6), st.integers(0, 30))
def test_what_fits_still_fits(times: list[int], more: int) -> None:
    takt = max(1, *times) + more
    every = list(all_new_times(np.array(times, np.int64), takt))

    for chosen in range(1 << len(times)):
        within = [i for i in range(len(times)) if chosen >> i & 1]
        if sum(times[i] for i in within) <= takt:
            assert all(new.times[within].sum() <= new.room for new in every)


def test_halves_count_what_takes_more_than_half_a_post_as_a_whole_one() -> None:
    new = in_shares(np.array([4, 5, 6, 10]), 10, 1)

    assert (new.times / new.room).tolist() == [0.0, 0.5, 1.0, 1.0]
