"""Parts as evenly as can be: goal chasing, what comes after it, and the bound below which nothing goes."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.aim import Aim
from pullwright.pull.sequence.course_search import searched
from pullwright.pull.sequence.goal_chasing import chased, distances, even_parts, exchanged
from pullwright.pull.sequence.nearest_mix import least_squares_after
from pullwright.pull.sequence.rate_variation import even_products
from tests.pull.sequence.every_sequence import every_sequence, unevenness


@st.composite
def small_days(draw: st.DrawFn) -> tuple[list[int], list[list[int]]]:
    counts = draw(st.lists(st.integers(0, 3), min_size=2, max_size=4).filter(lambda found: 0 < sum(found) <= 7))
    parts = draw(st.integers(1, 5))
    return counts, [draw(st.lists(st.integers(0, 3), min_size=parts, max_size=parts)) for _ in counts]


@settings(max_examples=30, deadline=None)
@given(small_days())
def test_no_sequence_of_a_small_mix_uses_parts_more_evenly(day: tuple[list[int], list[list[int]]]) -> None:
    counts, uses = day
    found = even_parts(Aim.of_parts(counts, uses))

    least = min(unevenness(order, uses) for order in every_sequence(counts))

    assert found.proven
    assert unevenness(found.order, uses) == least
    assert found.squares == pytest.approx(float(least), abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(small_days())
def test_the_bound_is_below_every_sequence_and_goal_chasing_is_never_below_it(
    day: tuple[list[int], list[list[int]]],
) -> None:
    counts, uses = day
    aim = Aim.of_parts(counts, uses)
    first = chased(aim)

    bound = float(np.sum(least_squares_after(aim, first))) / aim.scale**2

    least = float(min(unevenness(order, uses) for order in every_sequence(counts)))
    assert bound <= least + 1e-9
    assert aim.squares(first) >= least - 1e-9
    assert aim.squares(exchanged(aim, first)) <= aim.squares(first) + 1e-9


@settings(max_examples=40, deadline=None)
@given(small_days(), st.integers(1, 3))
def test_a_narrow_search_still_says_nothing_that_is_wrong(day: tuple[list[int], list[list[int]]], width: int) -> None:
    counts, uses = day
    aim = Aim.of_parts(counts, uses)
    known = tuple(i for i, n in enumerate(counts) for _ in range(n))

    found = searched(aim, np.zeros(aim.places), known, width)

    least = float(min(unevenness(order, uses) for order in every_sequence(counts)))
    assert aim.fits(found.order)
    assert found.squares == pytest.approx(aim.squares(found.order), abs=1e-9)
    assert found.at_least <= least + 1e-9 <= found.squares + 2e-9


def test_a_day_of_a_hundred_is_made_more_even_with_a_gap_that_is_told() -> None:
    rng = np.random.default_rng(5)
    counts = [30, 24, 18, 14, 9, 5]
    aim = Aim.of_parts(counts, rng.integers(0, 3, (6, 9)).tolist())

    found = even_parts(aim, width=50)

    assert aim.fits(found.order)
    assert found.at_least <= found.squares < found.chased
    assert found.at_least > 0
    assert found.gap == pytest.approx(1 - found.at_least / found.squares, abs=1e-9)


def test_with_a_part_of_its_own_for_each_product_parts_and_products_are_the_same() -> None:
    counts = [5, 3, 2]

    parts = even_parts(Aim.of_parts(counts, np.eye(3).tolist()))

    assert parts.squares == pytest.approx(even_products(counts).squares)


def test_of_products_that_are_equally_near_the_one_named_first_is_made() -> None:
    aim = Aim.of_parts([2, 2], [[1, 0], [0, 1]])

    assert distances(aim, ())[0] == distances(aim, ())[1]
    assert chased(aim)[0] == 0


def test_products_that_use_the_same_parts_come_evenly_too_if_they_count_a_little() -> None:
    aim = Aim.of_parts([2, 2, 2], [[1, 0], [1, 0], [0, 2]], products=0.001)

    found = even_parts(aim)

    alike = [i for i in found.order if i < 2]
    assert found.proven
    assert alike in ([0, 1, 1, 0], [1, 0, 0, 1], [0, 1, 0, 1], [1, 0, 1, 0])


def test_half_a_metre_of_something_is_a_part_too() -> None:
    uses = [[0.5, 1.0], [1.25, 0.0]]
    aim = Aim.of_parts([3, 2], uses)

    exact = [[Fraction(one) for one in row] for row in uses]
    least = min(unevenness(order, exact) for order in every_sequence([3, 2]))  # type: ignore[arg-type]

    assert even_parts(aim).squares == pytest.approx(float(least))


def test_the_second_method_asks_only_after_the_parts_that_a_product_takes() -> None:
    """It makes the product for whose parts most is due, which is the same choice where all take as many parts."""
    uses = [[1, 1, 0, 0], [0, 1, 1, 0], [0, 0, 1, 1]]
    aim = Aim.of_parts([4, 3, 2], uses)

    assert chased(aim, second=True) == chased(aim)


@pytest.mark.parametrize("uses", [[[1, 0]], [[1], [1, 2]], [[-1], [1]]])
def test_tables_that_do_not_fit_are_refused(uses: list[list[float]]) -> None:
    with pytest.raises(BadPlanInput, match="allowed"):
        Aim.of_parts([1, 2], uses)
