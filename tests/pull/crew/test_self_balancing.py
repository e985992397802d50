"""People who take over wherever they meet: the points stay where they settled, and come there from anywhere."""

from __future__ import annotations

import random

import pytest

from pullwright.pull.crew.self_balancing import next_points, rounds_until_settled, settled_points, settled_takt, settles
from pullwright.pull.errors import BadPlanInput

PACES = [[1.0, 1.0], [1.0, 2.0, 3.0], [0.7, 0.9, 1.0, 1.3], [2.0]]


@pytest.mark.parametrize("paces", PACES)
def test_settled_points_stay(paces):
    assert next_points(settled_points(paces), paces) == pytest.approx(settled_points(paces))


@pytest.mark.parametrize("seed", range(20))
def test_whatever_the_start_the_points_settle_when_the_slowest_is_first(seed):
    luck = random.Random(seed)  # noqa: S311 - no secret
    paces = sorted(luck.uniform(0.5, 2.0) for _ in range(luck.randint(2, 6)))
    start = sorted(luck.random() for _ in paces[1:])
    assert settles(paces)
    assert rounds_until_settled(start, paces, within=0.001, most=20_000) is not None


def test_everybody_works_the_same_time_between_settled_points():
    paces = [1.0, 2.0, 5.0]
    ends = [0.0, *settled_points(paces), 1.0]
    times = [(after - before) / pace for before, after, pace in zip(ends, ends[1:], paces, strict=False)]
    assert times == pytest.approx([settled_takt(1.0, paces)] * 3)


def test_the_quickest_first_is_held_up_by_the_one_in_front():
    paces = [3.0, 1.0]
    assert not settles(paces)
    assert rounds_until_settled([0.5], paces) is None
    assert next_points([0.5], paces) == (1.0,), "the first one has caught up and walks behind"


def test_nobody_passes():
    luck = random.Random(7)  # noqa: S311 - no secret
    for _ in range(200):
        paces = [luck.uniform(0.1, 5.0) for _ in range(5)]
        points = next_points(sorted(luck.random() for _ in range(4)), paces)
        assert list(points) == sorted(points)
        assert all(0 <= point <= 1 for point in points)


@pytest.mark.parametrize("paces", [[], [1.0, 0.0], [-1.0]])
def test_paces_that_cannot_be_are_refused(paces):
    with pytest.raises(BadPlanInput, match="allowed: one or more numbers above 0"):
        settled_points(paces)


def test_points_that_cannot_be_are_refused():
    with pytest.raises(BadPlanInput, match="allowed: 2 shares from 0 to 1"):
        next_points([0.5, 0.2], [1.0, 1.0, 1.0])
