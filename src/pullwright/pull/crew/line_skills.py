"""The skills of a line: its steps as tasks with the people's time that one unit takes, its crews with what they can do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pullwright.account.ground import Ground
from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.flow.crews import can_do
from pullwright.pull.crew.skills import Hands, Skills, Task

CARRYING = "carrying"
ANYBODY = "anybody"


@dataclass(frozen=True)
class LineSkills:
    """The matrix of a line, with its numbers as figures.

    `content`: the people's time that a task takes for one unit shipped (person-s/unit), by task; `steps`: the step of a task, None for
    carrying; `away`: the share of each crew that is away on a usual day; `assumed`: no people are given, so that as many as are needed are
    taken, each of whom can do everything.
    """

    skills: Skills
    content: dict[str, Figure]
    steps: dict[str, int | None]
    away: tuple[Figure, ...]
    assumed: bool


def skills_of_line(flow: Flow, ground: Ground | None = None) -> LineSkills:
    """Who can do what on this line, and how much people's time does each step take for one unit that is shipped?

    Attended work is that of the flow, set-ups and what is done again included, shared by the demand; carrying is that of the accounts, and
    anybody can do it. `ground`: that of the accounts, where it is laid already.
    """
    content: dict[str, Figure] = {}
    steps: dict[str, int | None] = {}
    for i, attended in flow.people.attended.items():
        if attended.value > 0:
            name = flow.line.steps[i].name
            content[name] = _a_unit(name, flow.rates.demand, attended)
            steps[name] = i
    if (carried := _carried(flow, Ground(flow) if ground is None else ground)) is not None:
        name = _free_name(flow)
        content[name] = carried
        steps[name] = None
    tasks = tuple(_task(flow, name, i, content[name].value) for name, i in steps.items())
    hands, away, assumed = _hands(flow, steps, tasks)
    return LineSkills(Skills.of(tasks, hands), content, steps, away, assumed)


def _a_unit(name: str, demand: Figure, attended: Figure) -> Figure:
    return derive(
        f"crew / people's time for one unit / {name}",
        lambda a, d: a / np.maximum(d, 1e-12),
        attended,
        demand,
        unit="person-s/unit",
        formula="attended work a day / demand a day",
    )


def _carried(flow: Flow, ground: Ground) -> Figure | None:
    """The carrying of a day is that of what can be made; for one unit it is as much whatever the rate."""
    parts = [figure for figure in ground.carrying if figure.value > 0]
    if not parts:
        return None
    return derive(
        f"crew / people's time for one unit / {CARRYING}",
        lambda shipped, *each: sum(each) / np.maximum(shipped, 1e-12),
        flow.shipped,
        *parts,
        unit="person-s/unit",
        formula="carrying a day, and what is carried away and back, / units shipped a day",
    )


def _free_name(flow: Flow) -> str:
    taken = {step.name for step in flow.line.steps} | {step.station for step in flow.line.steps}
    return CARRYING if CARRYING not in taken else "carrying between the steps"


def _task(flow: Flow, name: str, i: int | None, time: float) -> Task:
    if i is None:
        return Task(name, time)
    step = flow.line.steps[i]
    set_up = step.set_up.people if step.set_up is not None and step.smallest_lot is not None else 1
    station = next(one for one in flow.line.stations if one.name == step.station)
    return Task(name, time, at_once=max(1, step.people, set_up), side_by_side=station.machines)


def _hands(
    flow: Flow, steps: dict[str, int | None], tasks: Sequence[Task]
) -> tuple[tuple[Hands, ...], tuple[Figure, ...], bool]:
    line = flow.line
    if not line.people:
        total = sum(task.time for task in tasks)
        number = max(1, int(np.ceil(total / flow.takt.value - 1e-9)), *(task.at_once for task in tasks))
        return (Hands(ANYBODY, number, frozenset(steps)),), (), True
    hands, away = [], []
    for c, crew in enumerate(line.people):
        can = frozenset(name for name, i in steps.items() if i is None or can_do(crew, line.steps[i]))
        share = flow.givens.day_seconds(crew.shifts).value / flow.day.value
        absent = _away(flow, c)
        shifts = len(crew.shifts or line.calendar.shifts)
        hands.append(Hands(crew.name, crew.number, can, min(share, 1.0), absent.value, shifts))
        away.append(absent)
    return tuple(hands), tuple(away), False


def _away(flow: Flow, c: int) -> Figure:
    crew = flow.line.people[c]
    if crew.absent is not None:
        return flow.givens.figure(("people", c, "absent"))
    return given(
        f"people / {crew.name} / absent",
        0.0,
        "share",
        Source("common practice", "the line file does not say it: nobody is counted as away (`people: absent`)"),
    )


def elements_along(flow: Flow, found: LineSkills) -> tuple[Skills, dict[str, Figure]]:
    """Give the elements of all steps in the order of the work, with their time for one unit (person-s/unit): what a post is made of.

    The time of a step, with its set-ups and what is done again, is shared among its elements by the time that people give to each. An element is
    named "STEP / ELEMENT"; a step without elements stands as a whole. Carrying belongs to no place along the way and is left out.
    """
    tasks: list[Task] = []
    content: dict[str, Figure] = {}
    belongs: dict[str, str] = {}
    for task in found.skills.tasks:
        i = found.steps[task.name]
        if i is None:
            continue
        for name, figure in _split(flow, i, found.content[task.name]):
            tasks.append(replace(task, name=name, time=figure.value))
            content[name] = figure
            belongs[name] = task.name
    hands = [
        replace(crew, can=frozenset(name for name, step in belongs.items() if step in crew.can))
        for crew in found.skills.hands
    ]
    return Skills.of(tasks, hands), content


def _split(flow: Flow, i: int, content: Figure) -> list[tuple[str, Figure]]:
    step = flow.line.steps[i]
    weights = [
        (k, weight)
        for k in range(len(step.elements))
        if (weight := _by_hand(flow, i, k)) is not None and weight.value > 0
    ]
    if len(weights) < 2:
        return [(step.name, content)]
    figures = [weight for _, weight in weights]
    names: list[str] = []
    for k, _ in weights:
        name = f"{step.name} / {step.elements[k].what}"
        names.append(name if name not in names else f"{name} #{k + 1}")

    def share(which: int) -> Any:
        return lambda whole, *all_of: whole * all_of[which] / np.maximum(sum(all_of), 1e-12)

    return [
        (
            name,
            derive(
                f"crew / people's time for one unit / {name}",
                share(which),
                content,
                *figures,
                unit="person-s/unit",
                formula="people's time of the step x share of this element in what people do there",
            ),
        )
        for which, name in enumerate(names)
    ]


def _by_hand(flow: Flow, i: int, k: int) -> Figure | None:
    """What people give to an element in a working day, as far as it is done for the products that come there (s/wd)."""
    givens, step = flow.givens, flow.line.steps[i]
    element, path = step.elements[k], ("steps", i, "elements", k)
    times = [givens.figure((*path, way)) for way in ("manual", "walking") if getattr(element, way) is not None]
    watched = (
        givens.figure((*path, "watched")) if element.watched is not None
        else givens.figure(("steps", i, "watched")) if step.watched is not None
        else None
    )  # fmt: skip
    machine = (
        [givens.figure((*path, "machine")), watched] if element.machine is not None and watched is not None else []
    )
    pair = [figure for figure in machine if figure is not None]
    groups = [
        group.started for group in flow.rates.steps[i].groups
        if element.for_ is None or any(product in element.for_ for product in group.work.products)
    ]  # fmt: skip
    if not groups or not (times or pair):
        return None

    def given_time(*values: Any) -> Any:
        pieces, rest = sum(values[: len(groups)]), values[len(groups) :]
        by_hand = sum(rest[: len(times)])
        return pieces * (by_hand + rest[-2] * rest[-1] if pair else by_hand)

    return derive(
        f"crew / by hand a day / {givens.name(path)}",
        given_time,
        *groups,
        *times,
        *pair,
        unit="s/wd",
        formula="pieces started a day x (manual + walking + watched share of the machine time)",
    )
