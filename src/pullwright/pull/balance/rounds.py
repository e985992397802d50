"""How long a person's round at a post takes: the work, the way between its places, and what is kept free for bad luck.

The length of a round never falls when an element comes to it: that is what the search rests on.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from statistics import NormalDist

import numpy as np

from pullwright.pull.balance.wishes import Conditions
from pullwright.pull.balance.work import TICK, Work
from pullwright.pull.errors import BadPlanInput

Leg = tuple[int, int]
"""An element (its number) and where it is done: 0 on the way there, 1 on the way back of a bent line."""
MOST_STATES = 200_000
"""The shortest walk is looked for exactly; a round that needs more states than this is refused."""


def up(seconds: float) -> int:
    """A time in whole ticks, rounded up.

    >>> up(1.0), up(0.0004), up(0.1 + 0.2)
    (1000, 1, 300)
    """
    return math.ceil(seconds / TICK - 1e-6)


def down(seconds: float) -> int:
    """A time in whole ticks, rounded down.

    >>> down(1.0), down(0.0009), down(0.3)
    (1000, 0, 300)
    """
    return math.floor(seconds / TICK + 1e-6)


@dataclass(frozen=True)
class Walk:
    """A closed walk through the elements of a round: their order, and how long the way takes (s)."""

    order: tuple[Leg, ...]
    seconds: float


class Rounds:
    """The rounds of one work under its conditions."""

    def __init__(self, work: Work, conditions: Conditions) -> None:
        self.work, self.conditions = work, conditions
        self.times = tuple(element.time for element in work.elements)
        self.counted: dict[int, list[tuple[int, str]]] = {}
        """What adds up to at least so many posts, for each takt that was asked about (`counted.counted`)."""
        self._walks: dict[frozenset[Leg], Walk] = {}

    @cached_property
    def z(self) -> float:
        """So many standard deviations are kept free of work; 0 where rounds are taken as long as on average."""
        overrun = self.conditions.overrun
        return 0.0 if overrun is None or self.conditions.draws is not None else NormalDist().inv_cdf(1 - overrun)

    def room(self, takt: int) -> int:
        """So many ticks of a takt (ticks) a round may fill."""
        load = self.conditions.load
        return takt if load is None else math.floor(takt * load + 1e-6)

    def takt_for(self, room: int) -> int:
        """The shortest takt (ticks) in which a round of so many ticks is not too long."""
        load = self.conditions.load
        return room if load is None else math.ceil(room / load - 1e-6)

    @cached_property
    def before(self) -> tuple[frozenset[int], ...]:
        """For each element all that must be done before it, straight or by way of others."""
        found: list[frozenset[int]] = []
        direct: list[list[int]] = [[] for _ in self.times]
        for first, then in self.work.arcs:
            direct[then].append(first)
        for i in range(len(self.times)):
            found.append(frozenset(direct[i]).union(*(found[k] for k in direct[i])))
        return tuple(found)

    @cached_property
    def after(self) -> tuple[frozenset[int], ...]:
        """For each element all that can be done only when it is done."""
        found: list[set[int]] = [set() for _ in self.times]
        for i, before in enumerate(self.before):
            for k in before:
                found[k].add(i)
        return tuple(frozenset(one) for one in found)

    @cached_property
    def draws(self) -> np.ndarray | None:
        """Equally likely times, a row for each element (s)."""
        given = self.conditions.draws
        return None if given is None else np.array([given[name] for name in self.work.names], dtype=float)

    def length(self, legs: Iterable[Leg]) -> float:
        """How long does the round of one person with these elements take (s), with the way and what is kept free?"""
        here = frozenset(legs)
        return self.busy(here) + self.walk(here).seconds

    def busy(self, legs: Iterable[Leg]) -> float:
        """The work of a round with what is kept free (s): as long as on average, or so long that it is enough often enough."""
        chosen = [i for i, _ in legs]
        if self.draws is not None:
            return quantile_above(self.draws[chosen].sum(axis=0), self.conditions.overrun or 0.0)
        work = sum(self.times[i] for i in chosen)
        if not self.z:
            return work
        return work + self.z * math.sqrt(sum(self.work.elements[i].deviation ** 2 for i in chosen))

    def walk(self, legs: frozenset[Leg]) -> Walk:
        """The shortest closed walk that keeps the order of the work on the piece."""
        if legs not in self._walks:
            self._walks[legs] = self._shortest(legs) if self.conditions.walking is not None else self._in_order(legs)
        return self._walks[legs]

    def _in_order(self, legs: frozenset[Leg]) -> Walk:
        return Walk(tuple(sorted(legs, key=lambda leg: (leg[1], leg[0]))), 0.0)

    def way(self, first: int, then: int) -> float:
        """How long it takes to walk from one element to another (s)."""
        a, b = self.work.elements[first].place, self.work.elements[then].place
        assert a is not None
        assert b is not None
        return math.dist(a, b) / (self.conditions.walking or 1.0)

    def _shortest(self, legs: frozenset[Leg]) -> Walk:
        """Cheapest first over what is done and where one stands; whatever can be done where one stands is done at once: that costs nothing."""
        if not legs:
            return Walk((), 0.0)
        places = {leg: self.work.elements[leg[0]].place for leg in legs}
        some = {place: leg[0] for leg, place in places.items()}
        waits = {leg: frozenset(k for k in legs if k[1] == leg[1] and k[0] in self.before[leg[0]]) for leg in legs}

        def doing(done: frozenset[Leg], place: object) -> tuple[frozenset[Leg], tuple[Leg, ...]]:
            order: list[Leg] = []
            while new := [
                leg for leg in sorted(legs) if leg not in done and places[leg] == place and waits[leg] <= done
            ]:
                order += new
                done = done.union(new)
            return done, tuple(order)

        heap: list[tuple[float, int, frozenset[Leg], int, int, tuple[Leg, ...]]] = []
        for count, start in enumerate(sorted(some.values())):
            done, order = doing(frozenset(), self.work.elements[start].place)
            if order:
                heapq.heappush(heap, (0.0, count, done, start, start, order))
        count, seen = len(heap), set()
        while heap:
            cost, _, done, at, start, order = heapq.heappop(heap)
            if at < 0:
                return Walk(order, cost)
            if (done, at, start) in seen:
                continue
            seen.add((done, at, start))
            if len(seen) > MOST_STATES:
                raise BadPlanInput(
                    f"a round through {len(some)} places has too many ways to walk; allowed: up to about 12 places at a post; leave walking out"
                )
            if done == legs:
                count += 1
                heapq.heappush(heap, (cost + self.way(at, start), count, done, -1, start, order))
                continue
            for to in some.values():
                if to != at:
                    further, more = doing(done, self.work.elements[to].place)
                    if more:
                        count += 1
                        heapq.heappush(heap, (cost + self.way(at, to), count, further, to, start, order + more))
        raise AssertionError("elements that wait for one another cannot stand in a work")


def quantile_above(sums: np.ndarray, share: float) -> float:
    """The least time that at most this share of the draws exceeds.

    >>> quantile_above(np.array([1.0, 2.0, 3.0, 4.0]), 0.25)
    3.0
    """
    above = math.floor(share * len(sums) + 1e-9)
    return float(np.sort(sums)[len(sums) - 1 - above])
