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


def rates(bounds: Sequence[Bound], times: NDArray[np.float64], room: NDArray[np.float64]) -> NDArray[np.float64]:
    """How many units a second can be made, bound by bound?

    `times`: person-s of each task for a unit, shape (tasks,); `room`: people of each crew x share of the time that they are there, shape
    (..., crews). Result: shape (..., bounds); the lowest one is what can be made.
    """
    inside = np.zeros((len(bounds), room.shape[-1]))
    work = np.zeros(len(bounds))
    for b, bound in enumerate(bounds):
        inside[b, list(bound.crews)] = 1.0
        work[b] = times[list(bound.tasks)].sum()
    return (room @ inside.T) / work


def full_first(skills: Skills, people: Sequence[float] | None = None) -> tuple[Bound | None, float]:
    """Which set of crews is full first, and at which takt (s) is it? `people` of each crew; those who are there where nothing is said.

    None and 0 where there is no work; a takt without end where nobody can do a task.
    """
    bounds = bounds_of(skills)
    if not bounds:
        return None, 0.0
    times = np.array([task.time for task in skills.tasks])
    numbers = np.array([crew.people for crew in skills.hands] if people is None else people, dtype=float)
    room = numbers * np.array([crew.there for crew in skills.hands])
    found = rates(bounds, times, room)
    lowest = int(np.argmin(found))
    short = (
        task for t, task in enumerate(skills.tasks)
        if task.time > 0 and numbers[list(skills.able[t])].sum() < task.at_once
    )  # fmt: skip
    if (task := next(short, None)) is not None:
        t = skills.names.index(task.name)
        crews = tuple(c for c, can in enumerate(skills.able[t]) if can)
        return Bound(crews, (t,)), float("inf")
    return bounds[lowest], float("inf") if found[lowest] <= 0 else float(1 / found[lowest])
