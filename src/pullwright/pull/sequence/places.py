"""Which copy takes which place, where each pays for the square of its distance from a place of its own: an exact assignment, also for long days."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.sequence.aim import Floats

MOST_AT_ONCE = 2000
"""Up to so many places the whole table is solved at once; beyond, window by window, and proven by prices."""
_WINDOW = 600
_BAND = 64
_MOST_ROUNDS = 200

Places = NDArray[np.intp]


def placed(weights: Floats, pulls: Floats, at_once: int = MOST_AT_ONCE) -> tuple[Places, bool]:
    """Which place (from 0 on) does each copy get, so that the sum of weight · t² − pull · t over all copies is least, with t = 1, 2, ...?

    Result: the places, and whether it is proven that no others cost less. Whole numbers up to 2^53 are added up exactly.
    """
    if weights.size <= at_once:
        return _solved(weights, pulls, np.arange(1.0, weights.size + 1)), True
    # Copies in the order of where they would like to be: nearly right already.
    order = np.argsort(pulls / np.maximum(2 * weights, 1e-300), kind="stable")
    while _improved(order, weights, pulls, min(_WINDOW, at_once)):
        pass
    place = np.empty(weights.size, dtype=np.intp)
    place[order] = np.arange(weights.size)
    return place, proven_by_prices(weights[order], pulls[order])


def _solved(weights: Floats, pulls: Floats, times: Floats) -> Places:
    from scipy.optimize import linear_sum_assignment

    costs = weights[:, None] * times**2 - pulls[:, None] * times
    costs -= costs.min(axis=1, keepdims=True)
    place: Places = linear_sum_assignment(costs)[1]
    return place


def _improved(order: Places, weights: Floats, pulls: Floats, window: int) -> bool:
    """Solve windows that overlap by half, one after another; was any of them better than before?"""
    better = False
    for begin in range(0, order.size, window // 2):
        here = order[begin : begin + window].copy()
        times = np.arange(begin + 1.0, begin + here.size + 1)
        place = _solved(weights[here], pulls[here], times)
        won = np.sum(_cost(weights[here], pulls[here], times) - _cost(weights[here], pulls[here], times[place]))
        if won > 0:
            order[begin + place] = here
            better = True
    return better


def _cost(weights: Floats, pulls: Floats, times: Floats) -> Floats:
    return weights * times**2 - pulls * times


def proven_by_prices(weights: Floats, pulls: Floats) -> bool:
    """Is no other order of these copies cheaper, where they stand in order of their places now?

    Prices of places prove it: no copy would rather pay for another place than for its own (the dual of the assignment). They are looked for as
    shortest ways between places that are near, and then held against all pairs of places. False means not proven.
    """
    size = weights.size
    times = np.arange(1.0, size + 1)
    own = _cost(weights, pulls, times)
    price = np.zeros(size)
    steps = list(range(1, min(_BAND, size - 1) + 1))
    ahead = [_cost(weights[:-s], pulls[:-s], times[s:]) - own[:-s] for s in steps]
    back = [_cost(weights[s:], pulls[s:], times[:-s]) - own[s:] for s in steps]
    for _ in range(_MOST_ROUNDS):
        before = price.copy()
        for s, up, down in zip(steps, ahead, back, strict=True):
            np.minimum(price[s:], price[:-s] + up, out=price[s:])
            np.minimum(price[:-s], price[s:] + down, out=price[:-s])
        if np.array_equal(before, price):
            break
    else:
        return False
    for begin in range(0, size, 500):
        rows = slice(begin, begin + 500)
        moved = weights[rows, None] * times**2 - pulls[rows, None] * times - own[rows, None]
        if np.any(price[rows, None] + moved < price):
            return False
    return True
