"""Containers are as large as wished, as hands may lift and as there is room for; what cannot be is said with what can."""

from __future__ import annotations

import pytest

from pullwright.pull.cards.containers import caution, container, lift_limit, nearest, room_limit
from pullwright.pull.errors import BadPlanInput, NoSuchPlan


def test_the_tightest_limit_counts() -> None:
    held = nearest(40, "as today", [lift_limit(12.0, 0.5), room_limit(28, "before paint")])
    assert (held.pieces, held.because) == (24, "12 kg that hands may lift")


def test_an_empty_container_weighs_too() -> None:
    assert lift_limit(12.0, 0.5, empty=2.0).pieces == 20


def test_a_container_that_is_larger_than_its_room_is_refused_with_the_nearest_that_fits() -> None:
    with pytest.raises(NoSuchPlan, match="does not go with room for 28 pieces before paint") as caught:
        container(40, "wished", [room_limit(28, "before paint"), lift_limit(100.0, 1.0)])
    assert caught.value.instead == "28 pieces would fit."
    assert caught.value.binding == ("A container holds at most 28 pieces: room for 28 pieces before paint.",)


def test_a_piece_that_is_too_heavy_for_hands_is_refused() -> None:
    with pytest.raises(NoSuchPlan, match="let not even one piece in"):
        nearest(4, "as today", [lift_limit(12.0, 15.0)])


@pytest.mark.parametrize(("heaviest", "mass"), [(0.0, 1.0), (12.0, 0.0), (float("nan"), 1.0), (12.0, -1.0)])
def test_a_mass_that_is_none_is_bad_input(heaviest: float, mass: float) -> None:
    with pytest.raises(BadPlanInput, match="allowed: a mass above 0 kg"):
        lift_limit(heaviest, mass)


def test_a_heavy_container_comes_with_the_caution_and_a_light_one_without() -> None:
    assert "local rules" in caution(10, 2.3)
    assert caution(9, 2.5) == ""
