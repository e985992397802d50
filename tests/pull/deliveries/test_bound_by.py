"""The cheapest plan within a floor and cash: brute force, the solver and the trying one by one say the same."""

from __future__ import annotations

from itertools import product
from math import inf

import numpy as np
import pytest

from pullwright.pull.deliveries import bound_by
from pullwright.pull.deliveries.bound_by import Offer, cheapest_within, combined
from pullwright.pull.errors import BadPlanInput, NoSuchPlan


def some_offers(seed: int, groups: int = 4, each: int = 4) -> list[list[Offer]]:
    rng = np.random.default_rng(seed)
    return [[Offer("", *map(float, rng.uniform((10, 1, -500), (400, 9, 4000)))) for _ in range(each)] for _ in range(groups)]  # fmt: skip


def brute(offers: list[list[Offer]], floor: float, cash: float) -> float | None:
    sums = [
        (sum(one.costs for one in way), sum(one.floor for one in way), sum(one.cash for one in way))
        for way in product(*offers)
    ]
    return min((costs for costs, area, money in sums if area <= floor and money <= cash), default=None)


@pytest.mark.parametrize("tried", [4000, 0])
@pytest.mark.parametrize("seed", range(6))
def test_the_cheapest_within_limits_is_that_of_brute_force(
    seed: int, tried: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bound_by, "MOST_TRIED", tried)
    offers = some_offers(seed)
    for floor, cash in ((18.0, inf), (inf, 5000.0), (16.0, 6000.0), (8.0, 2500.0)):
        best = brute(offers, floor, cash)
        if best is None:
            with pytest.raises(NoSuchPlan):
                cheapest_within(offers, floor, cash)
            continue
        found = cheapest_within(offers, floor, cash)
        assert found.costs == pytest.approx(best)
        assert found.floor <= floor
        assert found.cash <= cash


@pytest.mark.parametrize("seed", range(6))
def test_the_worth_of_more_floor_is_what_the_next_better_plan_saves(seed: int) -> None:
    offers = some_offers(seed)
    found = cheapest_within(offers, floor=15.0)
    if found.worth_of_floor == 0:
        assert found.costs == pytest.approx(brute(offers, inf, inf))
        return
    assert brute(offers, found.next_floor - 1e-6, inf) == pytest.approx(found.costs)
    more = brute(offers, found.next_floor + 1e-6, inf)
    assert found.worth_of_floor == pytest.approx((found.costs - more) / (found.next_floor - 15.0))


def test_no_limit_takes_the_cheapest_of_each() -> None:
    offers = some_offers(1)
    found = cheapest_within(offers)
    assert found.costs == pytest.approx(sum(min(one.costs for one in group) for group in offers))
    assert (found.worth_of_floor, found.worth_of_cash) == (0, 0)


@pytest.mark.parametrize("seed", range(4))
def test_what_is_left_out_of_a_combination_is_beaten(seed: int) -> None:
    offers = some_offers(seed, groups=3)
    kept = [one for _, one in combined(offers)]
    for way in product(*offers):
        costs, floor, cash = (sum(getattr(one, what) for one in way) for what in ("costs", "floor", "cash"))
        assert any(one.costs <= costs + 1e-9 and one.floor <= floor + 1e-9 and one.cash <= cash + 1e-9 for one in kept)
    assert len(kept) < 64


def test_what_is_impossible_says_what_binds_and_what_would_do() -> None:
    offers = [[Offer("weekly", 300.0, 4.0, 2000.0), Offer("monthly", 100.0, 3.0, 9000.0)]]
    with pytest.raises(NoSuchPlan) as both:
        cheapest_within(offers, floor=3.5, cash=5000.0)
    assert both.value.binding == ("the floor of 3.5 m²", "the cash of 5000")
    assert both.value.instead == "within that floor it works with 9000 of cash"
    with pytest.raises(NoSuchPlan) as room:
        cheapest_within(offers, floor=2.0)
    assert "no plan needs less than 3 m²" in room.value.binding[0]
    assert room.value.instead == "it works with 3 m²"
    cheapest_within(offers, floor=3.0)
    with pytest.raises(NoSuchPlan) as neither:
        cheapest_within(offers, floor=2.0, cash=1000.0)
    assert neither.value.instead == "it works with 3 m² and 9000 of cash"


def test_a_supplier_without_an_offer_is_refused() -> None:
    with pytest.raises(BadPlanInput, match="without any offer"):
        cheapest_within([[]])
