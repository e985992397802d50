"""How many at once, and when is anything going on: unions of spans, levels over time, and their integrals between moments."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.watch.log.laid import Floats, Ints, edges_of, order_within, running_max

MOST_LEVEL = 64


def unions(group: NDArray[np.integer[Any]], start: Ints, end: Ints, gap: int = 0) -> tuple[Ints, Ints, Ints]:
    """The stretches in which at least one span of a group goes on, gaps up to `gap` closed: group, begin, end, by group and begin.

    >>> unions(np.array([0, 0, 0]), np.array([0, 5, 20]), np.array([10, 12, 30]))[1:]
    (array([ 0, 20]), array([12, 30]))
    """
    order = order_within(group, start, end)
    group, start, end = group[order].astype(np.int64), start[order], end[order]
    if not order.size:
        return group, start, end
    begins = edges_of(group)
    done = running_max(end, begins)
    new = np.zeros(order.size, bool)
    new[begins] = True
    new[1:] |= start[1:] > done[:-1] + gap
    at = np.flatnonzero(new)
    return group[at], start[at], done[np.append(at[1:], order.size) - 1]


def time_at_levels(group: NDArray[np.integer[Any]], start: Ints, end: Ints, groups: int) -> Floats:
    """For how long are so many spans of a group going on at once? Shape (groups, MOST_LEVEL + 1); the last one: that many or more."""
    some = end > start
    group, start, end = group[some].astype(np.int64), start[some], end[some]
    out = np.zeros((groups, MOST_LEVEL + 1))
    if not group.size:
        return out
    at = np.concatenate([start, end])
    who = np.concatenate([group, group])
    by = np.concatenate([np.ones(start.size, np.int64), np.full(end.size, -1, np.int64)])
    order = order_within(who, at)
    at, who, by = at[order], who[order], by[order]
    level = np.cumsum(by)  # every group goes back to 0, so that the next one begins there
    lasts = np.append(at[1:] - at[:-1], 0)
    same = np.append(who[1:] == who[:-1], False)
    kept = same & (lasts > 0) & (level > 0)
    np.add.at(out, (who[kept], np.minimum(level[kept], MOST_LEVEL)), lasts[kept].astype(float))
    return out


def integrals(start: Ints, end: Ints, at: Ints, weight: Floats | None = None) -> Floats:
    """The integral of the number (or weight) of spans going on, from one moment of `at` to the next; shape (len(at) - 1,)."""

    def reached(moments: Ints) -> Floats:
        order = np.argsort(moments, kind="stable")
        ordered = moments[order].astype(float)
        heavy = np.ones(moments.size) if weight is None else weight[order]
        count, sums = np.append(0.0, np.cumsum(heavy)), np.append(0.0, np.cumsum(heavy * (ordered - base)))
        place = np.searchsorted(ordered, at, side="left")
        level: Floats = count[place] * (at - base) - sums[place]
        return level

    base = float(at[0]) if at.size else 0.0
    return np.diff(reached(start) - reached(end))
