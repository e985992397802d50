"""Parts of one supplier that come together: how often he comes, and which part comes on every delivery, which on every second one.

Every delivery costs something whatever it brings, every part on it something more, and stock costs in proportion to the time between two
deliveries. Whole multiples are solved exactly: between two breakpoints of the time between deliveries the multiples of all parts stay as they
are, and there the best time is known in closed form (Goyal 1974, from memory). Powers of two are simpler to live with and cost at most 2.1 % more
than the bound that no way of delivering undercuts (Jackson, Maxwell & Muckstadt 1985; Roundy 1985; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import inf, sqrt
from typing import Any, Literal

import numpy as np

from pullwright.pull.errors import BadPlanInput

MOST_OVER_THE_BOUND = 1.0202
"""1 / (√2 ln 2), rounded up: the best powers of two on the best time between deliveries cost at most this times the bound."""


@dataclass(frozen=True, slots=True)
class Line:
    """One part on the delivery note: what it costs each time that it comes (`per_line`, money), and what its stock costs.

    `holding`: money a year for each working day between two of its deliveries: half of what a day uses, at its price and the carrying rate.
    """

    name: str
    per_line: float
    holding: float


@dataclass(frozen=True, slots=True)
class Joint:
    """`every` so many working days somebody delivers; `multiples`: on which delivery each part comes along (1: on every one, 2: on every second); what that `costs` in a year.

    `at_least`: no way of delivering costs less.
    """

    every: float
    multiples: tuple[int, ...]
    costs: float
    at_least: float


def joint_rhythm(
    per_delivery: float, parts: Iterable[Line], days_a_year: float, multiples: Literal["whole", "powers"] = "whole"
) -> Joint:
    """How often does a supplier of several parts come, and how often does each part come along?

    Parameters: `per_delivery` (money) is paid for every delivery, `parts` as `Line`, `days_a_year` working days. `multiples`: any whole
    multiple, or powers of two only. Result: the cheapest, exact for its kind of multiples, with the bound on all others. BadPlanInput where
    nothing is paid for a delivery (then nothing is shared, and each part has a rhythm of its own), or a part's stock costs nothing.

    >>> two = joint_rhythm(40.0, [Line("tube", 0.0, 100.0), Line("ring", 60.0, 4.0)], 250)
    >>> round(two.every, 1), two.multiples, round(two.costs), round(two.at_least)
    (10.0, (1, 6), 2490, 2490)
    """
    lines = tuple(parts)
    if not per_delivery > 0 or not days_a_year > 0:
        raise BadPlanInput(
            f"{per_delivery:g} for a delivery and {days_a_year:g} working days a year were read; allowed: above 0; "
            "where a delivery costs nothing, each part has a rhythm of its own"
        )
    for one in lines:
        if not (one.holding > 0 and one.per_line >= 0):
            raise BadPlanInput(
                f"{one.name}: {one.per_line:g} each time that it comes and {one.holding:g} a year for a day's stock were read; "
                "allowed: from 0 on, and above 0"
            )
    if not lines:
        raise BadPlanInput("no part was read; allowed: one or more that come together")
    paid, minor = per_delivery * days_a_year, [one.per_line * days_a_year for one in lines]
    at_least = _bound(paid, minor, [one.holding for one in lines])
    found = _best(paid, minor, [one.holding for one in lines], _whole if multiples == "whole" else _powers)
    return Joint(*found, at_least)


def _bound(paid: float, minor: list[float], holding: list[float]) -> float:
    """The least that any way of delivering costs: each part has a time of its own, and none comes more often than the supplier.

    The parts that would come more often by themselves come with him; the others have their own Harris time.
    """
    order = sorted(range(len(holding)), key=lambda i: minor[i] / holding[i])
    lump, per_day, n = paid, 0.0, 0
    for n, i in enumerate(order, 1):
        lump, per_day = lump + minor[i], per_day + holding[i]
        if n == len(order) or minor[order[n]] / holding[order[n]] >= lump / per_day:
            break
    return float(least_of_one(lump, per_day) + sum(least_of_one(minor[i], holding[i]) for i in order[n:]))


def least_of_one(paid: Any, holding: Any) -> Any:
    """What does the best time between two deliveries cost a year (Harris 1913): 2 √(paid x holding)?

    `paid`: for one delivery on each working day of a year (money/year); `holding`: stock, for each working day between two deliveries
    (money/year for a working day). Floats or arrays.

    >>> float(least_of_one(40.0 * 250, 100.0))
    2000.0
    """
    return 2 * np.sqrt(paid * holding)


def _best(
    paid: float, minor: list[float], holding: list[float], kind: Callable[[float, float], Steps]
) -> tuple[float, tuple[int, ...], float]:
    """The cheapest time between deliveries with its multiples.

    The times that can be best lie between where the deliveries alone cost too much and where every part comes along each time.
    """
    longest = sqrt((paid + sum(minor)) / sum(holding))
    upper = 2 * sqrt((paid + sum(minor)) * sum(holding))
    own = sum(2 * sqrt(k * h) for k, h in zip(minor, holding, strict=True))
    shortest = paid / (upper - own) if upper > own else longest
    shortest = min(shortest, longest)
    steps = [kind(k / h, shortest) for k, h in zip(minor, holding, strict=True)]
    ends = sorted({longest, shortest, *(t for one in steps for t in one.breaks if shortest < t < longest)})
    best: tuple[float, tuple[int, ...], float] = (inf, (), inf)
    for low, high in zip([shortest, *ends], [*ends, longest], strict=True):
        n = tuple(one.at((low + high) / 2) for one in steps)
        lump = paid + sum(k / m for k, m in zip(minor, n, strict=True))
        per_day = sum(h * m for h, m in zip(holding, n, strict=True))
        every = sqrt(lump / per_day)
        costs = lump / every + per_day * every
        if costs < best[2] - 1e-12 * costs:
            best = (every, n, costs)
    return best


@dataclass(frozen=True, slots=True)
class Steps:
    """How the best multiple of a part falls as the time between deliveries grows: the times where it changes, and what it is at a time."""

    breaks: Sequence[float]
    at: Callable[[float], int]


def _whole(square: float, shortest: float) -> Steps:
    """Any whole multiple: m is best while m (m - 1) <= (own time / time between deliveries)² <= m (m + 1)."""
    breaks, m = [], 1
    while square > 0 and (t := sqrt(square / (m * (m + 1)))) > shortest:
        breaks.append(t)
        m += 1

    def at(t: float) -> int:
        return 1 + sum(1 for one in breaks if one > t)

    return Steps(breaks, at)


def _powers(square: float, shortest: float) -> Steps:
    """Powers of two: 2 m takes the place of m where (own time / time between deliveries)² passes 2 m²."""
    breaks, m = [], 1
    while square > 0 and (t := sqrt(square / (2 * m * m))) > shortest:
        breaks.append(t)
        m *= 2

    def at(t: float) -> int:
        return int(2 ** sum(1 for one in breaks if one > t))

    return Steps(breaks, at)
