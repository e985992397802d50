"""Who can do what: crews by the tasks that they can do. Crews are people of one kind; no single person is ever named."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from pullwright.pull.errors import BadPlanInput

ROUNDING = 1e-9
"""Two times or loads that differ by no more than this share are the same: sums of decimal numbers are not exact."""


@dataclass(frozen=True, slots=True)
class Task:
    """A task: a step, or one element of it.

    `time`: how long people are bound by it for one unit that is shipped (person-s). `at_once`: how many people it takes at the same moment.
    `side_by_side`: how many may do it at once on a piece of their own each, because there are as many benches.
    """

    name: str
    time: float
    at_once: int = 1
    side_by_side: int = 1


@dataclass(frozen=True, slots=True)
class Hands:
    """A crew: `people` of one kind in each of its `shifts`, and the names of the tasks that they can do.

    `there`: which share of the line's working time all its shifts together are there (1: as long as the line works).
    `absent`: the share of its people who are away on a usual day.
    """

    name: str
    people: int
    can: frozenset[str]
    there: float = 1.0
    absent: float = 0.0
    shifts: int = 1


@dataclass(frozen=True)
class Skills:
    """The matrix of skills: tasks in the order of the work, and the crews (`of` checks them).

    >>> skills = Skills.of(
    ...     [Task("saw", 120.0), Task("weld", 300.0)],
    ...     [Hands("metal", 2, frozenset({"saw", "weld"})), Hands("store", 1, frozenset({"saw"}))],
    ... )
    >>> skills.able, skills.people_for("weld"), skills.needed("weld", 240.0)
    (((True, True), (True, False)), 2, 1.25)
    """

    tasks: tuple[Task, ...]
    hands: tuple[Hands, ...]

    @classmethod
    def of(cls, tasks: Iterable[Task], hands: Iterable[Hands]) -> Skills:
        """Check tasks and crews; BadPlanInput for names that stand twice, skills that are no task, numbers that cannot be."""
        found = cls(tuple(tasks), tuple(hands))
        for words, names in (("tasks", found.names), ("crews", found.crews)):
            doubled = sorted({name for name in names if names.count(name) > 1})
            if doubled:
                raise BadPlanInput(
                    f"{doubled[0]!r} is the name of two {words}; allowed: names that stand once; rename one"
                )
        for task in found.tasks:
            if not 0 <= task.time < float("inf"):
                raise BadPlanInput(f"task {task.name!r} takes {task.time} s; allowed: a time from 0 s on")
            if task.at_once < 1 or task.side_by_side < 1:
                raise BadPlanInput(
                    f"task {task.name!r} is done by {min(task.at_once, task.side_by_side)} people; allowed: from 1 on"
                )
        for crew in found.hands:
            if crew.people < 0 or crew.shifts < 1 or not 0 <= crew.there <= 1:
                raise BadPlanInput(
                    f"crew {crew.name!r} has {crew.people} people in {crew.shifts} shifts who are there for a share of {crew.there}; "
                    "allowed: people from 0 on, shifts from 1 on, a share from 0 to 1"
                )
            if not 0 <= crew.absent <= 1:
                raise BadPlanInput(
                    f"crew {crew.name!r} is away for a share of {crew.absent}; allowed: 0 to 1, such as 0.05"
                )
            if unknown := sorted(crew.can - set(found.names)):
                raise BadPlanInput(f"crew {crew.name!r} can do {unknown[0]!r}, and there is no such task")
        return found

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The names of the tasks."""
        return tuple(task.name for task in self.tasks)

    @cached_property
    def crews(self) -> tuple[str, ...]:
        """The names of the crews."""
        return tuple(crew.name for crew in self.hands)

    @cached_property
    def able(self) -> tuple[tuple[bool, ...], ...]:
        """Can the crew do the task? `able[task][crew]`."""
        return tuple(tuple(task.name in crew.can for crew in self.hands) for task in self.tasks)

    @property
    def total(self) -> float:
        """All work for one unit (person-s)."""
        return sum(task.time for task in self.tasks)

    def who(self, task: str) -> tuple[str, ...]:
        """Name the crews that can do a task."""
        return tuple(crew.name for crew in self.hands if task in crew.can)

    def people_for(self, task: str) -> int:
        """How many people who are there at one time can do a task?"""
        return sum(crew.people for crew in self.hands if task in crew.can)

    def needed(self, task: str, takt: float) -> float:
        """How many people does a task keep busy at this takt (s)?"""
        return self._task(task).time / takt

    @property
    def nobody(self) -> tuple[str, ...]:
        """Name the tasks with work in them that nobody can do."""
        return tuple(task.name for task in self.tasks if task.time > 0 and not self.people_for(task.name))

    @property
    def hang_on_one(self) -> tuple[str, ...]:
        """Name the tasks that stand still when one person is away: as many can do them as they take at once."""
        return tuple(
            task.name for task in self.tasks if task.time > 0 and 0 < self.people_for(task.name) <= task.at_once
        )

    def missing(self) -> tuple[tuple[str, str], ...]:
        """Name the pairs (crew, task) that could be taught, for tasks with work in them and crews with people."""
        return tuple(
            (crew.name, task.name)
            for task in self.tasks
            for crew in self.hands
            if task.time > 0 and crew.people > 0 and task.name not in crew.can
        )

    def taught(self, crew: str, task: str, people: int | None = None) -> Skills:
        """Give the matrix after so many people of a crew (all where nothing is said) have learned a task.

        Where a part of a crew learns it, that part becomes a crew of its own, called after what it can do besides.

        >>> skills = Skills.of([Task("saw", 1.0), Task("weld", 1.0)], [Hands("metal", 2, frozenset({"saw"}))])
        >>> [(crew.name, crew.people, sorted(crew.can)) for crew in skills.taught("metal", "weld", 1).hands]
        [('metal', 1, ['saw']), ('metal, also weld', 1, ['saw', 'weld'])]
        """
        self._task(task)
        if crew not in self.crews:
            raise BadPlanInput(
                f"{crew!r} is to learn {task!r}, and there is no such crew; there are {', '.join(self.crews)}"
            )
        c = self.crews.index(crew)
        old = self.hands[c]
        learning = old.people if people is None else people
        if not 0 < learning <= old.people:
            raise BadPlanInput(f"{learning} people of {crew!r} are to learn {task!r}; allowed: 1 to {old.people}")
        if learning == old.people:
            new: tuple[Hands, ...] = (replace(old, can=old.can | {task}),)
        else:
            name = f"{crew}, also {task}"
            while name in self.crews:
                name += " too"
            new = (
                replace(old, people=old.people - learning),
                replace(old, name=name, people=learning, can=old.can | {task}),
            )
        return Skills(self.tasks, (*self.hands[:c], *new, *self.hands[c + 1 :]))

    def _task(self, name: str) -> Task:
        for task in self.tasks:
            if task.name == name:
                return task
        raise BadPlanInput(f"there is no task {name!r}; there are {', '.join(self.names)}")
