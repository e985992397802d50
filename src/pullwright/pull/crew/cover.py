"""Cover for absence: how sure is it that those who are there can make what is pulled, and what breaks it?"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.crew.bounds import Bound, Limits, bounds_of
from pullwright.pull.crew.skills import ROUNDING, Hands, Skills
from pullwright.pull.errors import BadPlanInput

MOST_COMBINATIONS = 200_000
"""So many ways to be there are gone through in one group of crews that share work."""


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
    be made when exactly one of it is away and nobody else (1 where the crew has nobody).
    """

    chance: float
    share: float
    weak: tuple[Weak, ...]
    without: tuple[float, ...]
    one_away: tuple[float, ...]


def cover_of(skills: Skills, takt: float) -> Cover:
    """Can the takt (s) be kept when each person of a crew is away with the share `absent`, one independent of the other?

    Every way to be there is gone through with its binomial chance: nothing is drawn by lot. (Where crews have so many people that there are
    more than `MOST_COMBINATIONS` ways, those that are seen less than once in a million days count as days on which nothing is made.) Those who are there share the work in time as
    well as their skills allow (see `bounds`); demand is made in today's mix, so that a task which nobody can do stops all of it.

    >>> from pullwright.pull.crew.skills import Hands, Task
    >>> skills = Skills.of([Task("fit", 100.0)], [Hands("crew", 2, frozenset({"fit"}), absent=0.1)])
    >>> found = cover_of(skills, 50.0)
    >>> round(found.chance, 4), round(found.share, 4), found.one_away
    (0.81, 0.9, (0.5,))
    """
    if not takt > 0:
        raise BadPlanInput(f"a takt of {takt} s was read; allowed: a time above 0 s")
    ways = Ways(skills)
    times = [task.time for task in skills.tasks]
    absent = [crew.absent for crew in skills.hands]
    chance, share = ways.chance_and_share(times, absent, takt)
    without = tuple(
        ways.chance_and_share(times, [*absent[:c], 0.0, *absent[c + 1 :]], takt)[0] for c in range(len(absent))
    )
    return Cover(chance, share, ways.weak(times, absent, takt), without, one_away(skills, takt))


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
    """All ways to be there, group by group of crews that share work: laid out once, worked out for any times and absences."""

    def __init__(self, skills: Skills, bounds: Sequence[Bound] | None = None) -> None:
        self.skills = skills
        self.bounds = bounds_of(skills) if bounds is None else tuple(bounds)

    @cached_property
    def groups(self) -> tuple[_Group, ...]:
        """Groups of crews that share no work with one another."""
        left = list(self.bounds)
        found = []
        while left:
            crews, size = set(left[0].crews), 0
            while size != len(crews):
                size = len(crews)
                crews |= {c for bound in left if crews & set(bound.crews) for c in bound.crews}
            own = [bound for bound in left if set(bound.crews) <= crews]
            left = [bound for bound in left if not set(bound.crews) <= crews]
            found.append(_Group(self.skills, tuple(sorted(crews)), own))
        return tuple(found)

    @property
    def size(self) -> int:
        """How many ways are gone through, all groups together."""
        return sum(len(group.numbers) for group in self.groups)

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
            chances = group.chances(absent)
            for bound, short in zip(group.bounds, group.short(work, takt).T, strict=True):
                chance = float(chances[short].sum())
                if chance > 0:
                    found.append(
                        Weak(
                            tuple(self.skills.names[t] for t in bound.tasks),
                            tuple(self.skills.crews[c] for c in bound.crews),
                            min(chance, 1.0),
                        )
                    )
        return tuple(sorted(found, key=lambda weak: (-weak.chance, len(weak.tasks))))


class _Group:
    """Crews that share work, and all ways in which their people can be there."""

    def __init__(self, skills: Skills, crews: tuple[int, ...], bounds: Sequence[Bound]) -> None:
        self.skills, self.crews, self.bounds = skills, crews, tuple(bounds)
        hands = [skills.hands[c] for c in crews]
        self.heads = [crew.people * crew.shifts for crew in hands]
        lowest = self._lowest(hands)
        ranges = [range(low, number + 1) for low, number in zip(lowest, self.heads, strict=True)]
        self.numbers = np.array(list(itertools.product(*ranges)), dtype=np.int64)
        self.limits = Limits(skills, bounds)
        # People of several shifts are there one shift after another: on average so many at a time.
        self.people = np.zeros((len(self.numbers), len(skills.hands)))
        self.people[:, list(crews)] = self.numbers / np.array([crew.shifts for crew in hands])
        self.stopped = self.limits.stopped(self.people)

    def _lowest(self, hands: Sequence[Hands]) -> list[int]:
        """From how many people on is a crew looked at? From none, unless there would be too many ways: then what almost never is is left out."""
        for never in (0.0, 1e-12, 1e-9, 1e-6):
            lowest = [_seldom_below(n, crew.absent, never) for n, crew in zip(self.heads, hands, strict=True)]
            count = math.prod(n + 1 - low for n, low in zip(self.heads, lowest, strict=True))
            if count <= MOST_COMBINATIONS:
                return lowest
        raise BadPlanInput(
            f"{', '.join(crew.name for crew in hands)} can be there in {count} ways; allowed: {MOST_COMBINATIONS}; "
            "write crews that can do the same as one"
        )

    def chances(self, absent: Sequence[float]) -> NDArray[np.float64]:
        """The chance of each way: binomial for each crew, one independent of the other."""
        found = np.ones(len(self.numbers))
        for k, c in enumerate(self.crews):
            n, away = self.heads[k], min(max(float(absent[c]), 0.0), 1.0)
            found *= _binomial(n, away)[self.numbers[:, k]]
        return found

    def made(
        self, times: NDArray[np.float64], absent: Sequence[float], takt: float
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Share of the demand that each way can make, and its chance."""
        lowest = self._shares(times, takt).min(axis=1)
        return np.where(lowest >= 1 - ROUNDING, 1.0, lowest), self.chances(absent)

    def short(self, times: NDArray[np.float64], takt: float) -> NDArray[np.bool_]:
        """Which bounds does each way break?"""
        short: NDArray[np.bool_] = self._shares(times, takt) < 1 - ROUNDING
        return short

    def _shares(self, times: NDArray[np.float64], takt: float) -> NDArray[np.float64]:
        return np.where(self.stopped, 0.0, self.limits.rates(self.people, times) * takt)


def _binomial(n: int, away: float) -> NDArray[np.float64]:
    """The chance that 0, 1 ... n of n people are there."""
    return np.array([math.comb(n, there) * (1 - away) ** there * away ** (n - there) for there in range(n + 1)])


def _seldom_below(n: int, away: float, never: float) -> int:
    """The highest number below which fewer are there with a chance of at most `never`; 0 where that is 0 %."""
    if never == 0:
        return 0
    return int(np.flatnonzero(np.cumsum(_binomial(n, away)) > never)[0])
