"""Posts along the way: everybody does neighbouring tasks and hands over to the next one; where are the best points to hand over?"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pullwright.pull.crew.skills import ROUNDING, Skills
from pullwright.pull.errors import BadPlanInput, NoSuchPlan

MOST_STATES = 200_000
"""So many ways to have used up people of several crews are looked at."""


@dataclass(frozen=True, slots=True)
class CrewPost:
    """A post: its tasks, the crew that it is manned from, how many people stand there, and how long one of them works on a unit (s)."""

    tasks: tuple[str, ...]
    crew: str
    people: int
    round: float


@dataclass(frozen=True, slots=True)
class HandOver:
    """Where one post hands over to the next: behind which task, and which share of all work is done by then."""

    behind: str
    before: str
    share: float


@dataclass(frozen=True)
class Along:
    """Posts along the way. `takt`: the longest round (s), which is the quickest takt that the posts can keep."""

    posts: tuple[CrewPost, ...]
    takt: float
    hand_overs: tuple[HandOver, ...]

    @property
    def people(self) -> int:
        """How many people stand at the posts."""
        return sum(post.people for post in self.posts)


def fewest_along(skills: Skills, takt: float, most: Sequence[int] | None = None) -> Along | None:
    """How few people can keep this takt (s) if everybody does neighbouring tasks, and where do they hand over?

    `skills.tasks` stand in the order of the work; `most` people of each crew (as many as are wanted where nothing is said). A post is
    manned from one crew that can do all its tasks, by several people only where each of its tasks takes them at once, or can be done side by
    side. None where there is no such row of posts. Of the smallest crews, the posts with the shortest longest round.
    """
    if not takt > 0:
        raise BadPlanInput(f"a takt of {takt} s was read; allowed: a time above 0 s")
    way = _Way(skills)
    found = way.row(takt, most)
    if found is None:
        return None
    return quickest_along(skills, sum(people for *_, people in found), most)


def quickest_along(skills: Skills, people: int, most: Sequence[int] | None = None) -> Along:
    """Which takt can so many people keep if everybody does neighbouring tasks, and where do they hand over?

    The longest round is as short as can be: partition of a row into neighbouring stretches, by dynamic programming over the furthest task
    that can be reached, at every length that a stretch can have. NoSuchPlan where so many people are too few.

    >>> from pullwright.pull.crew.skills import Hands, Task
    >>> row = [Task(name, time) for name, time in (("cut", 30.0), ("bend", 50.0), ("weld", 40.0), ("paint", 20.0))]
    >>> skills = Skills.of(row, [Hands("crew", 9, frozenset(task.name for task in row))])
    >>> along = quickest_along(skills, 2)
    >>> along.takt, [(over.behind, over.before) for over in along.hand_overs]
    (80.0, [('bend', 'weld')])
    """
    way = _Way(skills)
    if not skills.total:
        return Along((), 0.0, ())
    lengths = way.lengths
    if (best := way.row(lengths[-1] * (1 + ROUNDING), most, people)) is None:
        raise NoSuchPlan(
            f"{people} people cannot stand along the way: the tasks change more often between what different crews can do",
            ("everybody does neighbouring tasks that their crew can do",),
            _fewest_words(way, lengths[-1], most),
        )
    low, high = 0, len(lengths) - 1
    while low < high:
        middle = (low + high) // 2
        found = way.row(lengths[middle] * (1 + ROUNDING), most, people)
        if found is None:
            low = middle + 1
        else:
            best, high = found, middle
    return way.along(best)


def _fewest_words(way: _Way, longest: float, most: Sequence[int] | None) -> str:
    found = way.row(longest * (1 + ROUNDING), most)
    return (
        ""
        if found is None
        else f"{sum(people for *_, people in found)} people can, or let people share work that does not lie side by side"
    )


Stretch = tuple[int, int, int, int]
"""From which task, up to before which, by which crew, by how many people."""


class _Way:
    """The row of tasks, with what each crew can do of it."""

    def __init__(self, skills: Skills) -> None:
        self.skills = skills
        self.before = [0.0, *itertools.accumulate(task.time for task in skills.tasks)]
        self.count = len(skills.tasks)
        self.side = max((task.at_once * task.side_by_side for task in skills.tasks), default=1)
        # How far each crew, with so many people side by side, may go from each task.
        self.far = {(c, k): self._far(c, k) for c in range(len(skills.hands)) for k in range(1, self.side + 1)}

    def _far(self, c: int, k: int) -> list[int]:
        far = [self.count] * (self.count + 1)
        for t in range(self.count - 1, -1, -1):
            task = self.skills.tasks[t]
            stand = k % task.at_once == 0 and k <= task.at_once * task.side_by_side
            may = (self.skills.able[t][c] and stand) or task.time == 0
            far[t] = far[t + 1] if may else t
        return far

    @cached_property
    def lengths(self) -> list[float]:
        """All rounds that a post can have (s), the shortest first."""
        found = {
            (self.before[j] - self.before[i]) / (k * crew.there)
            for (c, k), far in self.far.items()
            if (crew := self.skills.hands[c]).there > 0
            for i in range(self.count)
            for j in range(i + 1, far[i] + 1)
        }
        return sorted(found)

    def reaches(self, takt: float) -> dict[tuple[int, int], list[int]]:
        """How far do `k` people of crew `c` come from each task within this takt?"""
        before = np.array(self.before)
        starts = np.arange(self.count)
        found = {}
        for (c, k), far in self.far.items():
            ends = before[:-1] + takt * k * self.skills.hands[c].there + ROUNDING * self.before[-1]
            last = np.minimum(np.searchsorted(before, ends) - 1, far[:-1])
            found[c, k] = np.maximum(starts, last).tolist()
        return found

    def row(self, takt: float, most: Sequence[int] | None, people: int | None = None) -> list[Stretch] | None:
        """The fewest people (at most `people`) with whom the end is reached; None where it is not."""
        found = self._free(takt) if most is None else self._limited(takt, most)
        if found is None or (people is not None and sum(number for *_, number in found) > people):
            return None
        return found

    def _free(self, takt: float) -> list[Stretch] | None:
        """As many of each crew as are wanted: the fewest people to every task in turn. Who comes further never needs more for the rest."""
        reaches = self.reaches(takt)
        best: list[tuple[int, Stretch | None]] = [(0, None), *[(1 << 30, None)] * self.count]
        for start in range(self.count):
            here = best[start][0]
            if here >= 1 << 30:
                continue
            for (c, k), reach in reaches.items():
                end = reach[start]
                for stop in range(start + 1, end + 1):
                    if here + k < best[stop][0]:
                        best[stop] = (here + k, (start, stop, c, k))
        return _back(self.count, lambda stop: best[stop][1])

    def _limited(self, takt: float, most: Sequence[int]) -> list[Stretch] | None:
        """At most so many of each crew: how far does each way of having used people come? Coming further is never worse."""
        states = 1
        for number in most:
            states *= number + 1
        if states > MOST_STATES:
            raise BadPlanInput(
                f"there are {states} ways to use the people of these crews up; allowed: {MOST_STATES}; write crews that can do the same as one"
            )
        reaches = self.reaches(takt)
        reached: dict[tuple[int, ...], tuple[int, Stretch | None, tuple[int, ...] | None]] = {
            (0,) * len(most): (0, None, None)
        }
        for used in _by_people(most):
            if used not in reached:
                continue
            start = reached[used][0]
            if start == self.count:
                return self._trace(reached, used)
            for (c, k), reach in reaches.items():
                if used[c] + k > most[c]:
                    continue
                end = reach[start]
                after = (*used[:c], used[c] + k, *used[c + 1 :])
                if end > start and end > reached.get(after, (-1,))[0]:
                    reached[after] = (end, (start, end, c, k), used)
        return None

    def _trace(
        self,
        reached: dict[tuple[int, ...], tuple[int, Stretch | None, tuple[int, ...] | None]],
        used: tuple[int, ...],
    ) -> list[Stretch]:
        found: list[Stretch] = []
        here: tuple[int, ...] | None = used
        while here is not None:
            _, stretch, here = reached[here]
            found += [stretch] if stretch is not None else []
        return found[::-1]

    def along(self, stretches: list[Stretch]) -> Along:
        """The stretches as posts with their hand-over points."""
        skills = self.skills
        posts = tuple(
            CrewPost(
                skills.names[start:stop],
                skills.crews[c],
                people,
                (self.before[stop] - self.before[start]) / (people * skills.hands[c].there),
            )
            for start, stop, c, people in stretches
        )
        overs = tuple(
            HandOver(
                skills.names[stop - 1],
                skills.names[stop],
                self.before[stop] / self.before[-1] if self.before[-1] else 0.0,
            )
            for _, stop, _, _ in stretches[:-1]
        )
        return Along(posts, max((post.round for post in posts), default=0.0), overs)


def _by_people(most: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """All ways to have used people, those with the fewest people first."""
    return iter(sorted(itertools.product(*(range(number + 1) for number in most)), key=lambda used: (sum(used), used)))


def _back(end: int, last: Callable[[int], Stretch | None]) -> list[Stretch] | None:
    found: list[Stretch] = []
    while end > 0:
        stretch = last(end)
        if stretch is None:
            return None
        found.append(stretch)
        end = stretch[0]
    return found[::-1]
