"""Laws of the base stock: what is found keeps the wish, one container less does not, and more of anything never needs less."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.cards.base_stock import MOST_SERVICE, Asked, Drawn, base_stock, level_of
from tests.effort import within

means = st.floats(0.01, 400.0)
ratios = st.one_of(st.just(1.0), st.floats(0.02, 0.999), st.floats(1.001, 20.0))
wishes = st.floats(0.05, 0.9999)
containers = st.integers(1, 40)


def asked_of(mean: float, ratio: float) -> Asked:
    return Asked(mean, mean * ratio, max(ratio, 1.0))


@settings(max_examples=60)
@given(means, ratios, wishes, containers, st.booleans(), st.sampled_from(["fill rate", "ready rate"]))
def test_the_stock_that_is_found_keeps_the_wish_and_one_container_less_does_not(
    mean: float, ratio: float, wish: float, each: int, one_by_one: bool, by: str
) -> None:
    asked = asked_of(mean, ratio)
    levels = float(each) if one_by_one else 1.0
    top = float(base_stock(asked, wish, each, levels=levels, by=by)[0])
    field = by.replace(" ", "_")
    assert top % each == 0
    assert getattr(level_of(asked, top, levels), field)[0] >= wish - 1e-9
    if top > each:
        assert getattr(level_of(asked, top - each, levels), field)[0] < wish


@settings(max_examples=40)
@given(means, ratios, wishes, st.floats(0.0, 1.0), containers)
def test_more_service_never_needs_less(mean: float, ratio: float, wish: float, part: float, each: int) -> None:
    asked = asked_of(mean, ratio)
    more = wish + part * (MOST_SERVICE - wish)
    assert base_stock(asked, more, each, levels=each)[0] >= base_stock(asked, wish, each, levels=each)[0]


@settings(max_examples=40)
@given(
    st.floats(0.1, 60.0),
    st.floats(0.3, 4.0),
    st.floats(0.01, 3.0),
    st.floats(1.0, 3.0),
    st.floats(0.5, 0.999),
    containers,
)
def test_more_demand_or_a_longer_lead_time_never_needs_less(
    demand: float, uneven: float, lead: float, times: float, wish: float, each: int
) -> None:
    def needed(rate: float, days: float) -> float:
        return float(base_stock(Asked.over(rate, uneven, days, 0.1 * days**2), wish, each, levels=each)[0])

    assert needed(demand * times, lead) >= needed(demand, lead)
    assert needed(demand, lead * times) >= needed(demand, lead)


@settings(max_examples=40)
@given(means, ratios, st.integers(1, 500), containers)
def test_what_is_there_less_what_is_waited_for_is_what_is_ordered_up_to_less_what_is_asked_for(
    mean: float, ratio: float, top: int, levels: int
) -> None:
    found = level_of(asked_of(mean, ratio), float(top), float(levels))
    assert found.on_shelf[0] - found.backorders[0] == pytest.approx(top - (levels - 1) / 2 - mean, abs=1e-6)
    assert found.on_shelf[0] >= 0 <= found.backorders[0]


def test_a_larger_container_never_needs_fewer_pieces() -> None:
    """Each multiple of a container keeps whole what the smaller ones could give."""
    asked = Asked.over(30.0, 1.5, 0.8, 0.05)
    needed = [float(base_stock(asked, 0.95, each, levels=each)[0]) for each in (1, 2, 4, 8, 16, 32, 64)]
    assert needed == sorted(needed)


def test_a_demand_that_never_varies_needs_exactly_itself_and_the_piece_that_is_asked_for() -> None:
    assert float(base_stock(Asked(10.0, 0.0), 0.99)[0]) == 11.0
    assert float(level_of(Asked(10.0, 0.0), 11.0).on_shelf[0]) == pytest.approx(1.0)


def test_draws_are_worked_out_one_by_one_as_single_numbers_are() -> None:
    rng = np.random.default_rng(3)
    mean, ratio = rng.uniform(0.5, 60.0, 50), rng.uniform(0.2, 5.0, 50)
    together = base_stock(Asked(mean, mean * ratio), 0.95, 7.0, levels=7.0)
    alone = [float(base_stock(Asked(m, m * r), 0.95, 7.0, levels=7.0)[0]) for m, r in zip(mean, ratio, strict=True)]
    assert together.tolist() == alone


def test_a_lead_time_without_end_needs_a_stock_without_end() -> None:
    asked = Asked.over(np.array([10.0, 10.0, 0.0]), 1.0, np.array([1.0, np.inf, np.inf]), 0.0)
    assert base_stock(asked, 0.95).tolist() == [16.0, np.inf, 1.0]
    assert level_of(asked, 16.0).backorders[1] == np.inf


def test_screws_by_the_hundred_thousand_are_worked_out_in_bundles_near_enough() -> None:
    from scipy import stats

    mean, deviation = 200_000.0, 30_000.0
    ratio = deviation**2 / mean
    exact = stats.nbinom(mean / (ratio - 1), 1 / ratio).ppf(0.95) + 1
    top = float(base_stock(Asked(mean, deviation**2), 0.95)[0])
    assert top == pytest.approx(exact, abs=deviation / 500)


def test_a_container_of_a_million_takes_no_longer_than_one_of_a_hundred() -> None:
    """Asked for are 30,000 in a lead time, more or less: one container is too few, because its card is on its way while they are asked for."""
    asked = Asked(np.full(300, 3e4), np.full(300, 4e4))
    with within(200):
        found = base_stock(asked, 0.99, 1e6, levels=1e6)
    assert set(found) == {2e6}
    assert set(base_stock(asked, 0.96, 1e6, levels=1e6)) == {1e6}


def test_seen_lead_time_demand_is_taken_as_it_was_seen() -> None:
    seen = Drawn([1, 2, 3, 4, 20])
    assert float(base_stock(seen, 0.8)[0]) == 5.0
    assert float(base_stock(seen, 0.81)[0]) == 21.0
    assert level_of(seen, 5.0).on_shelf[0] == pytest.approx((4 + 3 + 2 + 1 + 0) / 5)


def test_drawn_demand_of_a_law_asks_for_what_the_law_asks_for() -> None:
    rng = np.random.default_rng(5)
    days = rng.poisson(20.0, 4000)
    drawn = Drawn.over(days, [0.5], 40_000, rng)
    assert drawn.mean == pytest.approx(10.0, abs=0.2)
