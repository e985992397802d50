"""Set-ups weighed in: exact against every sequence, bounds that hold, and a trade-off that is one."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.pull.sequence import with_set_ups
from pullwright.pull.sequence.aim import Aim, set_ups_in
from pullwright.pull.sequence.levelled import levelled
from pullwright.pull.sequence.runs_needed import least_with_runs
from pullwright.pull.sequence.with_set_ups import cheapest, fewest_set_ups, trade_off
from tests.pull.sequence.every_sequence import every_sequence

small_mixes = st.lists(st.integers(0, 4), min_size=1, max_size=3).filter(lambda counts: 0 < sum(counts) <= 7)


@settings(max_examples=40, deadline=None)
@given(small_mixes, st.data())
def test_each_point_is_the_most_even_sequence_with_at_most_so_many_set_ups(
    counts: list[int], data: st.DataObject
) -> None:
    last = data.draw(st.none() | st.integers(0, len(counts) - 1))
    aim = Aim.of_products(counts)
    if data.draw(st.booleans()):
        aim = Aim.of_parts(counts, [data.draw(st.lists(st.integers(0, 3), min_size=3, max_size=3)) for _ in counts])

    points = trade_off(aim, last=last)

    for allowed in range(fewest_set_ups(aim, last), aim.places + 1):
        least = min(aim.squares(order) for order in every_sequence(counts) if set_ups_in(order, last) <= allowed)
        point = max((p for p in points if p.set_ups <= allowed), key=lambda p: p.set_ups)
        assert point.squares == pytest.approx(least, abs=1e-9)
        assert point.proven
        assert set_ups_in(point.order, last) <= allowed
        assert aim.squares(point.order) == pytest.approx(point.squares, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(small_mixes, st.data())
def test_beyond_the_exact_method_the_bound_holds_and_so_does_the_limit(counts: list[int], data: st.DataObject) -> None:
    last = data.draw(st.none() | st.integers(0, len(counts) - 1))
    aim = Aim.of_products(counts)
    allowed = fewest_set_ups(aim, last) + data.draw(st.integers(0, 3))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(with_set_ups, "MOST_CELLS", 0)
        point = trade_off(aim, allowed, last)[-1]

    least = min(aim.squares(order) for order in every_sequence(counts) if set_ups_in(order, last) <= allowed)
    assert point.at_least <= least + 1e-9 <= point.squares + 2e-9
    assert set_ups_in(point.order, last) <= allowed
    assert aim.fits(point.order)


def test_more_set_ups_make_a_day_more_even_until_nothing_is_left_to_gain() -> None:
    aim = Aim.of_products([14, 9, 5])

    points = trade_off(aim)

    assert [p.set_ups for p in points] == sorted({p.set_ups for p in points})
    assert all(a.squares > b.squares for a, b in pairwise(points))
    assert points[0].set_ups == 2
    assert points[-1].squares == pytest.approx(levelled(aim).squares)


def test_laid_out_runs_come_near_to_the_exact_ones(monkeypatch: pytest.MonkeyPatch) -> None:
    aim = Aim.of_products([14, 9, 5])
    exact = {p.set_ups: p.squares for p in trade_off(aim)}
    monkeypatch.setattr(with_set_ups, "MOST_CELLS", 0)

    laid = trade_off(aim)

    assert len(laid) > 3
    for point in laid:
        assert exact[point.set_ups] <= point.squares + 1e-9 <= 1.25 * exact[point.set_ups]
        assert point.at_least <= exact[point.set_ups] + 1e-9


def test_a_large_mix_keeps_its_limit_and_tells_its_gap() -> None:
    aim = Aim.of_products([60, 40, 25, 25, 20, 15, 10, 5])

    (point,) = trade_off(aim, 16, points=1)

    assert aim.fits(point.order)
    assert set_ups_in(point.order) <= 16
    assert (
        0 < point.at_least < point.squares < aim.squares(tuple(i for i, n in enumerate(aim.counts) for _ in range(n)))
    )


def test_runs_of_one_product_are_bounded_by_placing_it_alone() -> None:
    """With as many runs as pieces nothing is in the way, so the bound of two products is the even day itself."""
    aim = Aim.of_products([3, 3])

    bounds = least_with_runs(aim, 6)

    assert bounds[1][0] == float("inf")
    assert bounds[2][1] == (1, 1)
    assert bounds[6][0] / aim.scale**2 <= levelled(aim).squares + 1e-9


def test_a_price_for_set_ups_picks_a_point_of_the_trade_off() -> None:
    points = trade_off(Aim.of_products([14, 9, 5]))

    assert cheapest(points, 0.0) == points[-1]
    assert cheapest(points, 1e9) == points[0]
    costs = [cheapest(points, cost).set_ups for cost in (0.0, 1.0, 5.0, 20.0, 100.0)]
    assert costs == sorted(costs, reverse=True)


def test_fewer_set_ups_than_products_need_is_no_plan_and_the_nearest_is_named() -> None:
    with pytest.raises(
        NoSuchPlan, match="at most 1 set-up in the day is wished, and 3 products need at least 2"
    ) as said:
        trade_off(Aim.of_products([2, 2, 2]), most=1)

    assert said.value.instead == "2 set-ups: every product in one run"
    assert said.value.binding == ("at most 1 set-up in the day", "3 products are to be made")


def test_nothing_and_one_product_need_no_set_up() -> None:
    assert [p.set_ups for p in trade_off(Aim.of_products([0, 0]))] == [0]
    assert [p.set_ups for p in trade_off(Aim.of_products([0, 4]))] == [0]
    assert [p.set_ups for p in trade_off(Aim.of_products([0, 4]), last=0)] == [1]


def test_a_product_that_is_not_there_cannot_have_been_made_last() -> None:
    with pytest.raises(BadPlanInput, match="allowed: 0 to 1"):
        trade_off(Aim.of_products([1, 1]), last=2)
