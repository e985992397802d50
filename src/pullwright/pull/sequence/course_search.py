"""The most even sequence of all, place by place: part-sequences that made the same are one, and what cannot become better is left (dynamic programming).

After so many places only what was made counts, not in which order, so for each mix made so far the best order is enough. A part-sequence whose
squares, with the least that the rest can add, are not below those of a sequence that is known already cannot win. Where more are left than are
kept, the least of those that were given up is what no sequence can undercut (Bautista, Companys & Corominas 1996, European Journal of
Operational Research 88; from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.sequence.aim import Aim, Floats, Order

_WORK = 30_000_000
"""About so many numbers are looked at in a search, whatever the size of the day."""
_WIDEST = 20_000
_NARROWEST = 200


@dataclass(frozen=True, slots=True)
class Searched:
    """A sequence, its squares (pieces²), and what no sequence can undercut."""

    order: Order
    squares: float
    at_least: float


@dataclass(frozen=True, slots=True)
class _Layer:
    """Mixes made after some places: from which mix of the place before, by which product."""

    came: NDArray[np.intp]
    made: NDArray[np.intp]


def searched(aim: Aim, floor: Floats, known: Sequence[int], width: int | None = None) -> Searched:
    """Find the sequence with the least squares, starting from one that is known.

    `floor`: what the squares after each place are at least, in parts of `scale` squared, shape (places,). `width`: how many mixes are kept at
    each place. Result: see `Searched`; `at_least` is its own squares where nothing was given up.
    """
    size, products, items = aim.places, len(aim.counts), len(aim.weights)
    best = float(np.sum(aim.scaled(known) ** 2 @ aim.weighing))
    order, given_up = tuple(known), np.inf
    keep = width or int(np.clip(_WORK / max(size * products * items, 1), _NARROWEST, _WIDEST))
    rest = np.append(np.cumsum(floor[::-1])[::-1], 0.0)
    counts = np.array(aim.counts, dtype=np.int32)
    made = np.zeros((1, products), dtype=np.int32)
    squares = np.zeros(1)
    layers: list[_Layer] = []
    slack = 1e-9 * max(best, 1.0)
    for k in range(1, size + 1):
        came, product = np.nonzero(made < counts)
        mixes = made[came].copy()
        mixes[np.arange(came.size), product] += 1
        off = aim.start + mixes @ aim.steps - k * aim.slope
        found = squares[came] + off**2 @ aim.weighing
        hope = found + rest[k]
        alive = np.flatnonzero(hope < best - slack)
        if not alive.size:
            break
        alive = alive[_firsts(mixes[alive], found[alive])]
        if alive.size > keep:
            alive = alive[np.argsort(hope[alive], kind="stable")]
            given_up = min(given_up, float(hope[alive[keep]]))
            alive = alive[:keep]
        made, squares = mixes[alive], found[alive]
        layers.append(_Layer(came[alive], product[alive]))
    else:
        if size and squares[0] < best - slack:
            order, best = _traced(layers), float(squares[0])
    scale = float(aim.scale) ** 2
    return Searched(order, best / scale, min(best, given_up) / scale)


def _firsts(mixes: NDArray[np.int32], found: Floats) -> NDArray[np.intp]:
    """Of every mix the cheapest row."""
    by_cost = np.argsort(found, kind="stable")
    rows = np.ascontiguousarray(mixes[by_cost])
    alike = rows.view([("", rows.dtype)] * rows.shape[1]).ravel()
    return by_cost[np.unique(alike, return_index=True)[1]]


def _traced(layers: list[_Layer]) -> Order:
    at, order = 0, []
    for layer in reversed(layers):
        order.append(int(layer.made[at]))
        at = int(layer.came[at])
    return tuple(reversed(order))
