"""What a crew can keep: for every set of crews, the tasks that only they can do must find room in their time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.crew.skills import Skills
from pullwright.pull.errors import BadPlanInput

MOST_BOUNDS = 4096
"""So many sets of crews are looked at; a line that needs more has crews that could be written as one."""


@dataclass(frozen=True, slots=True)
class Bound:
    """Tasks that nobody but these crews can do; both by their index, in order."""

    crews: tuple[int, ...]
    tasks: tuple[int, ...]


def bounds_of(skills: Skills) -> tuple[Bound, ...]:
    """Which sets of crews have work that only they can do, the smallest sets first?

    Work can be shared among people in time if and only if, for every set of crews, what only they can do fits into their time (Hall 1935; Ford
    & Fulkerson 1956, the cut that is full first; from memory). It is enough to look at unions of the sets that can do one task, along crews
    that share work: two sets that share none are full one by one. BadPlanInput where there are too many.

    >>> from pullwright.pull.crew.skills import Hands, Task
    >>> skills = Skills.of(
    ...     [Task("saw", 60.0), Task("weld", 90.0)], [Hands("A", 1, frozenset({"saw"})), Hands("B", 1, frozenset({"saw", "weld"}))]
    ... )
    >>> bounds_of(skills)
    (Bound(crews=(1,), tasks=(1,)), Bound(crews=(0, 1), tasks=(0, 1)))
    """
    masks = [sum(1 << c for c, can in enumerate(row) if can) for row in skills.able]
    work = [t for t, task in enumerate(skills.tasks) if task.time > 0]
    single = sorted({masks[t] for t in work})
    found, waiting = set(single), list(single)
    while waiting:
        one = waiting.pop()
        for other in single:
            union = one | other
            if one & other and union not in found:
                found.add(union)
                waiting.append(union)
        if len(found) > MOST_BOUNDS:
            raise BadPlanInput(
                f"more than {MOST_BOUNDS} sets of crews share work among them; write crews that can do nearly the same as one"
            )
    bounds = [
        Bound(
            tuple(c for c in range(len(skills.hands)) if mask >> c & 1),
            tuple(t for t in work if masks[t] & ~mask == 0),
        )
        for mask in found
    ]
    return tuple(sorted(bounds, key=lambda bound: (len(bound.crews), bound.crews)))


class Limits:
    """What people can make, laid out once for a matrix of skills and worked out for any numbers of people and any times."""

    def __init__(self, skills: Skills, bounds: Sequence[Bound] | None = None) -> None:
        self.skills = skills
        self.bounds = bounds_of(skills) if bounds is None else tuple(bounds)
        self.times = np.array([task.time for task in skills.tasks], dtype=float)
        self.there = np.array([crew.there for crew in skills.hands], dtype=float)
        self.able = np.array(skills.able, dtype=float).reshape(len(skills.tasks), len(skills.hands))
        self._crews = np.zeros((len(skills.hands), len(self.bounds)))
        self._tasks = np.zeros((len(self.bounds), len(skills.tasks)))
        for b, bound in enumerate(self.bounds):
            self._crews[list(bound.crews), b] = 1.0
            self._tasks[b, list(bound.tasks)] = 1.0

    def rates(self, people: NDArray[np.float64], times: NDArray[np.float64] | None = None) -> NDArray[np.float64]:
        """How many units a second can be made, bound by bound?

        `people` of each crew, shape (..., crews); `times`: person-s of each task for a unit, shape (tasks,), those of the tasks where nothing
        is said. Result: shape (..., bounds); the lowest is what can be made.
        """
        found: NDArray[np.float64] = self.room(people) / (self._tasks @ (self.times if times is None else times))
        return found

    def room(self, people: NDArray[np.float64]) -> NDArray[np.float64]:
        """How many people have the crews of each bound, as long as they are there? Shape (..., bounds)."""
        found: NDArray[np.float64] = (people * self.there) @ self._crews
        return found

    def work(self, times: NDArray[np.float64], bound: int) -> NDArray[np.float64]:
        """How long do the tasks of one bound take for a unit (person-s)? `times` of shape (..., tasks)."""
        found: NDArray[np.float64] = times @ self._tasks[bound]
        return found

    def stopped(self, people: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Which bounds hold a task that lacks the people that it takes at the same moment? Shape (..., bounds)."""
        found = np.zeros((*people.shape[:-1], len(self.bounds)), dtype=bool)
        for t, task in enumerate(self.skills.tasks):
            if task.at_once > 1 and task.time > 0:
                too_few = people @ self.able[t] < task.at_once
                found |= too_few[..., None] & (self._tasks[:, t] > 0)
        return found

    def made(
        self, people: NDArray[np.float64], takt: float, times: NDArray[np.float64] | None = None
    ) -> NDArray[np.float64]:
        """Which share of the demand can be made, bound by bound? 1 and more where all of it can; shape (..., bounds)."""
        return np.where(self.stopped(people), 0.0, self.rates(people, times) * takt)

    def kept(self, people: Sequence[float] | None = None) -> float:
        """The quickest takt (s) that so many people of each crew can keep; all who are there where nothing is said."""
        if not self.bounds:
            return 0.0
        lowest = float(self.made(self._numbers(people), 1.0).min())
        return float("inf") if lowest <= 0 else 1 / lowest

    def full(self, people: Sequence[float] | None = None) -> Bound | None:
        """The bound that is full first; None where there is no work."""
        return self.bounds[int(np.argmin(self.made(self._numbers(people), 1.0)))] if self.bounds else None

    def _numbers(self, people: Sequence[float] | None) -> NDArray[np.float64]:
        return np.array([crew.people for crew in self.skills.hands] if people is None else people, dtype=float)


def full_first(skills: Skills, people: Sequence[float] | None = None) -> tuple[Bound | None, float]:
    """Which set of crews is full first, and at which takt (s) is it? `people` of each crew; those who are there where nothing is said.

    None and 0 where there is no work; a takt without end where nobody can do a task, or too few for what takes several at once.
    """
    limits = Limits(skills)
    return limits.full(people), limits.kept(people)
