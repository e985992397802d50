"""In which order products follow one another, round after round, so that the set-ups of a round take least time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pullwright.pull.errors import BadPlanInput
from pullwright.pull.lots.cycle_bound import bound
from pullwright.pull.lots.held_karp import exact_cycle
from pullwright.pull.lots.improving import good_cycle
from pullwright.pull.lots.proving import proven_cycle

MOST_EXACT = 15
"""Up to so many products the order is exact by dynamic programming; above, it is searched for and held against a bound."""
MOST_PROVEN = 100
"""Up to so many products, what the bound leaves open is settled by constraint programming, as far as a few seconds reach."""


@dataclass(frozen=True, slots=True)
class SetUpCycle:
    """A cyclic order of products: `order` begins with product 0; `time`: all its set-ups; `at_least`: no order takes less; `by`: what found it."""

    order: tuple[int, ...]
    time: float
    at_least: float
    by: str

    @property
    def proven(self) -> bool:
        """Is it proven that no order takes less time?"""
        return self.time <= self.at_least * (1 + 1e-6) + 1e-9

    @property
    def gap(self) -> float:
        """By which share of its own time could a better order undercut it, at most? 0 where it is proven."""
        return 0.0 if self.proven else 1 - self.at_least / self.time


def set_up_cycle(times: ArrayLike, *, seed: int = 0) -> SetUpCycle:
    """Which product comes after which, so that the set-ups of a round take least time?

    Parameters: `times[a, b]`, how long the set-up from product a to product b takes (s), shape (n, n); the diagonal counts only where there is one
    product alone. `seed` of the search beyond that.
    Result: exact up to 15 products (Held & Karp 1962); beyond that the best that a search and a proof of a few seconds find, with a bound
    that no order undercuts.
    Errors: BadPlanInput for times that are no square of finite numbers from 0 on.

    >>> cycle = set_up_cycle([[0, 600, 1200], [1200, 0, 600], [600, 1200, 0]])
    >>> cycle.order, cycle.time, cycle.proven
    ((0, 1, 2), 1800.0, True)
    """
    table = np.asarray(times, dtype=np.float64)
    if table.ndim != 2 or table.shape[0] != table.shape[1] or not len(table):
        raise BadPlanInput(f"set-up times of shape {table.shape} were read; give one row and one column per product")
    if not np.isfinite(table).all() or table.min() < 0:
        raise BadPlanInput("a set-up time below 0 or without end was read; allowed: finite times from 0 on")
    count = len(table)
    if count <= 2:
        time = float(table[0, 0] if count == 1 else table[0, 1] + table[1, 0])
        return SetUpCycle(tuple(range(count)), time, time, "there is one order only")
    if count <= MOST_EXACT:
        order, time = exact_cycle(table)
        return SetUpCycle(order, time, time, "all orders, by dynamic programming")
    at_least, by = bound(table), "a search, held against a bound"
    order, time = good_cycle(table, seed, at_least * (1 + 1e-6))
    found = SetUpCycle(order, time, min(at_least, time), by)
    if found.proven or count > MOST_PROVEN:
        return found
    order, time, sharper = proven_cycle(table, order, seed)
    return SetUpCycle(order, time, min(max(at_least, sharper), time), f"{by}, then by constraint programming")
