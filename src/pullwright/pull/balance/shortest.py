"""The shortest takt that a number of posts can keep."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from math import inf
from time import monotonic

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.bounds import best_bound, fullest
from pullwright.pull.balance.checked import checked
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.rules import Posts, best_by_rules
from pullwright.pull.balance.work import Work
from pullwright.pull.errors import BadPlanInput

FIRST_STEPS = 3_000_000
"""A takt in question is searched for so many steps, and with more patience each time that nothing is found out."""
PATIENCE = 5
AT_FIRST = 1.0
"""Seconds that bounds and rules have in any case, so that there is an answer."""
SOLVER_SECONDS = 20.0
"""What the solver has for one takt at most where the search got nowhere."""


def shortest_takt(work: Work, posts: int, *, seconds: float = 60.0) -> Balance:
    """Which is the shortest takt that so many posts can keep, and who does what?

    `posts`: at most so many. `seconds`: how long may be looked. The answer's `takt` (s) is the longest round of its posts; `takt_at_least` (s) is
    proven to be the least that is possible: where both are the same, there is no shorter takt. BadPlanInput for posts or seconds that are none.

    Between a takt that is proven too short and one that works, one after another is asked for with the search for the fewest posts
    (Scholl 1999, chapter 4.2.4; Klein & Scholl 1996 for the order from below).

    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 30.0), Element("drill", 40.0, ("cut",)), Element("glue", 20.0, ("cut",)), Element("pack", 10.0, ("drill", "glue"))])
    >>> balance = shortest_takt(work, 3)
    >>> balance.takt, balance.takt_at_least
    (40.0, 40.0)
    """
    if posts < 1:
        raise BadPlanInput(f"{posts} posts; allowed: from 1 on")
    if not seconds >= 0:
        raise BadPlanInput(f"{seconds} s to look for a balance; allowed: from 0 s on")
    if not work.elements:
        return Balance(work, 0.0, (), 0, ("there is nothing to do",), "nothing", takt_at_least=0.0)
    until = monotonic() + seconds
    between = Between(Plain.of(work, work.total + 1.0), posts, until=until)
    between.close(until)
    return checked(between.balance())


class Between:
    """Two takts in ticks: one that is known to work, and one below which none works; they are brought together.

    `low`: no takt below it works; `why`: in a sentence why. `high`: the longest round of `found`, a balance that may be known before. What needs no search
    is looked at till the clock says `until`.
    """

    def __init__(
        self, plain: Plain, posts: int, found: Posts | None = None, by: str = "one post for all", until: float = inf
    ) -> None:
        self.plain, self.posts, self._until = plain, posts, max(until, monotonic() + AT_FIRST)
        longest = max(range(len(plain)), key=lambda i: plain.times[i])
        self.low = max(plain.times[longest], -(-plain.total // posts), 1)
        name = plain.work.names[plain.places[longest]]
        self.why = f"{name} alone takes {self._s(plain.times[longest])}"
        if self.low > plain.times[longest]:
            self.why = f"the work of one piece is {self._s(plain.total)}, to be shared among {posts} posts"
        self.found: Posts = found or [list(range(len(plain)))]
        self.high = max(1, *(sum(plain.times[i] for i in post) for post in self.found))
        self.by = by
        self.part_plans = 0
        self._set_up = 0.0
        self._bounded_from_below()
        self._arithmetic = self.low
        self._ruled_from_above()

    @property
    def proven(self) -> bool:
        """Have they met?"""
        return self.low >= self.high

    def close(self, until: float, hopeless: int | None = None) -> None:
        """Bring them together till the clock says `until`, or `low` reaches `hopeless`, which makes the answer of no use."""
        from pullwright.pull.balance.both_ends import two_cores

        steps, left = FIRST_STEPS, until - monotonic()
        if self.proven or left <= 0:
            return
        with two_cores() as pool:
            until = monotonic() + left
            while not self.proven and monotonic() + self._set_up < until and (hopeless is None or self.low < hopeless):
                known = (self.low, self.high)
                for takt in self._questions():
                    if monotonic() + self._set_up >= until:
                        return
                    self._search(takt, steps, until, pool)
                if known == (self.low, self.high):
                    if steps >= FIRST_STEPS * PATIENCE**2:
                        self._solve(until)
                    steps *= PATIENCE

    def balance(self) -> Balance:
        """The answer so far."""
        takt = round(self.high * self.plain.unit, 6)
        at_least = round(self.low * self.plain.unit, 6)
        # With how few posts that takt can be kept is another question: what the work alone asks for is enough here, and takes no time.
        at_least_posts = -(-self.plain.total // self.high)
        reasons: tuple[str, ...]
        if self.proven:
            reasons = (f"Less than {self._s(self.low)} is not enough for {self._posts}: {self.why}.",)
        else:
            gap = 100 * (self.high - self.low) / self.high
            reasons = (
                f"It is not proven that less than {self._s(self.high)} is not enough for {self._posts}; the gap is {self._s(self.high - self.low)}, {gap:.2g} %.",
                f"Less than {self._s(self.low)} is not enough: {self.why}.",
            )
        names = self.plain.names(self.found)
        return Balance(
            self.plain.work,
            takt,
            names,
            min(at_least_posts, len(names)),
            reasons,
            self.by,
            takt_at_least=at_least,
            part_plans=self.part_plans,
        )

    @property
    def _posts(self) -> str:
        return "1 post" if self.posts == 1 else f"{self.posts} posts"

    def _s(self, ticks: int) -> str:
        return f"{round(ticks * self.plain.unit, 3):.12g} s"

    def _bounded_from_below(self) -> None:
        """The longest takt that arithmetic alone rules out: looked for by halving, and each takt that it rules out is ruled out for good."""
        jump = 1
        upper = self.high
        while self.low < upper and monotonic() < self._until:
            takt = min(self.low + jump - 1, upper - 1)
            real = self.plain.at(takt)
            bound = best_bound(real.at(fullest(real)), real)
            if bound.posts > self.posts:
                self.low, self.why = (
                    takt + 1,
                    f"with less than {self._s(takt + 1)}, {bound.posts} posts are needed: {bound.says}",
                )
                jump *= 2
            elif jump == 1:
                return
            else:
                upper, jump = takt, max(1, jump // 4)

    def _ruled_from_above(self) -> None:
        """The shortest takt at which a simple rule works, by halving: each that works is kept with its longest round."""
        low, high = self.low, self.high
        took = 0.0
        while low < high and monotonic() + took < self._until:
            began = monotonic()
            takt = (low + min(high, low + low // 2 + 1)) // 2 if high > 2 * low else (low + high) // 2
            posts, by = best_by_rules(self.plain.at(takt), self.posts)
            if len(posts) <= self.posts:
                self._works(posts, by)
                high = min(takt, self.high)
            else:
                low = takt + 1
            took = monotonic() - began

    def _works(self, posts: Posts, by: str) -> None:
        longest = max(sum(self.plain.times[i] for i in post) for post in posts)
        if longest < self.high:
            self.high, self.found, self.by = max(longest, 1), posts, by

    def _questions(self) -> Iterator[int]:
        """Takts to ask for: the least that arithmetic leaves, then halfway and halfway up, as if what is not known did not work."""
        if self.low == self._arithmetic:
            yield self.low
        low = self.low
        while low < self.high:
            takt = (low + self.high - 1) // 2
            yield takt
            low = max(self.low, low if takt >= self.high else takt + 1)

    def _search(self, takt: int, steps: int, until: float, pool: ThreadPoolExecutor) -> None:
        from pullwright.pull.balance.both_ends import BothEnds

        if not self.low <= takt < self.high:
            return
        began, real = monotonic(), self.plain.at(takt)
        plain = real.at(fullest(real))
        bound = best_bound(plain, real)
        if bound.posts > self.posts:
            self.low, self.why = (
                takt + 1,
                f"with less than {self._s(takt + 1)}, {bound.posts} posts are needed: {bound.says}",
            )
            return
        search = BothEnds(plain, self.posts, self.posts)
        self._set_up = monotonic() - began
        while not search.over and search.steps < 2 * steps and monotonic() < until:
            search.go_on(pool, until - monotonic())
        self.part_plans += search.part_plans
        if search.posts is not None:
            self._works(search.posts, "the search post by post")
        elif search.impossible:
            self.low = takt + 1
            self.why = f"a search through {search.part_plans} part-plans has found no balance for less than {self._s(takt + 1)}"

    def _solve(self, until: float) -> None:
        from pullwright.pull.balance.solver import solve

        takt = (self.low + self.high - 1) // 2
        real = self.plain.at(takt)
        solved = solve(real.at(fullest(real)), self.posts, min(SOLVER_SECONDS, until - monotonic()))
        if solved.posts is not None:
            self._works(solved.posts, "a solver (CP-SAT)")
        elif solved.impossible:
            self.low, self.why = (
                takt + 1,
                f"a solver (CP-SAT) has proven that there is no balance for less than {self._s(takt + 1)}",
            )
