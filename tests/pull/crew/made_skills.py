"""Small matrices of skills made by chance, and other ways to work out what they can keep."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Sequence

import numpy as np
from scipy.optimize import linprog

from pullwright.pull.crew.skills import Hands, Skills, Task


def made_skills(seed: int, tasks: int = 5, crews: int = 3, most: int = 2, at_once: bool = False) -> Skills:
    """Every task can be done by somebody; times are whole seconds, numbers of people small, some crews are there half of the time."""
    luck = random.Random(seed)  # noqa: S311 - no secret
    works = [
        Task(f"task {t}", float(luck.randint(5, 60)), at_once=2 if at_once and luck.random() < 0.25 else 1, side_by_side=luck.choice([1, 1, 2]))
        for t in range(tasks)
    ]  # fmt: skip
    can: list[set[str]] = [{task.name for task in works if luck.random() < 0.5} for _ in range(crews)]
    for task in works:
        if not any(task.name in one for one in can):
            luck.choice(can).add(task.name)
    return Skills.of(
        works,
        [
            Hands(f"crew {c}", luck.randint(1, most), frozenset(one), luck.choice([1.0, 1.0, 0.5]), luck.choice([0.0, 0.05, 0.2]))
            for c, one in enumerate(can)
        ],
    )  # fmt: skip


def takt_by_programme(skills: Skills, people: Sequence[float]) -> float:
    """The quickest takt (s) by a linear programme over who does how much of what: no sets of crews in it."""
    pairs = [(t, c) for t, row in enumerate(skills.able) for c, can in enumerate(row) if can]
    rate, goal = len(pairs), np.zeros(len(pairs) + 1)
    goal[rate] = -1.0
    rooms, dones = np.zeros((len(skills.hands), rate + 1)), np.zeros((len(skills.tasks), rate + 1))
    for k, (t, c) in enumerate(pairs):
        rooms[c, k] = 1.0
        dones[t, k] = 1.0
    for t, task in enumerate(skills.tasks):
        dones[t, rate] = -task.time
        able = sum(number for number, can in zip(people, skills.able[t], strict=True) if can)
        if task.time > 0 and able < task.at_once:
            return float("inf")
    room = [number * crew.there for number, crew in zip(people, skills.hands, strict=True)]
    found = linprog(goal, A_ub=rooms, b_ub=room, A_eq=dones, b_eq=np.zeros(len(skills.tasks)))
    return float("inf") if found.x[rate] < 1e-12 else float(1 / found.x[rate])


def crewings(limits: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """All numbers of people of each crew up to these."""
    return itertools.product(*(range(limit + 1) for limit in limits))
