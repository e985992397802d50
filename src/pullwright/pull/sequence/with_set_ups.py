"""Set-ups weighed in: how even can a day be with at most so many set-ups, and what does each further one bring?

Exact for small mixes: for every mix made so far, the product made last and the set-ups so far, the best order is enough (dynamic programming), and
one pass gives the whole trade-off. Beyond that, runs are laid out where each would do least harm, made better by moving pieces and runs, and
held beside a bound: every product by itself in so many runs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, prod

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.pull.sequence.aim import Aim, Order, set_ups_in
from pullwright.pull.sequence.levelled import Levelled, levelled
from pullwright.pull.sequence.runs import laid_out
from pullwright.pull.sequence.runs_needed import least_with_runs

MOST_CELLS = 4_000_000
"""Up to so many (mix, last product, set-ups) a day is solved exactly."""


@dataclass(frozen=True, slots=True)
class TradeOff:
    """One point of the trade-off: the most even sequence with at most so many set-ups.

    `set_ups`: how many it has. `squares`: its squared deviations (pieces²). `at_least`: what no sequence with as many set-ups undercuts.
    """

    set_ups: int
    order: Order
    squares: float
    at_least: float

    @property
    def proven(self) -> bool:
        """Is it proven that none with as many set-ups is more even?"""
        return self.squares <= self.at_least * (1 + 1e-9) + 1e-12


def fewest_set_ups(aim: Aim, last: int | None = None) -> int:
    """How many set-ups are there at least? One fewer than products, or as many as other products than the one made last.

    >>> fewest_set_ups(Aim.of_products([3, 0, 2])), fewest_set_ups(Aim.of_products([3, 0, 2]), last=1)
    (1, 2)
    """
    made = [i for i, n in enumerate(aim.counts) if n]
    return max(len(made) - 1, 0) if last is None else sum(1 for i in made if i != last)


def trade_off(
    aim: Aim, most: int | None = None, last: int | None = None, points: int | None = None
) -> tuple[TradeOff, ...]:
    """What does evenness cost in set-ups? Points with more and more set-ups, each more even than the one before it.

    Parameters: `aim`, what is to be even; `most`, the set-ups up to which it is worked out (as many as can do any good where nothing is said);
    `last`, the product that was made before (None: the first piece needs no set-up); `points`, about how many are worked out where the day is too
    large for the exact method (8). Result: the points, from the fewest set-ups on; the last one is the best for at most `most`.
    Errors: NoSuchPlan for fewer set-ups than the products need.

    >>> [(point.set_ups, round(point.squares, 2)) for point in trade_off(Aim.of_products([3, 3]))]
    [(1, 9.5), (2, 3.5), (3, 1.5)]
    """
    if last is not None and not 0 <= last < len(aim.counts):
        raise BadPlanInput(f"product number {last} was read as the last one made; allowed: 0 to {len(aim.counts) - 1}")
    few, many = fewest_set_ups(aim, last), _as_many_as_help(aim, last)
    if most is not None and most < few:
        kinds = sum(1 for n in aim.counts if n)
        raise NoSuchPlan(
            f"at most {_times(most)} in the day is wished, and {kinds} products need at least {few}",
            (f"at most {_times(most)} in the day", f"{kinds} products are to be made"),
            f"{_times(few)}: every product in one run",
        )
    many = many if most is None else min(most, many)
    if not aim.places:
        return (TradeOff(0, (), 0.0, 0.0),)
    free = levelled(aim)
    if free.proven:  # nothing is more even, so more set-ups than it has do no good
        many = min(many, max(set_ups_in(free.order, last), few))
    cells = prod(n + 1 for n in aim.counts) * len(aim.counts) * (many + 1)
    found = _exact(aim, many, last) if cells <= MOST_CELLS else _laid(aim, free, few, many, last, points or 8)
    better: list[TradeOff] = []
    for point in found:
        if not better or point.squares < better[-1].squares * (1 - 1e-12):
            better.append(point)
    return tuple(better)


def cheapest(points: Sequence[TradeOff], cost: float) -> TradeOff:
    """Which point is best if a set-up is worth `cost` squared pieces of unevenness? Of two that are equal the one with fewer set-ups.

    >>> cheapest(trade_off(Aim.of_products([3, 3])), 1.0).set_ups
    3
    """
    return min(points, key=lambda point: (point.squares + cost * point.set_ups, point.set_ups))


def _times(n: int) -> str:
    return "1 set-up" if n == 1 else f"{n} set-ups"


def _as_many_as_help(aim: Aim, last: int | None) -> int:
    """More set-ups than this no sequence can have: every piece a run of its own, as far as others lie between."""
    largest = max(aim.counts, default=0)
    runs = min(aim.places, 2 * (aim.places - largest) + 1)
    return max(runs - (last is None), 0)


# --- exact ------------------------------------------------------------------------------------------------------------


def _exact(aim: Aim, many: int, last: int | None) -> list[TradeOff]:
    """All mixes of the day in layers of as many pieces; for each the least squares by product made last and set-ups so far."""
    shape = tuple(n + 1 for n in aim.counts)
    mixes = np.indices(shape).reshape(len(shape), -1).T
    made = mixes.sum(axis=1)
    off = aim.start + mixes @ aim.steps - made[:, None] * aim.slope
    cost = (off**2) @ aim.weighing
    strides = [prod(shape[i + 1 :]) for i in range(len(shape))]
    best = np.full((made.size, len(shape), many + 1), inf)
    came = np.full(best.shape, -1, dtype=np.int16)
    by_layer = np.argsort(made, kind="stable")
    bounds = np.searchsorted(made[by_layer], np.arange(aim.places + 2))
    for k in range(1, aim.places + 1):
        layer = by_layer[bounds[k] : bounds[k + 1]]
        for i in range(len(shape)):
            here = layer[mixes[layer, i] > 0]
            if k == 1:
                free = last is None or last == i
                if free or many:
                    best[here, i, 0 if free else 1] = cost[here]
                continue
            before = best[here - strides[i]]
            others = before.copy()
            others[:, i, :] = inf
            from_other = others.argmin(axis=1)
            changed = np.full((here.size, many + 1), inf)
            changed[:, 1:] = np.take_along_axis(others, from_other[:, None, :], axis=1)[:, 0, :-1]
            stayed = before[:, i, :]
            stay = stayed <= changed
            best[here, i] = np.where(stay, stayed, changed) + cost[here, None]
            came[here, i, 0] = i
            came[here, i, 1:] = np.where(stay[:, 1:], i, from_other[:, :-1])
    scale = float(aim.scale) ** 2
    points = []
    for s in range(many + 1):
        i = int(best[-1, :, s].argmin())
        squares = float(best[-1, i, s])
        if np.isfinite(squares):
            order = _way_back(came, mixes, strides, i, s, aim.places)
            points.append(TradeOff(s, order, squares / scale, squares / scale))
    return points


def _way_back(
    came: NDArray[np.int16], mixes: NDArray[np.intp], strides: list[int], i: int, s: int, places: int
) -> Order:
    at, order = len(mixes) - 1, [i]
    for _ in range(places - 1):
        before = int(came[at, i, s])
        at, s, i = at - strides[i], s - (before != i), before
        order.append(i)
    return tuple(reversed(order))


# --- large ------------------------------------------------------------------------------------------------------------


def _laid(aim: Aim, free: Levelled, few: int, many: int, last: int | None, points: int) -> list[TradeOff]:
    """Runs laid out for some numbers of set-ups between the fewest and the most, the most last; bounds for each."""
    spread = np.geomspace(max(few, 1), max(many, 1), points).astype(int).tolist() if points > 1 else []
    numbers = sorted({few, many, *(n for n in spread if few < n < many)} if points > 1 else {many})
    as_even = set_ups_in(free.order, last)
    fewer = [n for n in numbers if n < as_even]
    bounds = least_with_runs(aim, fewer[-1] + 1) if aim.by_products and fewer else None
    found: list[TradeOff] = []
    for s in numbers:
        if as_even <= s:
            found.append(TradeOff(as_even, free.order, free.squares, free.at_least))
            break
        order = laid_out(aim, s, last, bounds[s + 1][1] if bounds else None)
        squares = aim.squares(order)
        least = max(free.at_least, bounds[s + 1][0] / aim.scale**2 if bounds else 0.0)
        found.append(TradeOff(set_ups_in(order, last), order, squares, float(min(least, squares))))
    return found
