"""Parts that come together: the search beside brute force, and the promise of powers of two."""

from __future__ import annotations

from itertools import product
from math import sqrt

import numpy as np
import pytest

from pullwright.pull.deliveries.joint import MOST_OVER_THE_BOUND, Line, joint_rhythm
from pullwright.pull.errors import BadPlanInput


def some_lines(seed: int, count: int = 4) -> list[Line]:
    rng = np.random.default_rng(seed)
    return [Line(f"part {k}", float(rng.uniform(0, 60)), float(rng.uniform(1, 80))) for k in range(count)]


def costs(paid: float, lines: list[Line], every: float, multiples: tuple[int, ...], days: float) -> float:
    return days * paid / every + sum(
        days * one.per_line / (m * every) + one.holding * m * every for one, m in zip(lines, multiples, strict=True)
    )


def brute(paid: float, lines: list[Line], days: float, allowed: range | tuple[int, ...]) -> float:
    """Every combination of multiples, each at its best time in closed form."""
    found = []
    for multiples in product(allowed, repeat=len(lines)):
        lump = days * (paid + sum(one.per_line / m for one, m in zip(lines, multiples, strict=True)))
        found.append(2 * sqrt(lump * sum(one.holding * m for one, m in zip(lines, multiples, strict=True))))
    return min(found)


@pytest.mark.parametrize("seed", range(10))
def test_whole_multiples_are_those_of_brute_force(seed: int) -> None:
    lines = some_lines(seed)
    found = joint_rhythm(25.0, lines, 250)
    assert max(found.multiples) <= 14
    assert found.costs == pytest.approx(brute(25.0, lines, 250, range(1, 15)))
    assert found.costs == pytest.approx(costs(25.0, lines, found.every, found.multiples, 250))


@pytest.mark.parametrize("seed", range(10))
def test_powers_of_two_are_those_of_brute_force_and_keep_their_promise(seed: int) -> None:
    lines = some_lines(seed)
    found = joint_rhythm(25.0, lines, 250, "powers")
    assert found.costs == pytest.approx(brute(25.0, lines, 250, (1, 2, 4, 8, 16)))
    assert found.at_least <= joint_rhythm(25.0, lines, 250).costs + 1e-9 <= found.costs + 2e-9
    assert found.costs <= MOST_OVER_THE_BOUND * found.at_least


def test_the_promise_of_two_per_cent_is_needed() -> None:
    worst = max(
        joint_rhythm(paid, some_lines(seed, 2), 250, "powers").costs
        / joint_rhythm(paid, some_lines(seed, 2), 250).at_least
        for seed in range(40)
        for paid in (0.5, 5.0)
    )
    assert 1.01 < worst <= MOST_OVER_THE_BOUND


def test_parts_that_cost_nothing_by_themselves_come_every_time() -> None:
    found = joint_rhythm(40.0, [Line("tube", 0.0, 3.0), Line("bar", 0.0, 90.0)], 250)
    assert found.multiples == (1, 1)
    assert found.costs == pytest.approx(found.at_least)


@pytest.mark.parametrize(
    "asked",
    [
        lambda: joint_rhythm(0.0, [Line("tube", 1.0, 1.0)], 250),
        lambda: joint_rhythm(1.0, [Line("tube", 1.0, 0.0)], 250),
        lambda: joint_rhythm(1.0, [], 250),
    ],
)
def test_what_cannot_be_is_refused(asked) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(BadPlanInput, match="allowed"):
        asked()
