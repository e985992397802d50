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

_WORK = 40_000_000
"""About so many numbers are looked at in a search, whatever the size of the day."""
_WIDEST = 20_000
_NARROWEST = 100
_MOST_CODE = 2**62


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
    made, off, squares = np.zeros((1, products), dtype=np.int32), aim.start[None, :], np.zeros(1)
    layers: list[_Layer] = []
    slack = 1e-9 * max(best, 1.0)
    for k in range(1, size + 1):
        came, product = np.nonzero(made < counts)
        ahead = off[came] + (aim.steps - aim.slope)[product]
        found = squares[came] + ahead**2 @ aim.weighing
        hope = found + rest[k]
        alive = np.flatnonzero(hope < best - slack)
        if not alive.size:
            break
        mixes = made[came[alive]]
        mixes[np.arange(alive.size), product[alive]] += 1
        first = _firsts(mixes, found[alive])
        if first.size > keep:
            by_hope = np.argsort(hope[alive[first]], kind="stable")
            given_up = min(given_up, float(hope[alive[first[by_hope[keep]]]]))
            first = first[by_hope[:keep]]
        alive = alive[first]
        made, off, squares = mixes[first], ahead[alive], found[alive]
        layers.append(_Layer(came[alive], product[alive]))
    else:
        if size and squares[0] < best - slack:
            order, best = _traced(layers), float(squares[0])
    scale = float(aim.scale) ** 2
    return Searched(order, best / scale, min(best, given_up) / scale)


def _firsts(mixes: NDArray[np.int32], found: Floats) -> NDArray[np.intp]:
    """Of every mix the cheapest row."""
    by_cost = np.argsort(found, kind="stable")
    codes: list[NDArray[np.int64]] = []
    size = _MOST_CODE + 1
    for column in mixes[by_cost].T:
        most = int(column.max()) + 1
        if size * most > _MOST_CODE:  # one more number is needed to tell all mixes apart
            codes.append(np.zeros(column.size, dtype=np.int64))
            size = 1
        codes[-1] = codes[-1] * most + column
        size *= most
    if len(codes) == 1:
        return np.asarray(by_cost[np.unique(codes[0], return_index=True)[1]])
    in_order = np.lexsort(codes)
    new = np.append(True, np.any([np.diff(code[in_order]) != 0 for code in codes], axis=0))
    return np.asarray(by_cost[in_order[new]])


def _traced(layers: list[_Layer]) -> Order:
    at, order = 0, []
    for layer in reversed(layers):
        order.append(int(layer.made[at]))
        at = int(layer.came[at])
    return tuple(reversed(order))
