"""Products as evenly as can be: against every sequence, against the assignment as it was published, and on long days."""

from __future__ import annotations

from fractions import Fraction
from math import gcd

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.aim import Aim, in_lots
from pullwright.pull.sequence.places import placed, proven_by_prices
from pullwright.pull.sequence.rate_variation import even_products, ideal_place, narrowest
from tests.pull.sequence.every_sequence import each_by_itself, every_sequence, unevenness

small_mixes = st.lists(st.integers(0, 4), min_size=1, max_size=4).filter(lambda counts: 0 < sum(counts) <= 7)
day_mixes = st.lists(st.integers(1, 30), min_size=2, max_size=8)


@settings(max_examples=40, deadline=None)
@given(small_mixes)
def test_no_sequence_of_a_small_mix_is_more_even(counts: list[int]) -> None:
    found = even_products(counts)

    least = min(unevenness(order, each_by_itself(len(counts))) for order in every_sequence(counts))

    assert found.squares == pytest.approx(float(least), abs=1e-9)
    assert unevenness(found.order, each_by_itself(len(counts))) == least
    assert found.proven


@settings(max_examples=30, deadline=None)
@given(small_mixes, st.data())
def test_no_sequence_is_more_even_from_the_middle_of_a_day_on(counts: list[int], data: st.DataObject) -> None:
    ahead = [Fraction(data.draw(st.integers(-8, 8)), 4) for _ in counts]
    aim = Aim.of_products(counts, ahead)

    found = even_products(aim)

    least = min(unevenness(order, each_by_itself(len(counts)), ahead) for order in every_sequence(counts))
    assert unevenness(found.order, each_by_itself(len(counts)), ahead) == least


@settings(max_examples=40, deadline=None)
@given(small_mixes)
def test_the_greatest_deviation_is_the_least_possible(counts: list[int]) -> None:
    order, largest = narrowest(counts)

    def greatest(one: tuple[int, ...]) -> Fraction:
        total = len(one)
        return max(
            abs(one[: k + 1].count(i) - Fraction((k + 1) * n, total))
            for k in range(total)
            for i, n in enumerate(counts)
        )

    assert greatest(order) == largest == min(greatest(one) for one in every_sequence(counts))


def penalties(counts: list[int]) -> np.ndarray:
    """Kubiak & Sethi's costs as they define them, times the number of pieces squared: copy j at place t pays |penalty| for each place between."""
    total = sum(counts)
    places = np.arange(total + 1)
    rows = []
    for n in counts:
        for j in range(1, n + 1):
            penalty = np.abs((j * total - places * n) ** 2 - ((j - 1) * total - places * n) ** 2)
            before = np.concatenate([[0], np.cumsum(penalty)])  # of all places before the one that is asked for
            rows.append(np.abs(before[1:-1] - before[ideal_place(j, n, total)]))
    return np.array(rows, dtype=float)


@settings(max_examples=25, deadline=None)
@given(day_mixes)
def test_the_quick_costs_lead_to_the_published_assignment(counts: list[int]) -> None:
    """The sum of squares is what it is at every copy's ideal place, plus the published penalties."""
    costs = penalties(counts)
    rows, columns = linear_sum_assignment(costs)
    copies = [i for i, n in enumerate(counts) for _ in range(n)]
    order = np.empty(len(copies), dtype=int)
    order[columns] = np.array(copies)[rows]

    assert even_products(counts).squares == pytest.approx(Aim.of_products(counts).squares(tuple(order)), rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(day_mixes)
def test_the_mirror_image_of_a_best_sequence_is_a_best_one(counts: list[int]) -> None:
    found = even_products(counts)

    assert Aim.of_products(counts).squares(found.order[::-1]) == pytest.approx(found.squares, rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(1, 6), min_size=2, max_size=5), st.integers(2, 4))
def test_saying_a_best_sequence_again_and_again_is_best_for_the_whole(counts: list[int], times: int) -> None:
    many = [n * times for n in counts]
    aim = Aim.of_products(many)
    plain, _ = placed(*_whole_table(aim))
    copies = np.repeat(np.arange(len(many)), many)
    order = np.empty(copies.size, dtype=int)
    order[plain] = copies

    found = even_products(many)

    assert found.order[: len(found.order) // gcd(*many)] * gcd(*many) == found.order
    assert found.squares == pytest.approx(aim.squares(tuple(order)), rel=1e-9)


def _whole_table(aim: Aim) -> tuple[np.ndarray, np.ndarray]:
    total = aim.places
    weights = np.concatenate([np.full(n, float(n)) for n in aim.counts])
    pulls = np.concatenate([n + total * (2.0 * np.arange(1, n + 1) - 1) for n in aim.counts])
    return weights, pulls


def test_long_days_go_window_by_window_to_the_same_end_and_prices_prove_it() -> None:
    counts = [151, 97, 80, 64, 41, 23, 9]
    weights, pulls = _whole_table(Aim.of_products(counts))
    times = np.arange(1.0, sum(counts) + 1)

    whole, _ = placed(weights, pulls)
    windows, proven = placed(weights, pulls, at_once=60)

    def cost(place: np.ndarray) -> float:
        return float(np.sum(weights * times[place] ** 2 - pulls * times[place]))

    assert proven
    assert cost(windows) == cost(whole)


def test_prices_prove_nothing_of_a_sequence_that_is_not_best() -> None:
    weights, pulls = _whole_table(Aim.of_products([5, 3, 2]))
    place, _ = placed(weights, pulls)
    order = np.argsort(place)

    assert proven_by_prices(weights[order], pulls[order])
    order[[0, 1]] = order[[1, 0]]
    assert not proven_by_prices(weights[order], pulls[order])


@settings(max_examples=30, deadline=None)
@given(day_mixes)
def test_no_product_is_ever_a_whole_piece_off(counts: list[int]) -> None:
    """Steiner & Yeomans 1993: there is always a sequence with all deviations below one piece."""
    order, largest = narrowest(counts)

    assert largest < 1
    assert np.abs(Aim.of_products(counts).deviations(order)).max() == pytest.approx(float(largest))


def test_a_thousand_pieces_of_twelve_products_are_worked_out_exactly() -> None:
    counts = [211, 173, 149, 113, 97, 83, 61, 43, 31, 19, 13, 7]

    found = even_products(counts)

    assert sum(counts) == 1000
    assert found.proven
    assert Aim.of_products(counts).fits(found.order)
    assert np.abs(Aim.of_products(counts).deviations(found.order)).max() < 1.5
    assert found.squares <= Aim.of_products(counts).squares(narrowest(counts)[0])


def test_nothing_and_one_product_are_fine() -> None:
    assert even_products([]).order == even_products([0, 0]).order == narrowest([0]).__getitem__(0) == ()
    assert even_products([0, 3]).order == narrowest([0, 3])[0] == (1, 1, 1)
    assert even_products([0, 3]).squares == 0


@pytest.mark.parametrize("counts", [[-1, 2], [1.5, 2]])
def test_counts_that_cannot_be_are_refused(counts: list[float]) -> None:
    with pytest.raises(BadPlanInput, match="allowed: whole numbers from 0 on"):
        even_products(counts)  # type: ignore[arg-type]


def test_lots_are_never_more_even() -> None:
    counts = [6, 4, 3]

    assert Aim.of_products(counts).squares(in_lots(counts, [None] * len(counts))) > even_products(counts).squares
    assert in_lots(counts, [4] * len(counts)) == (0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 0, 0)
