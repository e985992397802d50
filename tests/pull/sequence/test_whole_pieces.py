"""A day's demand in whole pieces, day after day."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.whole_pieces import on_day, whole_pieces

demands = st.lists(st.integers(0, 4000).map(lambda n: n / 100), min_size=1, max_size=8)


@given(demands, st.integers(1, 40))
def test_nothing_is_lost_or_made_twice_over_the_days(demand: list[float], days: int) -> None:
    carried: tuple[Fraction, ...] = ()
    made = [0] * len(demand)
    for _ in range(days):
        today, carried = whole_pieces(demand, carried)
        assert all(n >= 0 for n in today)
        made = [so_far + n for so_far, n in zip(made, today, strict=True)]

    wanted = [Fraction(each).limit_denominator(10**6) * days for each in demand]
    assert [w - m for w, m in zip(wanted, made, strict=True)] == list(carried)
    assert abs(sum(wanted) - sum(made)) <= Fraction(1, 2)
    assert all(abs(left) < 2 for left in carried)


def test_whole_demands_stay_what_they_are() -> None:
    assert all(on_day([14.0, 9.0, 5.0], day) == (14, 9, 5) for day in (1, 2, 200))


def test_a_third_of_a_piece_a_day_is_a_piece_every_third_day() -> None:
    assert [on_day([1 / 3, 0.0], day)[0] for day in range(1, 7)] == [0, 1, 0, 0, 1, 0]


def test_a_demand_below_nothing_is_refused() -> None:
    with pytest.raises(BadPlanInput, match="allowed: numbers from 0 on"):
        whole_pieces([1.0, -0.5])
