"""Cover for absence: how sure is it that those who are there can make what is pulled, and what breaks it?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pullwright.pull.crew.bounds import Bound, Limits, bounds_of
from pullwright.pull.crew.skills import ROUNDING, Skills
from pullwright.pull.crew.there import DAYS, Array, DrawnDays, EveryWay, There, ways_to_be_there
from pullwright.pull.errors import BadPlanInput

MOST_WAYS = 20_000
"""So many ways to be there are gone through in one group of crews that share work; above that, days are drawn."""


@dataclass(frozen=True, slots=True)
class Weak:
    """Tasks that only these crews can do, and the chance that too few of them are there for the takt."""

    tasks: tuple[str, ...]
    crews: tuple[str, ...]
    chance: float


@dataclass(frozen=True, slots=True)
class Cover:
    """How sure the takt is with people away.

    `chance`: that the day's demand can be made by those who are there; `share`: of the demand that can be made on average;
    `weak`: what breaks it, the likeliest first (several may be short on one day, so that their chances may add up to more than 1 - `chance`);
    `without`: crew by crew, the chance if nobody of that crew were ever away; `one_away`: crew by crew, the share of the demand that can
    be made when exactly one of it is away and nobody else (1 where the crew has nobody). `days`: so many days were drawn by lot, because there
    are too many ways to be there; 0 where every way was gone through.
    """

    chance: float
    share: float
    weak: tuple[Weak, ...]
    without: tuple[float, ...]
    one_away: tuple[float, ...]
    days: int = 0


def cover_of(skills: Skills, takt: float, seed: int = 1) -> Cover:
    """Can the takt (s) be kept when each person of a crew is away with the share `absent`, one independent of the other?

    Every way to be there is gone through with its binomial chance; only where crews that share work can be there in more than `MOST_WAYS`
    ways are `DAYS` days drawn by lot from `seed` instead. Those who are there share the work in time as well as their skills allow (see
    `bounds`); demand is made in today's mix, so that a task which nobody can do stops all of it.

    >>> from pullwright.pull.crew.skills import Hands, Task
    >>> skills = Skills.of([Task("fit", 100.0)], [Hands("crew", 2, frozenset({"fit"}), absent=0.1)])
    >>> found = cover_of(skills, 50.0)
    >>> round(found.chance, 4), round(found.share, 4), found.one_away
    (0.81, 0.9, (0.5,))
    """
    if not takt > 0:
        raise BadPlanInput(f"a takt of {takt} s was read; allowed: a time above 0 s")
    ways = Ways(skills, seed=seed)
    times = [task.time for task in skills.tasks]
    absent = [crew.absent for crew in skills.hands]
    chance, share = ways.chance_and_share(times, absent, takt)
    without = tuple(
        ways.chance_and_share(times, [*absent[:c], 0.0, *absent[c + 1 :]], takt)[0] for c in range(len(absent))
    )
    days = DAYS if ways.drawn else 0
    return Cover(chance, share, ways.weak(times, absent, takt), without, one_away(skills, takt), days)


def one_away(skills: Skills, takt: float, limits: Limits | None = None) -> tuple[float, ...]:
    """Crew by crew: which share of the demand can be made when one of that crew is away, and nobody else?"""
    limits = Limits(skills) if limits is None else limits
    people = np.array([crew.people for crew in skills.hands], dtype=float)
    if not limits.bounds:
        return (1.0,) * len(people)
    fewer = np.diag([min(crew.people, 1 / crew.shifts) for crew in skills.hands])
    lowest = limits.made(people - fewer, takt).min(axis=1)
    return tuple(
        1.0 if crew.people == 0 or share >= 1 - ROUNDING else float(share)
        for crew, share in zip(skills.hands, lowest, strict=True)
    )


class Ways:
    """All ways to be there, group by group of crews that share work: laid out once, worked out for any times and absences.

    `drawn`: on days drawn by lot from `seed` instead; where a group has more than `MOST_WAYS` ways, if nothing is said.
    """

    def __init__(
        self, skills: Skills, bounds: Sequence[Bound] | None = None, seed: int = 1, drawn: bool | None = None
    ) -> None:
        self.skills, self.seed = skills, seed
        self.bounds = bounds_of(skills) if bounds is None else tuple(bounds)
        self.drawn = drawn if drawn is not None else max(self.sizes, default=0) > MOST_WAYS

    @cached_property
    def apart(self) -> tuple[tuple[tuple[int, ...], tuple[Bound, ...]], ...]:
        """Groups of crews that share no work with one another, each with its bounds."""
        left, found = list(self.bounds), []
        while left:
            crews, size = set(left[0].crews), 0
            while size != len(crews):
                size = len(crews)
                crews |= {c for bound in left if crews & set(bound.crews) for c in bound.crews}
            own = tuple(bound for bound in left if set(bound.crews) <= crews)
            left = [bound for bound in left if not set(bound.crews) <= crews]
            found.append((tuple(sorted(crews)), own))
        return tuple(found)

    @property
    def sizes(self) -> tuple[int, ...]:
        """In how many ways can the people of each group be there?"""
        return tuple(ways_to_be_there(self.skills, crews) for crews, _ in self.apart)

    @cached_property
    def groups(self) -> tuple[_Group, ...]:
        """The groups with who is there in them; days that are drawn hold all of them together."""
        if self.drawn:
            return (_Group(self.skills, self.bounds, DrawnDays(self.skills, self.seed)),) if self.bounds else ()
        return tuple(_Group(self.skills, own, EveryWay(self.skills, crews)) for crews, own in self.apart)

    @property
    def size(self) -> int:
        """How many ways are gone through, all groups together."""
        return DAYS if self.drawn else sum(self.sizes)

    def chance_and_share(self, times: Sequence[float], absent: Sequence[float], takt: float) -> tuple[float, float]:
        """The chance that all can be made, and the mean share that can; `times` (person-s) of each task, `absent` of each crew."""
        work = np.asarray(times, dtype=float)
        made = [group.made(work, absent, takt) for group in self.groups]
        chance = math.prod(float(chances[shares >= 1.0].sum()) for shares, chances in made)
        if len(made) == 1:
            shares, chances = made[0]
            return min(chance, 1.0), min(float(shares @ chances), 1.0)
        # The mean of the lowest of independent shares is the sum over steps of the chance that all are above the step.
        steps = np.unique(np.concatenate([np.zeros(1), *(shares for shares, _ in made)]))
        above = np.ones(len(steps) - 1)
        for shares, chances in made:
            order = np.argsort(shares)
            so_far = np.concatenate([np.zeros(1), np.cumsum(chances[order])])
            above *= np.maximum(so_far[-1] - so_far[np.searchsorted(shares[order], steps[1:], side="left")], 0.0)
        return min(chance, 1.0), min(float(np.diff(steps) @ above), 1.0) if len(made) else 1.0

    def weak(self, times: Sequence[float], absent: Sequence[float], takt: float) -> tuple[Weak, ...]:
        """What breaks the takt, the likeliest first."""
        work = np.asarray(times, dtype=float)
        found = []
        for group in self.groups:
            for bound, chance in zip(group.bounds, group.short(work, absent, takt), strict=True):
                if chance > 0:
                    tasks = tuple(self.skills.names[t] for t in bound.tasks)
                    crews = tuple(self.skills.crews[c] for c in bound.crews)
                    found.append(Weak(tasks, crews, min(float(chance), 1.0)))
        return tuple(sorted(found, key=lambda weak: (-weak.chance, len(weak.tasks))))


class _Group:
    """Crews that share work, and the ways in which their people can be there."""

    def __init__(self, skills: Skills, bounds: Sequence[Bound], who: There) -> None:
        self.bounds, self.limits, self.who = tuple(bounds), Limits(skills, bounds), who

    def made(self, times: Array, absent: Sequence[float], takt: float) -> tuple[Array, Array]:
        """Share of the demand that each way can make, and its chance."""
        people, chances = self.who.there(absent)
        lowest = self.limits.made(people, takt, times).min(axis=1)
        return np.where(lowest >= 1 - ROUNDING, 1.0, lowest), chances

    def short(self, times: Array, absent: Sequence[float], takt: float) -> Array:
        """The chance that a bound is broken, bound by bound."""
        people, chances = self.who.there(absent)
        found: Array = chances @ (self.limits.made(people, takt, times) < 1 - ROUNDING)
        return found
