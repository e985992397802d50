"""Every product as evenly as can be over a day, exactly: the least sum of squares, or the least greatest deviation (product-rate variation).

Least squares. Kubiak & Sethi (1991, Management Science 37) place the copies of the products by an assignment: copy j of a product with d of D
pieces has its ideal place ⌈(2j − 1) D / 2d⌉, and pays for every place by which it comes early or late. Summed up, what it pays at place t is
d / D · (t − c)² with c = (2j − 1) D / 2d + 1/2, less a constant; that is what is worked with here. It holds as well from the middle of a day
on, where products are ahead or behind. Where the counts have a common divisor, the best sequence for counts that are divided by it, said again
and again, is a best one (Kubiak 2003, Journal of Global Optimization 27; from memory).

Least greatest deviation. Copy j may come neither before nor after it would put its product off by more than b; with these first and last places,
the copy that must come first goes first, and a sequence exists if that one keeps all last places (Steiner & Yeomans 1993, Management Science 39).
The least b is found by halving.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heappop, heappush
from math import gcd

import numpy as np

from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.aim import Aim, Floats, Order
from pullwright.pull.sequence.places import placed


def ideal_place(j: int, count: int, total: int) -> int:
    """At which place would copy `j` (from 1 on) of a product with `count` of `total` pieces do least harm (Kubiak & Sethi 1991)?

    >>> [ideal_place(j, 3, 7) for j in (1, 2, 3)]
    [2, 4, 6]
    """
    return -(-(2 * j - 1) * total // (2 * count))


@dataclass(frozen=True, slots=True)
class EvenProducts:
    """A sequence with the least sum of squared deviations (pieces²); `proven`: is it certain that none has less?"""

    order: Order
    squares: float
    proven: bool


def even_products(counts: Sequence[int] | Aim) -> EvenProducts:
    """In which order do the products come most evenly, by the sum of the squared deviations over all places?

    Parameters: `counts`, pieces of each product; or an aim by products, for a day that has begun. Result: see `EvenProducts`; exact up to
    `places.MOST_AT_ONCE` places (after division by the common divisor), proven beyond that wherever prices prove it.
    Errors: BadPlanInput for counts that are no whole numbers, and for an aim by parts.

    >>> "".join("abc"[i] for i in even_products([2, 3, 5]).order)
    'cbacbccabc'
    """
    aim = counts if isinstance(counts, Aim) else Aim.of_products(counts)
    if not aim.by_products or len(set(aim.weights)) > 1:
        raise BadPlanInput(
            "an aim by parts was read; allowed: products, each counting alike; take even_parts for parts"
        )
    if not aim.places:
        return EvenProducts((), 0.0, True)
    times = gcd(*aim.counts) if not any(aim.ahead) else 1
    short = Aim.of_products([n // times for n in aim.counts]) if times > 1 else aim
    weights, pulls, owner = _copies(short)
    place, proven = placed(weights, pulls)
    order = np.empty(short.places, dtype=np.intp)
    order[place] = owner
    whole = tuple(order.tolist()) * times
    return EvenProducts(whole, aim.squares(whole), proven)


def _copies(aim: Aim) -> tuple[Floats, Floats, list[int]]:
    """Weight and pull of every copy, so that it costs weight · t² − pull · t at place t; and of which product it is."""
    weights, pulls, owner = [], [], []
    for i, n in enumerate(aim.counts):
        copies = np.arange(1, n + 1, dtype=np.float64)
        weights.append(np.full(n, aim.slope[i]))
        pulls.append(aim.slope[i] + aim.scale * (2 * copies - 1) + 2 * aim.start[i])
        owner += [i] * n
    return np.concatenate(weights), np.concatenate(pulls), owner


def narrowest(counts: Sequence[int]) -> tuple[Order, Fraction]:
    """In which order is no product ever further from its even course than need be?

    Parameters: `counts`, pieces of each product. Result: the sequence, and the greatest deviation of any product after any place (pieces), which
    is the least possible one. Errors: BadPlanInput for counts that are no whole numbers.

    >>> narrowest([2, 3, 5])[1]
    Fraction(1, 2)
    """
    wanted = Aim.of_products(counts).counts
    total = sum(wanted)
    if not total:
        return (), Fraction(0)
    times = gcd(*wanted)
    counts, total = [n // times for n in wanted], total // times
    low, high = -1, total  # a deviation below one piece is always possible (Steiner & Yeomans 1993)
    found = _earliest_due(counts, total, high)
    while high - low > 1:
        middle = (low + high) // 2
        order = _earliest_due(counts, total, middle)
        if order is None:
            low = middle
        else:
            high, found = middle, order
    assert found is not None
    return found * times, Fraction(high, total)


def _earliest_due(counts: Sequence[int], total: int, most: int) -> Order | None:
    """The sequence in which no product is off by more than `most` / `total`; None where there is none."""
    opening: list[list[tuple[int, int]]] = [[] for _ in range(total + 1)]
    for i, n in enumerate(counts):
        for j in range(1, n + 1):
            first = max(-(-(j * total - most) // n), 1)
            last = min(((j - 1) * total + most) // n + 1, total)
            if first > last:
                return None
            opening[first].append((last, i))
    waiting: list[tuple[int, int]] = []
    order = []
    for place in range(1, total + 1):
        for copy in opening[place]:
            heappush(waiting, copy)
        if not waiting or waiting[0][0] < place:
            return None
        order.append(heappop(waiting)[1])
    return tuple(order)
