"""The rows of a crew plan: tasks, crews by their takt with the points to hand over, and relays in place of fixed posts."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, groupby

from pullwright.figure import Figure, derive
from pullwright.pull.crew.line_figures import people_needed, round_of, takt_along, takt_kept
from pullwright.pull.crew.line_skills import LineSkills
from pullwright.pull.crew.neighbours import Along, CrewPost, quickest_along
from pullwright.pull.crew.self_balancing import settled_points
from pullwright.pull.crew.skills import Skills
from pullwright.pull.crew.smallest import CrewStep
from pullwright.pull.errors import NoSuchPlan


@dataclass(frozen=True)
class TaskRow:
    """A task: people's time for one unit (person-s/unit), people that it keeps busy at the takt, and who can do it.

    `hangs_on_one`: it stands still when one person is away. `nobody`: nobody is said to be able to do it.
    """

    task: str
    content: Figure
    needed: Figure
    who: tuple[str, ...]
    people_for: int
    hangs_on_one: bool
    nobody: bool


@dataclass(frozen=True)
class AlongRow:
    """Posts along the way with their points to hand over, the round of each (s), and the takt that they keep (s)."""

    along: Along
    rounds: tuple[Figure, ...]
    takt: Figure


@dataclass(frozen=True)
class CrewRow:
    """A row of the table of crews: so many people, of which kinds, keep this takt (s) and every longer one.

    `full`: the tasks and the crews that are full then. `along`: at most as many people at posts of neighbouring elements; None where so few
    cannot stand along the way, because what different crews can do alternates along it.
    """

    people: int
    crews: dict[str, int]
    takt: Figure
    full: tuple[tuple[str, ...], tuple[str, ...]]
    along: AlongRow | None


@dataclass(frozen=True)
class Relay:
    """Neighbours of one crew who take over from one another wherever they meet, instead of at fixed posts.

    `points`: where they then hand over, all equally quick, as shares of their stretch from `first` to `last`; `inside`: the element in which
    each of these points lies. `fixed` (s): the longest round of their fixed posts; `settled` (s): the time between two units once the points
    have settled (see `self_balancing`).
    """

    crew: str
    people: int
    first: str
    last: str
    points: tuple[float, ...]
    inside: tuple[str, ...]
    fixed: Figure
    settled: Figure


@dataclass(frozen=True)
class Way:
    """The elements along the way, with what each crew can do of them and their time for one unit (person-s/unit)."""

    skills: Skills
    content: Mapping[str, Figure]


def task_rows(line: LineSkills, takt: Figure, nobody: Sequence[str]) -> tuple[TaskRow, ...]:
    """What does each task ask for, and who can do it?"""
    return tuple(
        TaskRow(
            name,
            line.content[name],
            people_needed(f"crew / people needed / {name}", [line.content[name]], takt, "people's time for one unit"),
            () if name in nobody else line.skills.who(name),
            0 if name in nobody else line.skills.people_for(name),
            name in line.skills.hang_on_one and name not in nobody,
            name in nobody,
        )
        for name in line.skills.names
    )


def crew_row(line: LineSkills, way: Way, step: CrewStep, label: str, most: Sequence[int] | None = None) -> CrewRow:
    """One row: which takt do so many people keep, sharing all work in time, and at posts along the way?"""
    skills = line.skills
    along: AlongRow | None
    try:
        along = along_row(quickest_along(way.skills, step.people, most), way, label)
    except NoSuchPlan:
        along = None
    full = step.full
    return CrewRow(
        step.people,
        {name: number for name, number in zip(skills.crews, step.crews, strict=True) if number},
        takt_kept(f"crew / takt of {label}", skills, step.crews, line.content),
        ((), ()) if full is None else (
            tuple(skills.names[t] for t in full.tasks), tuple(skills.crews[c] for c in full.crews)
        ),
        along,
    )  # fmt: skip


def along_row(along: Along, way: Way, label: str) -> AlongRow:
    """Posts along the way with their numbers."""
    rounds = tuple(
        round_of(f"crew / round of {label} / post {k}", post, way.skills, way.content)
        for k, post in enumerate(along.posts, 1)
    )
    return AlongRow(along, rounds, takt_along(f"crew / takt along the way of {label}", rounds))


def relays_of(row: AlongRow, way: Way) -> tuple[Relay, ...]:
    """Which neighbours of one crew could take over from one another instead, and where would they hand over?"""
    found = []
    numbered = enumerate(row.along.posts)
    for _, stretch in groupby(numbered, key=lambda one: one[1].crew):
        places = list(stretch)
        if sum(post.people for _, post in places) > 1:
            found.append(_relay(places, row, way))
    return tuple(found)


def _relay(places: Sequence[tuple[int, CrewPost]], row: AlongRow, way: Way) -> Relay:
    posts = [post for _, post in places]
    tasks = [task for post in posts for task in post.tasks]
    people, crew = sum(post.people for post in posts), posts[0].crew
    there = way.skills.hands[way.skills.crews.index(crew)].there
    points = settled_points([1.0] * people)
    done = list(accumulate(way.content[task].value for task in tasks))
    label = f"{tasks[0]} to {tasks[-1]}"
    return Relay(
        crew,
        people,
        tasks[0],
        tasks[-1],
        points,
        tuple(tasks[min(bisect_left(done, point * done[-1]), len(tasks) - 1)] for point in points),
        derive(
            f"crew / longest round of fixed posts / {label}",
            lambda *each: _largest(*each),
            *(row.rounds[k] for k, _ in places),
            unit="s",
            formula="longest round of these posts",
        ),
        derive(
            f"crew / time between two units taken over in a row / {label}",
            lambda *each: sum(each) / (people * there),
            *(way.content[task] for task in tasks),
            unit="s",
            formula=f"people's time of all these elements / {people}"
            + (f" / {there:.3g} of the time" if there < 1 else ""),
        ),
    )


def _largest(*each: float) -> float:
    import numpy as np

    largest: float = np.maximum.reduce(list(each))
    return largest
