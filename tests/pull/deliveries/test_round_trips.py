"""Round trips: every supplier is called at once, the set is the cheapest, and a full vehicle goes more often or twice."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest

from pullwright.pull.deliveries.rhythm import Bought, SupplierRhythm, Terms, lots_of, rhythms
from pullwright.pull.deliveries.round_trips import RoundTrip, round_trips
from pullwright.pull.errors import BadPlanInput, NoSuchPlan

TERMS = Terms(carrying=0.16, rent=102.0, wage=26 / 3600, days_a_year=252)
CHOICES = rhythms(2)


def suppliers(seed: int, count: int = 3) -> dict[str, list[Bought]]:
    rng = np.random.default_rng(seed)
    return {
        name: [
            Bought(f"{name} {k}", float(rng.uniform(5, 40)), float(rng.uniform(1, 40)), 20, 5, 20, 0.6, mass=float(rng.uniform(0.2, 5)))
            for k in range(1 if name == 'east' else 2)
        ]
        for name in ("north", "east", "south", "west")[:count]
    }  # fmt: skip


def brute_trip(parts: list[Bought], cost: float, carries: float) -> float:
    best = np.inf
    for lots in product(*(lots_of(part, TERMS, CHOICES) for part in parts)):
        vehicles = max(1, int(np.ceil(sum(one.mass for one in lots) / carries - 1e-9)))
        best = min(best, SupplierRhythm(lots, vehicles * cost).costs.total)
    return float(best)


@pytest.mark.parametrize("seed", range(3))
def test_the_set_of_trips_is_what_trying_all_of_them_finds(seed: int) -> None:
    brings = suppliers(seed)
    own = dict.fromkeys(brings, 30.0)
    trips = [
        RoundTrip("two", ("north", "east"), 38.0, 500.0), RoundTrip("others", ("south", "east"), 45.0), RoundTrip("all", tuple(brings), 60.0, 400.0)
    ]  # fmt: skip
    ways = {(name,): brute_trip(brings[name], 30.0, np.inf) for name in brings}
    ways |= {
        trip.suppliers: brute_trip([part for name in trip.suppliers for part in brings[name]], trip.costs, trip.carries) for trip in trips
    }  # fmt: skip
    covers = [
        sum(ways[way] for way in chosen)
        for n in (1, 2, 3)
        for chosen in combinations(ways, n)
        if sorted(name for way in chosen for name in way) == sorted(brings)
    ]
    plan = round_trips(brings, own, trips, TERMS, CHOICES)
    assert plan.costs == pytest.approx(min(covers))
    assert sorted(name for one in plan.driven for name in one.suppliers) == sorted(brings)
    assert plan.alone == pytest.approx(sum(ways[(name,)] for name in brings))


def test_a_vehicle_that_carries_little_splits_the_trip() -> None:
    brings = {"north": [replace(part, mass=10.0, holds=1) for part in suppliers(1)["north"]]}
    free = round_trips(brings, {}, [RoundTrip("all", ("north",), 60.0)], TERMS, CHOICES)
    heavy = round_trips(brings, {}, [RoundTrip("all", ("north",), 60.0, carries=150.0)], TERMS, CHOICES)
    (one,) = heavy.driven
    assert one.vehicles > 1
    assert one.rhythm.mass <= one.vehicles * 150.0
    assert one.rhythm.costs.deliveries == pytest.approx(one.vehicles * 60.0 * one.rhythm.a_year)
    assert heavy.costs > free.costs
    assert heavy.costs == pytest.approx(brute_trip(brings["north"], 60.0, 150.0))


def test_a_trip_that_costs_as_much_as_one_delivery_is_taken() -> None:
    brings = suppliers(2)
    plan = round_trips(brings, dict.fromkeys(brings, 30.0), [RoundTrip("all", tuple(brings), 30.0)], TERMS, CHOICES)
    assert [one.trip.name for one in plan.driven if one.trip] == ["all"]
    assert plan.costs < plan.alone


def test_who_cannot_be_called_at_is_named() -> None:
    brings = suppliers(1)
    with pytest.raises(NoSuchPlan, match="south does not deliver by itself, and no round trip calls there") as caught:
        round_trips(brings, {"north": 1.0, "east": 1.0}, [], TERMS, CHOICES)
    assert "a price for a delivery of south" in caught.value.instead


@pytest.mark.parametrize(
    ("trips", "said"),
    [
        ([RoundTrip("a", ("nobody",), 1.0)], "calls at 'nobody'"),
        ([RoundTrip("a", ("north",), 1.0), RoundTrip("a", ("east",), 1.0)], "the name of two round trips"),
        ([RoundTrip("a", ("north",), 1.0, carries=0.0)], "carries 0 kg"),
    ],
)
def test_a_trip_that_cannot_be_is_refused(trips: list[RoundTrip], said: str) -> None:
    with pytest.raises(BadPlanInput, match=said):
        round_trips(suppliers(1), {}, trips, TERMS, CHOICES)
