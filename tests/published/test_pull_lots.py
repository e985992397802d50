"""Lots and set-ups beside published examples; all from memory, each recomputed from its definition here."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from pullwright.pull.lots.economic import at_least, common_cycle, common_cycle_cost, economic_lot, yearly_cost
from pullwright.pull.lots.interval import every_part_every_interval
from pullwright.pull.lots.set_up_cycle import set_up_cycle
from pullwright.pull.lots.steady import Making, best_load, load_of_lots, steady_interval, time_in_system


def test_the_lot_of_harris() -> None:
    """Harris 1913, How Many Parts to Make at Once, Factory 10 (from memory): 1000 pieces a month, 2 $ for getting ready, 0.10 $ a piece, and a tenth
    of its value a year for holding it: X = √(240 M S / C) = 2190 pieces."""
    lot = float(economic_lot(12 * 1000.0, 2.0, 0.10 * 0.10))

    assert lot == pytest.approx(math.sqrt(240 * 1000 * 2 / 0.10))
    assert round(lot) == 2191
    # A fifth more or less than that costs hardly more: the flat bottom that he speaks of.
    least = yearly_cost(lot, 12 * 1000.0, 2.0, 0.01)
    assert yearly_cost(0.8 * lot, 12 * 1000.0, 2.0, 0.01) / least == pytest.approx((0.8 + 1 / 0.8) / 2)


def test_the_lot_of_taft_is_larger_by_the_pieces_that_leave_while_it_is_made() -> None:
    """Taft 1918, The Most Economical Production Lot, Iron Age 101 (from memory): √(2 K D / (h (1 - D / P)))."""
    demand, rate = 1200.0, 4800.0

    assert economic_lot(demand, 50.0, 3.0, demand / rate) == pytest.approx(math.sqrt(2 * 50 * demand / (3 * (1 - demand / rate))))  # fmt: skip


# Bomberger 1966, A Dynamic Programming Approach to a Lot Size Scheduling Problem, Management Science 12; ten stampings at 88 % of the press's
# time, as in Elmaghraby 1978, Management Science 24 (from memory): set-up $, cost of a piece $, pieces a day made, pieces a day needed, set-up h.
STAMPINGS = [
    (15.0, 0.0065, 30_000.0, 400.0, 1.0),
    (20.0, 0.1775, 8_000.0, 400.0, 1.0),
    (30.0, 0.1275, 9_500.0, 800.0, 2.0),
    (10.0, 0.1000, 7_500.0, 1_600.0, 1.0),
    (110.0, 2.7850, 2_000.0, 80.0, 4.0),
    (50.0, 0.2675, 6_000.0, 80.0, 2.0),
    (310.0, 1.5000, 2_400.0, 24.0, 8.0),
    (130.0, 5.9000, 1_300.0, 340.0, 4.0),
    (200.0, 0.9000, 2_000.0, 340.0, 6.0),
    (5.0, 0.0400, 15_000.0, 400.0, 1.0),
]


def test_ten_stampings_in_a_common_cycle() -> None:
    """8 h a day, 240 days and 10 % a year: a common cycle of 42.75 days costs 41.17 $ a day; no schedule costs less than 31.62 $ (best known: 32.07 $)."""
    costs, prices, rates, demands, hours = (list(column) for column in zip(*STAMPINGS, strict=True))
    holdings = [price * 0.10 / 240 for price in prices]
    used = [demand / rate for demand, rate in zip(demands, rates, strict=True)]
    room = 8.0 * (1 - sum(used))

    interval = float(common_cycle(demands, costs, holdings, used, hours, room))

    assert sum(used) == pytest.approx(0.882, abs=5e-4)
    assert interval == pytest.approx(42.75, abs=0.005)
    assert common_cycle_cost(interval, demands, costs, holdings, used) == pytest.approx(41.17, abs=0.005)
    assert at_least(demands, costs, holdings, used, hours, room)[0] == pytest.approx(31.62, abs=0.005)


def test_set_ups_a_day_of_the_stamping_press() -> None:
    """Rother & Shook 1998, Learning to See (from memory): 16 h, of which 14.5 h run; 15 min a set-up leave six a day, so six parts every day."""
    parts = 6
    run = 14.5 * 3600 / parts

    found = every_part_every_interval([run] * parts, [1.0] * parts, [15 * 60.0] * parts, 16 * 3600.0)

    assert found.interval == pytest.approx(1.0)
    assert found.set_ups / (15 * 60) == pytest.approx(6.0)


def test_the_lot_of_the_shortest_waiting_in_factory_physics() -> None:
    """Hopp & Spearman, Factory Physics, ch. 9 (from memory): 0.4 pieces an hour, 1 h a piece, 5 h a set-up. Below a lot of 3.33 the machine cannot keep
    up; the best lot fills it to about √0.4 = 0.63."""
    machine = Making([0.4], [1.0], [0.0], [5.0], [0.0], lot_cv2=2.0)  # (ca² + ce²)/2 = 1, whatever the lot
    lot = 0.4 * float(steady_interval(machine))

    assert 0.4 * float(machine.soonest) == pytest.approx(0.4 * 5 / (1 - 0.4))
    # The least of τ / (1 - u), with τ = s + Q t and u = r (s / Q + t), is at Q = r s / (1 - r t) x (1 + 1 / √(r t)); Karmarkar 1987 (from memory).
    assert lot == pytest.approx(10 / 3 * (1 + 1 / math.sqrt(0.4)), rel=1e-3)
    assert float(load_of_lots(machine, [lot])) == pytest.approx(float(best_load(0.4)), rel=1e-3)
    assert float(time_in_system(machine, [lot])) == pytest.approx((5 + lot) / (1 - math.sqrt(0.4)), rel=1e-3)


def test_a_set_up_cycle_beside_all_orders() -> None:
    """Paints from light to dark: a change to a darker one takes its step in shade, one to a lighter one a long wash. Every order tried."""
    shades = [0, 7, 2, 9, 4, 1, 5]
    times = np.array([[60.0 * (b - a) if b >= a else 1800.0 + 30 * (a - b) for b in shades] for a in shades])
    tried = min(
        sum(times[a, b] for a, b in zip((0, *order), (*order, 0), strict=True)) for order in itertools.permutations(range(1, 7))
    )  # fmt: skip

    cycle = set_up_cycle(times)

    assert cycle.time == pytest.approx(tried)
    assert [shades[k] for k in cycle.order] == sorted(shades)
