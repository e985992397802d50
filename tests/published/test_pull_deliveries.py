"""Deliveries beside what is published: the lot of Harris, the linear loss, parts that come together, and their lower bound."""

from __future__ import annotations

from math import log, sqrt

import numpy as np
import pytest

from pullwright.pull.deliveries.carried_away import mean_above
from pullwright.pull.deliveries.joint import MOST_OVER_THE_BOUND, Line, joint_rhythm, least_of_one
from pullwright.pull.deliveries.rhythm import Bought, SupplierRhythm, Terms, lot_of


@pytest.mark.parametrize(("z", "loss"), [(0.0, 0.3989), (0.5, 0.1978), (1.0, 0.08332), (2.0, 0.008491)])
def test_unit_normal_linear_loss(z: float, loss: float) -> None:
    """Raiffa & Schlaifer 1961, tables (from memory); recomputed here from its definition by a sum over the density."""
    x = np.linspace(z, z + 12, 400_001)
    density = np.exp(-x * x / 2) / sqrt(2 * np.pi)
    assert float(np.trapezoid((x - z) * density, x)) == pytest.approx(loss, rel=5e-4)
    assert float(mean_above(0.0, 1.0, z)) == pytest.approx(loss, rel=5e-4)


def test_the_lot_of_harris_is_the_cheapest_where_only_deliveries_and_stock_cost() -> None:
    """Harris 1913, How many parts to make at once: Q = √(2 D K / h), costs √(2 D K h); Hopp & Spearman, chapter 2: D 1000, K 500, h 35, Q 169
    (from memory, recomputed)."""
    demand, paid, holding = 1000.0, 500.0, 35.0
    lot = sqrt(2 * demand * paid / holding)
    assert round(lot) == 169
    part, terms = Bought("part", use=demand / 250, price=100.0), Terms(paid, carrying=0.35, days_a_year=250)
    sizes = np.arange(20, 800)
    costs = [SupplierRhythm((lot_of(part, float(size), terms),), paid).costs.total for size in sizes]
    assert sizes[int(np.argmin(costs))] == 169
    assert min(costs) == pytest.approx(sqrt(2 * demand * paid * holding), rel=1e-5)
    # The same by the time between two deliveries: paid for one on every day of the year, held for each day between two.
    assert float(least_of_one(paid * 250, holding * demand / 250 / 2)) == pytest.approx(
        sqrt(2 * demand * paid * holding)
    )


EXAMPLE = [(45.0, 2000.0, 2.0), (46.0, 500.0, 2.0), (47.0, 100.0, 2.0)]
"""Minor cost a delivery, use a year, holding a year of a piece: three products as they differ in textbooks; our own numbers."""


def test_parts_that_come_together_by_their_definition() -> None:
    """Joint replenishment (Goyal 1974; Silver, Pyke & Peterson, chapter 11; from memory): costs (S + Σ s/m)/T + T Σ m D h / 2, and for given
    multiples T = √(2 (S + Σ s/m) / Σ m D h). Recomputed over a fine grid of T and all multiples up to 12."""
    major, grid = 40.0, np.linspace(0.01, 2.0, 20_000)  # a year is the unit of time
    best = major / grid
    for minor, use, holding in EXAMPLE:
        best = best + np.min([minor / (m * grid) + use * holding * m * grid / 2 for m in range(1, 13)], axis=0)
    found = joint_rhythm(major, [Line(str(k), s, d * h / 2) for k, (s, d, h) in enumerate(EXAMPLE)], 1.0)
    assert found.costs == pytest.approx(best.min(), rel=1e-6)
    assert found.every == pytest.approx(grid[best.argmin()], abs=2e-4)
    assert found.multiples == (1, 2, 4)
    lump = major + sum(s / m for (s, _, _), m in zip(EXAMPLE, found.multiples, strict=True))
    held = sum(m * d * h for (_, d, h), m in zip(EXAMPLE, found.multiples, strict=True))
    assert found.every == pytest.approx(sqrt(2 * lump / held))


def test_a_rule_for_multiples_by_hand_is_near_and_never_better() -> None:
    """Silver 1976, a simple method: m = √(s D1 h1 / (D h (S + s1))), rounded, the part with the least s / (D h) being the first (from memory)."""
    major = 40.0
    first = min(EXAMPLE, key=lambda one: one[0] / (one[1] * one[2]))
    multiples = [
        1
        if one is first
        else max(1, round(sqrt(one[0] * first[1] * first[2] / (one[1] * one[2] * (major + first[0])))))
        for one in EXAMPLE
    ]
    assert multiples == [1, 1, 3]
    lump = major + sum(s / m for (s, _, _), m in zip(EXAMPLE, multiples, strict=True))
    held = sum(m * d * h for (_, d, h), m in zip(EXAMPLE, multiples, strict=True))
    by_hand = sqrt(2 * lump * held)
    found = joint_rhythm(major, [Line(str(k), s, d * h / 2) for k, (s, d, h) in enumerate(EXAMPLE)], 1.0).costs
    assert found <= by_hand <= 1.05 * found


def test_powers_of_two_cost_at_most_two_per_cent_more_than_the_bound() -> None:
    """1 / (√2 ln 2) = 1.0201 (Jackson, Maxwell & Muckstadt 1985; Roundy 1985; from memory), recomputed: the mean of (x + 1/x)/2 over the powers."""
    x = np.linspace(-0.5, 0.5, 100_001)
    mean = float(np.mean((2**x + 2**-x) / 2))
    assert mean == pytest.approx(1 / (sqrt(2) * log(2)), rel=1e-4)
    assert 1 / (sqrt(2) * log(2)) <= MOST_OVER_THE_BOUND <= 1.0205
    rng = np.random.default_rng(3)
    for _ in range(60):
        lines = [Line(str(k), float(rng.lognormal(2, 1.5)), float(rng.lognormal(2, 1.5))) for k in range(6)]
        found = joint_rhythm(5.0, lines, 250, "powers")
        assert found.costs / found.at_least + 1e-12 >= 1
        assert found.costs <= MOST_OVER_THE_BOUND * found.at_least


def test_the_bound_is_that_of_the_relaxed_problem() -> None:
    """Jackson, Maxwell & Muckstadt 1985 (from memory): each part its own time, none shorter than that of the deliveries. Recomputed over a grid."""
    lines = [Line(str(k), s, d * h / 2) for k, (s, d, h) in enumerate(EXAMPLE)]
    grid = np.linspace(0.02, 1.0, 50_000)
    relaxed = 40.0 / grid
    for one in lines:
        own = np.maximum(grid, sqrt(one.per_line / one.holding))
        relaxed = relaxed + one.per_line / own + one.holding * own
    assert joint_rhythm(40.0, lines, 1.0).at_least == pytest.approx(relaxed.min(), rel=1e-6)
