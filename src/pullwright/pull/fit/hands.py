"""The people whom a plan takes against the people who are here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.account.ground import Ground
from pullwright.figure import Figure, derive
from pullwright.pull.crew.bounds import Bound, bounds_of
from pullwright.pull.crew.line_skills import LineSkills
from pullwright.pull.fit.side import Asks, FitRow, Side, asked_rows, close_side, row_of

WORK, CARRYING = "work at the steps", "carrying"
UNSKILLED = "free where they cannot help"


@dataclass(frozen=True)
class Hands:
    """The side of the people, with what is short by skill.

    `bounds`: sets of crews with work that only they can do, and `lacking` how many people each is short (below 0: has to spare), counted as
    people who are there as long as the line works; empty where no people are given, or the plan asks for the people at the steps itself.
    """

    side: Side
    bounds: tuple[Bound, ...]
    lacking: tuple[float, ...]


def hands_of(ground: Ground, line: LineSkills | None, asks: Sequence[Asks], instead: frozenset[str]) -> Hands:
    """How many people does the plan take, and how many are here (persons, of all shifts)?

    Work at the steps and carrying, in people of the average working time; what the plan asks for; and those who are free and cannot help
    where somebody is short, because they have not learned it. `line`: the skills; None where they are not to be looked at.
    """
    flow = ground.flow
    staff = ground.staff
    one = time_of_one(ground)
    rows: list[FitRow] = []
    if WORK not in instead:
        work = [figure for figure in flow.people.attended.values() if figure.value > 0]
        rows.append(_persons(WORK, work, one, "no step needs a person"))
    if CARRYING not in instead:
        rows.append(_persons(CARRYING, list(ground.carrying), one, "nothing is carried"))
    rows += asked_rows("people", asks, "people", "persons")
    there = None if staff.assumed else staff.people
    if there is None or line is None or WORK in instead:
        note = "How many people there are is not given (`people`)." if there is None else ""
        return Hands(close_side("people", there, rows, "persons", note), (), ())
    bounds = bounds_of(line.skills)
    lacking = tuple(_lacking(line, bound, flow.takt.value) for bound in bounds)
    worst = max(lacking, default=0.0)
    if worst > 1e-9:
        rows.append(_unskilled(ground, line, bounds, rows, there, one))
    return Hands(close_side("people", there, rows, "persons", "With nobody away."), bounds, lacking)


def time_of_one(ground: Ground) -> Figure:
    """How long does one person work in a day, on average over the crews (s/wd)?"""
    crews = ground.flow.people.crews
    return derive(
        "fit / people / working time of one person",
        lambda people, *available: sum(available) / np.maximum(people, 1e-12),
        ground.staff.people if not ground.staff.assumed else crews[0].number,
        *(crew.available for crew in crews),
        unit="s/wd",
        formula="working time of all crews / people here",
    )


def _persons(words: str, times: Sequence[Figure], one: Figure, why_none: str) -> FitRow:
    parts = [
        derive(f"fit / people / {time.name}", lambda t, o: t / np.maximum(o, 1e-12), time, one, unit="persons", formula=f"{time.name} / working time of one person")
        for time in times
    ]  # fmt: skip
    return row_of("people", words, parts, "persons", why_none)


def _lacking(line: LineSkills, bound: Bound, takt: float) -> float:
    work = sum(line.skills.tasks[t].time for t in bound.tasks) / takt
    return work - sum(line.skills.hands[c].people * line.skills.hands[c].there for c in bound.crews)


def _unskilled(
    ground: Ground, line: LineSkills, bounds: Sequence[Bound], rows: Sequence[FitRow], there: Figure, one: Figure
) -> FitRow:
    """So many that what is left is what the shortest set of crews is short of."""
    skills, count = line.skills, len(rows)
    sets = [(bound.tasks, sum(skills.hands[c].people * skills.hands[c].there for c in bound.crews)) for bound in bounds]

    def idle(have: Any, takt: Any, day: Any, single: Any, *values: Any) -> Any:
        taken, times = sum(values[:count]), values[count:]
        short = np.maximum.reduce([sum(times[t] for t in tasks) / takt - room for tasks, room in sets])
        # A person counts here as long as one works on average; above as long as the line does.
        return np.where(short > 0, np.maximum(have - taken + short * day / np.maximum(single, 1e-12), 0.0), 0.0)

    amount = derive(
        f"fit / people / {UNSKILLED}",
        idle,
        there,
        ground.flow.takt,
        ground.flow.day,
        one,
        *(row.amount for row in rows),
        *(line.content[name] for name in skills.names),
        unit="persons",
        formula="people here - all other rows + people that the shortest set of crews lacks for what only it can do",
    )
    return FitRow(UNSKILLED, amount, (amount,))
