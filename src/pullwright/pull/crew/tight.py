"""Which lessons can help at all: those that relieve everything that is full, in one of the ways to be there."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.crew.bounds import Bound, Limits
from pullwright.pull.crew.cover import Ways
from pullwright.pull.crew.skills import ROUNDING, Skills


class Tight:
    """What is full in every way to be there, with everybody there, and with one person of a crew away.

    What people can make is set by the bounds that are full; a lesson changes only bounds with its task in them and its crew outside. So
    lessons can make a way to be there better only if together they relieve all bounds that are full then. Whether they do, is for
    the full working-out to say: nothing that helps is left out here.
    """

    def __init__(self, skills: Skills, takt: float, ways: Ways) -> None:
        self._skills = skills
        self._kept: dict[tuple[str, str], list[NDArray[np.bool_]]] = {}
        absent = [crew.absent for crew in skills.hands]
        self._full: list[tuple[tuple[Bound, ...], NDArray[np.bool_]]] = []
        for group in ways.groups:
            people, chances = group.who.there(absent)
            self._add(group.limits, people[chances > 0], takt)
        here = np.array([crew.people for crew in skills.hands], dtype=float)
        fewer = np.diag([min(crew.people, 1 / crew.shifts) for crew in skills.hands])
        limits = Limits(skills, ways.bounds)
        self._add(limits, here - fewer, takt)
        self._add(limits, here[None, :], float("inf"))

    def _add(self, limits: Limits, people: NDArray[np.float64], takt: float) -> None:
        """Ways in which all can be made need no help, except that the takt could be quicker still (`takt` without end)."""
        if not limits.bounds or not len(people):
            return
        rates = limits.made(people, 1.0)
        lowest = rates.min(axis=1)
        rows = lowest < (np.inf if takt == float("inf") else (1 - ROUNDING) / takt)
        full = rates[rows] <= lowest[rows, None] * (1 + ROUNDING)
        if len(full):
            self._full.append((limits.bounds, np.unique(full, axis=0)))

    def may_help(self, *lessons: tuple[str, str]) -> bool:
        """Could these lessons, pairs of crew and task, together make any way to be there better?"""
        found = [self._relieved(*lesson) for lesson in lessons]
        return any(
            bool(np.any(np.all(np.logical_or.reduce([one[k] for one in found]) | ~full, axis=1)))
            for k, (_, full) in enumerate(self._full)
        )

    def _relieved(self, crew: str, task: str) -> list[NDArray[np.bool_]]:
        """Which bounds have the task in them and the crew outside?"""
        if (crew, task) not in self._kept:
            c, t = self._skills.crews.index(crew), self._skills.names.index(task)
            self._kept[crew, task] = [
                np.array([t in bound.tasks and c not in bound.crews for bound in bounds]) for bounds, _ in self._full
            ]
        return self._kept[crew, task]
