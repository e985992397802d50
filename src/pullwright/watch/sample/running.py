"""The share as it settles: after each round what all looks so far say, with the interval."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pullwright.line.kinds import KindKey
from pullwright.watch.sample.clusters import LEVEL, ratio_variance, wilson, worth_of
from pullwright.watch.sample.looks import Tour


@dataclass(frozen=True, slots=True)
class Running:
    """After round number `round`, first looked at `at`: `found` of `looks` so far, the share, and its interval (honest from two rounds on)."""

    round: int
    at: datetime
    found: int
    looks: int
    share: float
    low: float
    high: float


def running_share(tour: Tour, kind: KindKey, *, level: float = LEVEL) -> tuple[Running, ...]:
    """How did the share of one kind of work settle, round by round? In the order in which the rounds were walked.

    >>> running_share(Tour("March", ()), "waiting")
    ()
    """
    found: dict[int, int] = {}
    of: dict[int, int] = {}
    begun: dict[int, datetime] = {}
    for look in sorted(tour.looks, key=lambda one: one.at):
        begun.setdefault(look.round, look.at)
        of[look.round] = of.get(look.round, 0) + 1
        found[look.round] = found.get(look.round, 0) + (look.seen == kind)
    said: list[Running] = []
    order = list(begun)
    for last, number in enumerate(order, 1):
        a, m = [found[one] for one in order[:last]], [of[one] for one in order[:last]]
        good, looks = sum(a), sum(m)
        share = good / looks
        worth = worth_of(share, ratio_variance(a, m) if last > 1 else None, looks, last, level)
        low, high = wilson(min(share * worth.looks, worth.looks), worth.looks, level)
        said.append(Running(number, begun[number], good, looks, share, low, high))
    return tuple(said)
