"""Laws of one cap for the whole flow."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.cards.capped_flow import cap_by_practical_worst, smallest_cap, throughput

flows = st.lists(st.tuples(st.floats(0.1, 10.0), st.integers(1, 3), st.floats(0.0, 3.0)), min_size=1, max_size=6)


@settings(max_examples=40)
@given(flows, st.floats(0.1, 0.95), st.floats(0.0, 20.0))
def test_the_cap_that_is_found_makes_the_wish_and_one_piece_less_does_not(
    flow: list[tuple[float, int, float]], part: float, delay: float
) -> None:
    work, machines, cv2 = ([row[k] for row in flow] for k in range(3))
    wish = part * min(many / time for time, many in zip(work, machines, strict=True))
    cap = float(smallest_cap(wish, work, machines, cv2, delay)[0])
    assert throughput(int(cap), work, machines, cv2, delay)[0] >= wish * (1 - 1e-9)
    if cap > 1:
        assert throughput(int(cap) - 1, work, machines, cv2, delay)[0] < wish


def test_more_is_never_made_with_fewer_pieces() -> None:
    caps = [float(smallest_cap(rate, [2.0, 3.0, 1.0], [1, 1, 1], [1.0, 1.0, 1.0])[0]) for rate in (0.1, 0.2, 0.3, 0.32)]
    assert caps == sorted(caps)


def test_more_uneven_times_need_more_pieces() -> None:
    caps = [float(smallest_cap(0.3, [2.0, 3.0, 1.0], [1, 1, 1], [cv2] * 3)[0]) for cv2 in (0.0, 0.5, 1.0, 2.0)]
    assert caps == sorted(caps)
    assert caps[0] < caps[-1]


def test_no_cap_makes_more_than_the_fullest_station() -> None:
    assert smallest_cap(0.34, [2.0, 3.0], [1, 1], [1.0, 1.0])[0] == np.inf
    assert cap_by_practical_worst(0.5, 0.5, 4.0) == np.inf
    assert smallest_cap(0.0, [2.0], [1], [1.0])[0] == 0


def test_draws_are_worked_out_as_single_numbers_are() -> None:
    rng = np.random.default_rng(2)
    first, second = rng.uniform(1.0, 3.0, 30), rng.uniform(1.0, 3.0, 30)
    together = smallest_cap(0.3, [first, second], [1, 2], [np.full(30, 0.5), np.full(30, 1.2)], 4.0)
    alone = [float(smallest_cap(0.3, [a, b], [1, 2], [0.5, 1.2], 4.0)[0]) for a, b in zip(first, second, strict=True)]
    assert together.tolist() == alone


def test_practical_worst_case_is_undone_by_its_own_formula() -> None:
    cap = float(cap_by_practical_worst(0.4, 0.5, 8.0))
    assert cap * 0.5 / (8.0 + cap - 1) == pytest.approx(0.4)
