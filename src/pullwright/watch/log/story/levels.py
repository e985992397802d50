"""How many at once, and when is anything going on: unions of spans, levels over time, and their integrals between moments."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.watch.log.laid import Floats, Ints, edges_of, is_large, key_of, order_within, running_max

MOST_LEVEL = 64


def unions(group: NDArray[np.integer[Any]], start: Ints, end: Ints, gap: int = 0) -> tuple[Ints, Ints, Ints]:
    """The stretches in which at least one span of a group goes on, gaps up to `gap` closed: group, begin, end, by group and begin.

    >>> unions(np.array([0, 0, 0]), np.array([0, 5, 20]), np.array([10, 12, 30]))[1:]
    (array([ 0, 20]), array([12, 30]))
    """
    order = order_within(group, start, end)
    return unions_in_order(order, group, start, end, gap)


def unions_in_order(
    order: Ints, group: NDArray[np.integer[Any]], start: Ints, end: Ints, gap: int = 0, *, lasting: bool = False
) -> tuple[Ints, Ints, Ints]:
    """The same for spans whose order by group and begin is known; with `lasting` only those that take time."""
    if is_large(order.size):
        from .spans_kernel import stretches

        return stretches(order, group.astype(np.int32, copy=False), start, end, gap, lasting)
    group, start, end = group[order], start[order], end[order]
    if lasting:
        some = end > start
        group, start, end = group[some], start[some], end[some]
    if not group.size:
        return group.astype(np.int64), start, end
    begins = edges_of(group)
    done = running_max(end, begins)
    new = np.zeros(group.size, bool)
    new[begins] = True
    new[1:] |= start[1:] > done[:-1] + gap
    at = np.flatnonzero(new)
    return group[at].astype(np.int64), start[at], done[np.append(at[1:], group.size) - 1]


def time_at_levels(
    group: NDArray[np.integer[Any]], start: Ints, end: Ints, groups: int, order: Ints | None = None
) -> Floats:
    """For how long are so many spans of a group going on at once? Shape (groups, MOST_LEVEL + 1); the last one: that many or more.

    Parameters: `order`, the places of the spans that count, by group and begin, where that is known; otherwise all of them.
    """
    order = order_within(group, start, end) if order is None else order
    if is_large(order.size):
        from .spans_kernel import levels

        some = order[end[order] > start[order]] if not np.all(end > start) else order
        codes, begin, done = group[some].astype(np.int32, copy=False), start[some], key_of(group[some], end[some])
        if not done.cut:
            done.values.sort()
            return levels(codes, begin, done.moment(done.values), groups, MOST_LEVEL)
    group, start, end = group[order], start[order], end[order]
    some = end > start
    if not some.any():
        return np.zeros((groups, MOST_LEVEL + 1))
    if not some.all():
        group, start, end = group[some], start[some], end[some]
    low, high = int(start.min()), int(end.max())
    # Begins and ends in one line: group, moment, and in the last bit whether it begins.
    begins, ends = (key_of(group, at, low, high) for at in (start, end))
    line = np.concatenate([(begins.values << 1) | 1, ends.values << 1])
    line.sort()
    level = np.cumsum(((line & 1) << 1) - 1)[:-1]  # every group goes back to 0, so that the next one begins there
    line >>= 1
    lasts = np.diff(line) << begins.cut
    kept = (level > 0) & (lasts > 0)
    place = begins.group(line[:-1][kept]) * (MOST_LEVEL + 1) + np.minimum(level[kept], MOST_LEVEL)
    out: Floats = np.bincount(place, lasts[kept].astype(float), groups * (MOST_LEVEL + 1))
    return out.reshape(groups, MOST_LEVEL + 1)


def integrals(start: Ints, end: Ints, at: Ints, weight: Floats | None = None) -> Floats:
    """The integral of the number (or weight) of spans going on, from one moment of `at` to the next; shape (len(at) - 1,)."""

    def reached(moments: Ints) -> Floats:
        if weight is None:
            ordered = np.sort(moments).astype(float)
            heavy = np.ones(moments.size)
        else:
            order = np.argsort(moments, kind="stable")
            ordered, heavy = moments[order].astype(float), weight[order]
        count, sums = np.append(0.0, np.cumsum(heavy)), np.append(0.0, np.cumsum(heavy * (ordered - base)))
        place = np.searchsorted(ordered, at, side="left")
        level: Floats = count[place] * (at - base) - sums[place]
        return level

    base = float(at[0]) if at.size else 0.0
    return np.diff(reached(start) - reached(end))
