"""The smallest crew at each takt: for every number of people the quickest takt that they can keep, and of which kinds they then are."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

import numpy as np

from pullwright.pull.crew.bounds import Bound, Limits, bounds_of, full_first
from pullwright.pull.crew.skills import ROUNDING, Skills
from pullwright.pull.errors import BadPlanInput, NoSuchPlan

MOST_ROWS = 40
"""A table of crews has about so many rows at most."""
MOST_TRIED = 3_000
"""Up to so many ways to be that many people are tried one by one: quicker than a programme."""


@dataclass(frozen=True, slots=True)
class CrewStep:
    """A number of people, how many of each crew they are, the quickest takt (s) that they can keep, and what is full then."""

    people: int
    crews: tuple[int, ...]
    takt: float
    full: Bound | None


def quickest(
    skills: Skills, people: int, most: Sequence[int] | None = None, least: Sequence[int] | None = None
) -> CrewStep | None:
    """Which takt can so many people keep, if they are of the right kinds and share all work in time?

    Parameters: `people` at one time; `most` and `least` of each crew (no limit, and none, where nothing is said). Result: the crews
    with the quickest takt (s), or None where so many people cannot do all tasks.
    Method: highest rate r with r x (work that only the crews of a set can do) ≤ their people, for every set of crews; whole people. A
    mixed-integer programme, solved to proof.

    >>> from pullwright.pull.crew.skills import Hands, Task
    >>> skills = Skills.of(
    ...     [Task("saw", 60.0), Task("weld", 90.0)], [Hands("A", 1, frozenset({"saw"})), Hands("B", 1, frozenset({"saw", "weld"}))]
    ... )
    >>> [(step.crews, step.takt) for step in (quickest(skills, n) for n in (1, 2, 3)) if step]
    [((0, 1), 150.0), ((0, 2), 75.0), ((1, 2), 50.0)]
    """
    few = math.comb(people + len(skills.hands) - 1, people) <= MOST_TRIED
    find = _tried if few else _solve
    solved = find(skills, people=people, takt=None, most=most, least=least)
    if solved is None:
        return None
    bound, takt = full_first(skills, solved)
    return CrewStep(sum(solved), solved, takt, bound) if takt < float("inf") else None


def fewest(
    skills: Skills, takt: float, most: Sequence[int] | None = None, least: Sequence[int] | None = None
) -> int | None:
    """How many people does this takt (s) take at least? None where `most` are too few, or nobody can do a task."""
    found = None if _without(skills) else _solve(skills, people=None, takt=takt, most=most, least=least)
    return None if found is None else sum(found)


def smallest(
    skills: Skills, takt: float, most: Sequence[int] | None = None, least: Sequence[int] | None = None
) -> CrewStep:
    """How many people does this takt (s) take at least, and of which kinds? Of several smallest crews the one that is quickest.

    NoSuchPlan where `most` are too few, or nobody can do a task; it names what is short and the quickest takt that can be kept.
    """
    if not takt > 0:
        raise BadPlanInput(f"a takt of {takt} s was read; allowed: a time above 0 s")
    if nobody := _without(skills):
        raise NoSuchPlan(
            f"no crew can do {', '.join(nobody)}",
            tuple(f"nobody can do {task}" for task in nobody),
            "teach one of the crews: see what to train next",
        )
    number = fewest(skills, takt, most, least)
    if number is None:
        bound, kept = full_first(skills, most)
        short = _words(skills, bound, takt, most)
        raise NoSuchPlan(
            f"{sum(most or ())} people cannot keep a takt of {takt:.4g} s: {short}",
            (short,),
            f"they can keep {kept:.4g} s" if kept < float("inf") else "",
        )
    found = quickest(skills, number, most, least)
    assert found is not None
    return found


def crew_steps(
    skills: Skills, shortest: float, longest: float, most: Sequence[int] | None = None
) -> tuple[CrewStep, ...]:
    """How large is the smallest crew at each takt from `longest` down to `shortest` (s)? Each row holds from its own takt on.

    Rows of falling takt; a person more who makes nothing quicker gets no row; large crews go up by several people, so that there are
    about `MOST_ROWS` at most. NoSuchPlan where even the longest takt cannot be kept.

    >>> from pullwright.pull.crew.skills import Hands, Task
    >>> skills = Skills.of([Task("all", 600.0)], [Hands("crew", 9, frozenset({"all"}))])
    >>> [(step.people, step.takt) for step in crew_steps(skills, 150.0, 400.0)]
    [(2, 300.0), (3, 200.0), (4, 150.0)]
    """
    if not 0 < shortest <= longest:
        raise BadPlanInput(
            f"takts from {shortest} s to {longest} s were read; allowed: two times above 0 s, the shorter one first"
        )
    slowest = smallest(skills, longest, most)
    known = {slowest.people: slowest}
    first, last = slowest.people, 1 << 30 if most is None else sum(most)
    with suppress(NoSuchPlan):
        swiftest = smallest(skills, shortest, most)
        last = swiftest.people
        known[last] = swiftest
    stride = max(1, math.ceil((last - first) / MOST_ROWS))
    rows: list[CrewStep] = []
    for people in [*range(first, last, stride), last]:
        step = known[people] if people in known else quickest(skills, people, most)
        if step is not None and (not rows or step.takt < rows[-1].takt * (1 - ROUNDING)):
            rows.append(step)
    return tuple(rows)


def crew_at(steps: Sequence[CrewStep], takt: float) -> CrewStep | None:
    """Which row of the table holds at this takt (s)? None where even the largest crew is too slow."""
    return next((step for step in steps if step.takt <= takt * (1 + ROUNDING)), None)


def _without(skills: Skills) -> tuple[str, ...]:
    return tuple(task.name for t, task in enumerate(skills.tasks) if task.time > 0 and not any(skills.able[t]))


def _words(skills: Skills, bound: Bound | None, takt: float, most: Sequence[int] | None) -> str:
    if bound is None:
        return "there is no work"
    tasks = ", ".join(skills.names[t] for t in bound.tasks)
    people = sum((most or [crew.people for crew in skills.hands])[c] for c in bound.crews)
    work = sum(skills.tasks[t].time for t in bound.tasks)
    crews = " and ".join(skills.crews[c] for c in bound.crews)
    return f"{tasks} need {work / takt:.3g} people and only {crews} can do them, with {people}"


def _tried(
    skills: Skills, people: int, takt: None, most: Sequence[int] | None, least: Sequence[int] | None
) -> tuple[int, ...] | None:
    """The quickest crew of so many people, where it is soon tried in every way; of those that are alike the one with most people in the crews that come first."""
    count = len(skills.hands)
    bars = np.array(list(itertools.combinations(range(people + count - 1), count - 1)), dtype=np.int64)
    edges = np.full((len(bars), 1), -1), bars.reshape(len(bars), count - 1), np.full((len(bars), 1), people + count - 1)
    ways = np.diff(np.hstack(edges), axis=1) - 1
    ways = ways[::-1][np.all((ways[::-1] >= (least or 0)) & (ways[::-1] <= (most or people)), axis=1)]
    limits = Limits(skills)
    if not len(ways) or not limits.bounds:
        return tuple(ways[0].tolist()) if len(ways) else None
    rates = limits.made(ways.astype(float), 1.0).min(axis=1)
    best = int(np.argmax(rates >= rates.max() * (1 - ROUNDING)))
    return tuple(ways[best].tolist())


def _solve(
    skills: Skills,
    people: int | None,
    takt: float | None,
    most: Sequence[int] | None,
    least: Sequence[int] | None,
) -> tuple[int, ...] | None:
    """The quickest crew of so many people, or the smallest one for a takt: how many of each crew; None where there is none.

    Variables: people of each crew, and the rate in units of (all work / one person), so that all numbers are near to 1.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    bounds, count, total = bounds_of(skills), len(skills.hands), skills.total
    there = np.array([crew.there for crew in skills.hands])
    low = np.zeros(count + 1)
    low[:count] = 0 if least is None else least
    high = np.full(count + 1, np.inf)
    if most is not None:
        high[:count] = most
    high[count] = float(people) if people is not None else math.inf
    if takt is not None:
        low[count] = high[count] = total / takt
    rows, sides = [], []
    for bound in bounds:
        row = np.zeros(count + 1)
        row[list(bound.crews)] = there[list(bound.crews)]
        row[count] = -sum(skills.tasks[t].time for t in bound.tasks) / total
        rows.append(row)
        # A load that is full but for rounding is no reason for one person more.
        sides.append((-ROUNDING * (total / takt if takt else 1.0), np.inf))
    for t, task in enumerate(skills.tasks):
        if task.time > 0 and (task.at_once > 1 or not bounds):
            rows.append(np.array([*(1.0 if can else 0.0 for can in skills.able[t]), 0.0]))
            sides.append((float(task.at_once), np.inf))
    goal = np.append(np.ones(count), 0.0)
    if people is not None:
        rows.append(np.append(np.ones(count), 0.0))
        sides.append((float(people), float(people)))
        goal = np.append(np.zeros(count), -1.0)
    if not rows:
        return tuple(int(number) for number in low[:count])
    if np.any(low > high):
        return None
    found = milp(
        goal,
        constraints=LinearConstraint(np.array(rows), *np.array(sides).T),
        bounds=Bounds(low, high),
        integrality=np.append(np.ones(count), 0.0),
        options={"mip_rel_gap": 0.0},
    )
    return None if found.x is None else tuple(round(float(number)) for number in found.x[:count])
