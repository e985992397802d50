"""People who take over from one another wherever they meet: the points at which they hand over settle by themselves."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from pullwright.pull.errors import BadPlanInput


def settled_points(paces: Sequence[float]) -> tuple[float, ...]:
    """Where do neighbours hand over to each other in the end, as shares of the work of a piece?

    Everybody walks back when the last one has finished a piece and takes over the piece of the one before; the first begins a new one.
    `paces`: how quick each person is, from the first to the last along the way, in any unit. Result: one point between each two
    neighbours: the pace of all up to there / the pace of all. Reached from anywhere where nobody is quicker than the one after
    (Bartholdi & Eisenstein 1996, A production line that balances itself, Operations Research 44; from memory).

    >>> settled_points([1.0, 1.0, 2.0])
    (0.25, 0.5)
    """
    _check(paces)
    total, points, so_far = sum(paces), [], 0.0
    for pace in paces[:-1]:
        so_far += pace
        points.append(so_far / total)
    return tuple(points)


def next_points(points: Sequence[float], paces: Sequence[float]) -> tuple[float, ...]:
    """Where do neighbours hand over the next time, after they did so at `points`?

    The last one still needs (1 - its point) / its pace; meanwhile everybody goes on as far as the pace allows, or stays behind the one
    in front who is slower: nobody passes. `points` has one entry fewer than `paces`: the first person begins at 0.

    >>> next_points([0.5], [1.0, 3.0])
    (0.16666666666666666,)
    """
    _check(paces)
    if len(points) != len(paces) - 1 or any(not 0 <= point <= 1 for point in points) or sorted(points) != list(points):
        raise BadPlanInput(
            f"hand-over points {list(points)} were read for {len(paces)} people; allowed: {len(paces) - 1} shares from 0 to 1, none below the one before"
        )
    starts = [0.0, *points]
    time = (1 - starts[-1]) / paces[-1]
    ahead, reached = 1.0, []
    for start, pace in zip(reversed(starts[:-1]), reversed(paces[:-1]), strict=True):
        # Who has caught up stays behind: those in front only become slower, never quicker, until the last one has finished.
        ahead = min(ahead, start + pace * time)
        reached.append(ahead)
    return tuple(reversed(reached))


def rounds_until_settled(
    points: Sequence[float], paces: Sequence[float], within: float = 0.01, most: int = 1000
) -> int | None:
    """How often do they hand over until every point is within this share of the work of where it settles? None: not in `most` times."""
    goal = settled_points(paces)
    for number in range(most + 1):
        if all(abs(point - wanted) <= within for point, wanted in zip(points, goal, strict=True)):
            return number
        points = next_points(points, paces)
    return None


def settled_takt(time: float, paces: Sequence[float]) -> float:
    """In which time (s) is one piece of `time` person-s made once the points have settled? Nobody waits: time / pace of all."""
    _check(paces)
    return time / sum(paces)


def settles(paces: Sequence[float]) -> bool:
    """Is everybody at least as quick as the one before? Only then nobody is held up by the one in front."""
    return all(one <= after for one, after in itertools.pairwise(paces))


def _check(paces: Sequence[float]) -> None:
    if not paces or any(not 0 < pace < float("inf") for pace in paces):
        raise BadPlanInput(f"paces {list(paces)} were read; allowed: one or more numbers above 0")
