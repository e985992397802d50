"""A good cyclic order for many products: begin with near neighbours, improve by moving stretches, shake, and improve again."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Order = NDArray[np.int64]
Times = NDArray[np.float64]
STARTS = 10
"""From so many of the orders that go to the nearest neighbour, the improving begins."""
SHAKEN = 30
"""So many products in a row are shaken at a time: the rest of a good order is kept."""
SHAKES = 800
"""As often is the order shaken, for up to 40 products; less often above, where every time takes longer."""
WARMTH = 2.0
"""What is worse by half a change of average length is gone on with about once in three times."""


def good_cycle(times: Times, seed: int, enough: float = 0.0) -> tuple[tuple[int, ...], float]:
    """Which cyclic order of changes takes little time, and how long?

    `times` as in `exact_cycle`, n from 4 on. From the best nearest-neighbour orders downhill over all exchanges of two neighbouring stretches
    (3-opt that keeps directions, with Or-opt in it; Or 1976, Kanellakis & Papadimitriou 1980) and all reversals (2-opt); then shaken by double bridges
    (Martin, Otto & Felten 1991) in one place after another and improved again; all from memory. Now and then what is a little worse is gone on with,
    so that the search leaves its first valley. It ends at once where it reaches `enough`, which no order undercuts. The same `seed` gives the same order.
    """
    from pullwright.pull.lots.improving_kernel import improve

    count = len(times)
    rng = np.random.default_rng(seed)
    # What is only rounding is no improvement, or it would go round for ever.
    least = 1e-9 * max(float(times.max()), 1e-300)
    starts = sorted((nearest_neighbours(times, k) for k in range(count)), key=lambda order: _length(times, order))
    found = [(improve(times, order, least), tuple(order)) for order in starts[:STARTS]]
    length, kept = min(found)
    here = best = np.array(kept, dtype=np.int64)
    least_here = length
    for _ in range(max(SHAKES // 4, min(SHAKES, SHAKES * 40**3 // count**3))):
        if length <= enough + least:
            break
        order = _shaken(np.roll(here, int(rng.integers(count))), rng)
        reached = improve(times, order, least)
        if reached <= least_here or rng.random() < np.exp(
            (least_here - reached) * WARMTH * count / max(length, 1e-300)
        ):
            here, least_here = order, reached
        if reached < length - least:
            best, length = order, reached
    at = int(np.flatnonzero(best == 0)[0])
    return tuple(int(one) for one in np.roll(best, -at)), length


def nearest_neighbours(times: Times, start: int) -> Order:
    """The order that goes on to whatever is changed to soonest."""
    left = np.ones(len(times), dtype=bool)
    order = [start]
    left[start] = False
    while left.any():
        here = np.where(left, times[order[-1]], np.inf)
        order.append(int(here.argmin()))
        left[order[-1]] = False
    return np.array(order, dtype=np.int64)


def _length(times: Times, order: Order) -> float:
    return float(times[order, np.roll(order, -1)].sum())


def _shaken(order: Order, rng: np.random.Generator) -> Order:
    """Two bridges: the last three of four stretches in turned order, each the way it was, which no single exchange undoes."""
    i, j, k = sorted(rng.choice(min(len(order) - 1, SHAKEN), size=3, replace=False) + 1)
    return np.concatenate((order[:i], order[k:], order[j:k], order[i:j]))
