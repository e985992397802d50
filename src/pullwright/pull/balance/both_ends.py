"""The search from both ends at once, each on a core of its own where there are two."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from math import inf
from time import monotonic

from pullwright.pull.balance.bounds import sharpest
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.visited_search import VisitedSearch, made_ready

FIRST_SLICE, SHORTEST_SLICE = 200_000, 20_000
LONGEST_SLICE = 8_000_000
"""Steps that each end goes before the two tell each other what they found; longer each time."""


class BothEnds:
    """Is there a balance with at most `target` posts, and with how few? Goes on from where it stopped.

    The ends go the same number of steps between two looks at each other, so what is found depends on the steps alone, not on the cores.
    """

    def __init__(self, plain: Plain, target: int, at_least: int) -> None:
        self.plain, self.at_least = plain, at_least
        self.ends = [VisitedSearch(one, target, at_least, sharpest(one)) for one in (plain, plain.turned)]
        self.target = target
        self.posts: list[list[int]] | None = None
        self._slice = FIRST_SLICE
        self._pace = 0.0

    @property
    def impossible(self) -> bool:
        """Is it proven that there is no balance with at most `target` posts?"""
        return self.target < self.at_least or any(end.exhausted for end in self.ends)

    @property
    def over(self) -> bool:
        """Is there nothing left to do?"""
        return self.impossible or all(end.over for end in self.ends)

    @property
    def part_plans(self) -> int:
        """From how many part-plans it went on: those of the end that has proven something, of both where neither has."""
        return next((end.expanded for end in self.ends if end.exhausted), sum(end.expanded for end in self.ends))

    @property
    def steps(self) -> int:
        """How many steps both have gone."""
        return sum(end.steps for end in self.ends)

    def go_on(self, pool: ThreadPoolExecutor, within: float = inf) -> bool:
        """One slice from each end; True where a balance with fewer posts was found: it is in `posts`, and `target` is one less.

        `within` (s): what is left of the time; a slice that would take longer is made as short as that, as far as the pace of the last one tells.
        """
        steps, began = self._slice, monotonic()
        if self._pace and within < inf:
            steps = max(SHORTEST_SLICE, min(steps, int(self._pace * within)))
        list(pool.map(lambda end: end.go_on(steps), self.ends))
        self._pace = steps / max(monotonic() - began, 1e-6)
        self._slice = min(self._slice * 3 // 2, LONGEST_SLICE)
        best = min(self.ends, key=lambda end: end.target)
        if best.target >= self.target:
            return False
        self.posts = self.plain.seen_from_here(best.plain, best.found() or [])
        self.target = best.target
        for end in self.ends:
            end.lower_target(self.target)
        return True


@contextmanager
def two_cores() -> Iterator[ThreadPoolExecutor]:
    """Two threads: the compiled search runs in both at once. It is made first, where it is not yet: that can take some seconds."""
    made_ready()
    pool = ThreadPoolExecutor(2, "balance")
    try:
        yield pool
    finally:
        pool.shutdown(wait=True)
