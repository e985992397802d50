"""The best efficiency: the number of posts and the takt that leave the least of the posts' time idle, both between limits."""

from __future__ import annotations

from dataclasses import dataclass, replace
from heapq import heappop, heappush
from math import ceil, floor
from time import monotonic

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.checked import checked
from pullwright.pull.balance.plain import SLACK, Plain
from pullwright.pull.balance.shortest import Between
from pullwright.pull.balance.work import TICK, Work
from pullwright.pull.errors import BadPlanInput, NoSuchPlan

ONE_GO = 5.0
"""Seconds that one number of posts is looked at before others get their turn."""


@dataclass(frozen=True)
class BestEfficiency:
    """A balance, the share of its posts' time that is work at best within the limits (`at_most`), and why."""

    balance: Balance
    at_most: float
    reasons: tuple[str, ...]

    @property
    def proven(self) -> bool:
        """Is it proven that no other number of posts and takt within the limits is more efficient?"""
        return self.balance.efficiency >= self.at_most - 1e-12


def best_efficiency(
    work: Work, posts: tuple[int, int], takt: tuple[float, float] | None = None, *, seconds: float = 60.0
) -> BestEfficiency:
    """How many posts, and which takt, leave the least of their time idle?

    `posts`: the fewest and the most that are allowed. `takt` (s): the shortest and the longest that is allowed, any where nothing is said. Posts
    times takt is made as small as can be (the balance of type E: Scholl 1999, chapter 2.2.3; Wei & Chao 2011). For each number of posts there is
    a least product; the one with the smallest is looked at first, till no other can undercut what was found. BadPlanInput for limits that
    are none; NoSuchPlan where the limits leave nothing.

    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 30.0), Element("drill", 40.0, ("cut",)), Element("glue", 20.0, ("cut",)), Element("pack", 10.0, ("drill", "glue"))])
    >>> best = best_efficiency(work, (2, 4))
    >>> len(best.balance.posts), best.balance.takt, best.balance.efficiency, best.proven
    (2, 50.0, 1.0, True)
    """
    fewest, most = posts
    shortest, longest = takt or (0.0, work.total + 1.0)
    if not 1 <= fewest <= most or not 0 <= shortest <= longest:
        raise BadPlanInput(
            f"{fewest} to {most} posts with a takt of {shortest:g} to {longest:g} s; allowed: limits from 1 post and 0 s on, the lower one first"
        )
    if not work.total:
        raise BadPlanInput("there is nothing to do; allowed: elements that take some time")
    until = monotonic() + seconds
    plain = Plain.of(work, longest)
    least = ceil(shortest / TICK - SLACK) * TICK / plain.unit
    floor_takt = max(1, ceil(least - SLACK))
    search = _Search(plain, floor_takt, floor(plain.takt))
    for number in range(fewest, min(most, max(fewest, len(plain))) + 1):
        search.add(number)
    while search.waiting and monotonic() < until:
        search.go_on(until)
    return search.answer()


class _Search:
    """Numbers of posts, the one with the smallest possible product of posts and takt (ticks) first."""

    def __init__(self, plain: Plain, shortest: int, longest: int) -> None:
        self.plain, self.shortest, self.longest = plain, shortest, longest
        self.waiting: list[tuple[int, int]] = []
        self.looked: dict[int, Between] = {}
        self.best: tuple[int, int, Between] | None = None
        self.too_long: list[str] = []

    def add(self, number: int) -> None:
        """Wait with the product that the work alone asks for."""
        self._wait(number, max(max(self.plain.times), -(-self.plain.total // number)))

    def _wait(self, number: int, takt: int) -> None:
        takt = max(takt, self.shortest)
        if takt > self.longest:
            self.too_long.append(f"{number} posts need a takt of {self._s(takt)} at least")
        elif self.best is None or number * takt < self.best[0]:
            heappush(self.waiting, (number * takt, number))

    def go_on(self, until: float) -> None:
        """Look once at the number of posts that promises the most."""
        product, number = heappop(self.waiting)
        if self.best is not None and product >= self.best[0]:
            return
        between = self.looked.get(number)
        if between is None:
            between = self.looked[number] = Between(self.plain, number, until=until)
        else:
            hopeless = self.longest + 1 if self.best is None else -(-self.best[0] // number)
            between.close(min(until, monotonic() + ONE_GO), hopeless)
        takt = max(between.high, self.shortest)
        made = len(between.found) * takt
        if takt <= self.longest and (self.best is None or made < self.best[0]):
            self.best = (made, takt, between)
        if not between.proven and between.low < takt:
            self._wait(number, between.low)

    def answer(self) -> BestEfficiency:
        """What was found, and what is still possible."""
        if self.best is None:
            said = tuple(self.too_long)
            if self.waiting:
                said = (
                    *said,
                    *(f"whether {number} posts can, was not found out in time" for _, number in self.waiting),
                )
            raise NoSuchPlan(f"no balance within the limits: {'; '.join(said)}", said, self._instead())
        made, takt, between = self.best
        open_products = [product for product, _ in self.waiting if product < made]
        at_least = min([made, *open_products])
        balance = replace(between.balance(), takt=round(takt * self.plain.unit, 6))
        real = self.plain.work.total
        used = f"{len(balance.posts)} posts with {self._s(takt)} have {self._s(made)} for each piece, and the work of one piece takes {real:.12g} s."
        if at_least < made:
            rest = f"Less than {self._s(at_least)} is proven to be impossible; what is between the two is open."
        else:
            rest = "Every other number of posts within the limits needs at least as much."
        return BestEfficiency(
            checked(balance), min(1.0, real / (at_least * self.plain.unit)), (used, rest, *balance.reasons)
        )

    def _instead(self) -> str:
        if not self.looked:
            return ""
        number, between = min(self.looked.items(), key=lambda one: (one[1].high, one[0]))
        return f"{number} posts with a takt of {self._s(between.high)} work"

    def _s(self, ticks: int) -> str:
        return f"{round(ticks * self.plain.unit, 3):.12g} s"
