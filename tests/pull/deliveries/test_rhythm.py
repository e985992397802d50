"""The cheapest rhythm of a supplier: its rows add up, and the search finds what trying everything finds."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from pullwright.pull.deliveries.rhythm import (
    Bought,
    Rhythm,
    SupplierRhythm,
    Terms,
    cheapest_rhythm,
    fitting_rhythm,
    lot_of,
    lots_of,
    rhythms,
    ways_of,
)
from pullwright.pull.errors import BadPlanInput

TERMS = Terms(per_delivery=45.0, carrying=0.16, rent=102.0, wage=26 / 3600, days_a_year=252)
TUBE = Bought(
    "tube", use=30, price=31.4, safety=41, swing=25, holds=25, floor=0.9, stack=2, room=200, away=11.3, owed=20
)


def some_parts(seed: int, count: int) -> list[Bought]:
    rng = np.random.default_rng(seed)
    return [
        Bought(
            f"part {k}", use=float(rng.uniform(2, 60)), price=float(rng.uniform(0.5, 40)), safety=float(rng.uniform(0, 50)),
            swing=float(rng.uniform(0, 30)), holds=int(rng.choice([1, 10, 50, 140])), floor=float(rng.uniform(0.2, 1.2)),
            stack=int(rng.integers(1, 4)), room=float(rng.choice([80.0, 200.0, 500.0])), away=float(rng.uniform(2, 40)),
        )
        for k in range(count)
    ]  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_the_cheapest_is_what_trying_every_combination_finds(seed: int) -> None:
    parts, choices = some_parts(seed, 3), rhythms(5)
    tried = [
        SupplierRhythm(lots, TERMS.per_delivery) for lots in product(*(lots_of(one, TERMS, choices) for one in parts))
    ]
    found = cheapest_rhythm(parts, TERMS, choices)
    assert found.costs.total == pytest.approx(min(one.costs.total for one in tried))
    # And of what it keeps for later, nothing that was tried beats it in costs, floor and cash.
    kept = ways_of(parts, TERMS, choices)
    for one in tried:
        assert any(
            k.costs.total <= one.costs.total + 1e-6 and k.floor <= one.floor + 1e-9 and k.cash <= one.cash + 1e-6
            for k in kept
        )


def test_the_rows_of_the_costs_add_up_and_are_what_they_say() -> None:
    plan = SupplierRhythm((lot_of(TUBE, 600, TERMS),), TERMS.per_delivery)
    rows, lot = plan.costs, plan.lots[0]
    assert rows.total == pytest.approx(rows.deliveries + rows.tied_up + rows.credit + rows.floor + rows.away)
    assert rows.deliveries == pytest.approx(252 * 30 / 600 * 45)
    assert rows.tied_up == pytest.approx(0.16 * (300 + 41) * 31.4)
    assert rows.credit == pytest.approx(-0.16 * 30 * 31.4 * 20)
    assert rows.floor == pytest.approx(102 * 13 * 0.9)  # 641 tubes are 26 containers, two on each other
    assert rows.away == pytest.approx(252 * 30 * lot.share * 11.3 * 26 / 3600)
    assert lot.cash == pytest.approx((rows.tied_up + rows.credit) / 0.16)


def test_lots_are_whole_containers_and_bring_no_more_deliveries_than_the_rhythm() -> None:
    for part in some_parts(3, 8):
        for rhythm in rhythms(5):
            (lot,) = lots_of(part, TERMS, [rhythm])
            assert lot.pieces % part.holds == pytest.approx(0, abs=1e-9)
            assert lot.a_year <= 252 / rhythm.days(5) + 1e-9


def test_todays_lot_is_weighed_too_so_that_a_plan_is_never_dearer() -> None:
    for seed in range(20):
        (part,) = some_parts(seed, 1)
        today = replace(part, today=part.holds * 37)
        assert cheapest_rhythm([today], TERMS, rhythms(5)).costs.total <= (
            SupplierRhythm((lot_of(today, today.today or 1, TERMS),), TERMS.per_delivery).costs.total + 1e-9
        )


def test_dearer_deliveries_come_less_often() -> None:
    often = [
        cheapest_rhythm([TUBE], replace(TERMS, per_delivery=cost), rhythms(5)).a_year for cost in (1, 10, 40, 160, 640)
    ]
    assert often == sorted(often, reverse=True)
    assert often[0] > often[-1]


def test_the_suppliers_patience_shifts_all_rhythms_alike() -> None:
    ways = [cheapest_rhythm([replace(TUBE, owed=days)], TERMS, rhythms(5)) for days in (0, 40)]
    assert ways[0].lots[0].pieces == ways[1].lots[0].pieces
    assert ways[0].cash - ways[1].cash == pytest.approx(30 * 31.4 * 40)


def test_without_a_price_of_delivery_it_comes_as_rarely_as_fits() -> None:
    assert fitting_rhythm([TUBE], Terms(), rhythms(5)).lots[0].pieces == 150
    assert fitting_rhythm([replace(TUBE, room=1000, today=600)], Terms(), rhythms(5)).lots[0].pieces == 600


def test_a_wish_for_few_deliveries_is_kept_although_nothing_fits() -> None:
    (lot,) = fitting_rhythm([replace(TUBE, room=100)], Terms(), rhythms(1)).lots
    assert (lot.pieces, lot.fits) == (150, False)


def test_where_nobody_knows_where_it_would_go_only_what_fits_is_ordered() -> None:
    dear = replace(TERMS, per_delivery=500.0)
    assert cheapest_rhythm([replace(TUBE, away=None)], dear, rhythms(5)).lots[0].fits
    assert not cheapest_rhythm([TUBE], dear, rhythms(5)).lots[0].fits
    (least,) = lots_of(replace(TUBE, away=None, room=20), dear, rhythms(5))
    assert least.pieces == 50  # the smallest lot there is: a day's use in whole containers


def test_a_rhythm_reads_as_it_is_said() -> None:
    assert Rhythm(1, 1).words() == "one delivery a week"
    assert Rhythm(2, 1).days(5) == 10


@pytest.mark.parametrize(
    "asked", [lambda: rhythms(0), lambda: lot_of(TUBE, 0, TERMS), lambda: ways_of([], TERMS, rhythms(1))]
)
def test_what_cannot_be_is_refused(asked) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(BadPlanInput, match=r"was read|were read"):
        asked()
