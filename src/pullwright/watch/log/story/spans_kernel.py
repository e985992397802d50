"""Goes along millions of spans in the order of their groups: stretches that join, how many at once, and visits of several bookings."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

Places = NDArray[np.int64]
Moments = NDArray[np.int64]
Codes = NDArray[np.int32]
Values = NDArray[np.float64]


@njit(cache=True, nogil=True)
def stretches(
    order: Places, group: Codes, start: Moments, end: Moments, gap: int, lasting: bool
) -> tuple[Moments, Moments, Moments]:
    """The stretches in which at least one span of a group goes on, gaps up to `gap` closed: group, begin, end.

    `order` has the places by group and begin; with `lasting` only spans that take time count.
    """
    groups, begins, ends = (
        np.empty(order.size, np.int64),
        np.empty(order.size, np.int64),
        np.empty(order.size, np.int64),
    )
    many = 0
    for k in range(order.size):
        place = order[k]
        since, until, g = start[place], end[place], group[place]
        if lasting and until <= since:
            continue
        if many and groups[many - 1] == g and since <= ends[many - 1] + gap:
            ends[many - 1] = max(ends[many - 1], until)
        else:
            groups[many], begins[many], ends[many] = g, since, until
            many += 1
    return groups[:many].copy(), begins[:many].copy(), ends[:many].copy()


@njit(cache=True, nogil=True)
def levels(group: Codes, start: Moments, done: Moments, groups: int, most: int) -> Values:
    """For how long are so many spans of a group going on at once? Shape (groups, most + 1); the last one: that many or more.

    Spans by group and begin; `done` has their ends by group and moment. Each takes time.
    """
    found = np.zeros((groups, most + 1))
    j = level = 0
    last = np.int64(0)
    for k in range(group.size):
        # What ends at a moment has ended when something begins there.
        while j < k and (group[k] != group[j] or done[j] <= start[k]):
            found[group[j], min(level, most)] += done[j] - last
            last, level, j = done[j], level - 1, j + 1
        if level:
            found[group[k], min(level, most)] += start[k] - last
        last, level = start[k], level + 1
    while j < group.size:
        found[group[j], min(level, most)] += done[j] - last
        last, level, j = done[j], level - 1, j + 1
    return found


@njit(cache=True, nogil=True)
def held(
    order: Places, station: Codes, machines: Places, arrived: Moments, ended: Moments, low: int, start: Values
) -> Values:
    """From when on does each visit hold its station? `order`: visits by station and begin; `arrived` and `ended`: moments by station."""
    found = np.empty(order.size)
    since = 0
    for k in range(order.size):
        place = order[k]
        if k and station[place] != station[order[k - 1]]:
            since = k
        back = machines[station[place]]
        free = ended[k - back] if k - since >= back else low
        found[place] = min(max(arrived[k], free) / 1e6, start[place])
    return found


@njit(cache=True, nogil=True)
def visit_times(
    order: Places, first: Places, start: Moments, end: Moments, apart: NDArray[np.bool_]
) -> tuple[Moments, Values, Values]:
    """Of each visit (bookings `order[first[k]:first[k + 1]]`) its end, and the seconds booked without and with `apart`."""
    until, plain, other = np.empty(first.size, np.int64), np.empty(first.size), np.empty(first.size)
    for k in range(first.size):
        since, after = first[k], first[k + 1] if k + 1 < first.size else order.size
        place = order[since]
        latest = end[place]
        seconds = (end[place] - start[place]) / 1e6
        one, two = (0.0, seconds) if apart[place] else (seconds, 0.0)
        more, more_two = 0.0, 0.0
        for j in range(since + 1, after):
            place = order[j]
            latest = max(latest, end[place])
            seconds = (end[place] - start[place]) / 1e6
            if apart[place]:
                more_two += seconds
            else:
                more += seconds
        until[k], plain[k], other[k] = latest, one + more, two + more_two
    return until, plain, other


@njit(cache=True, nogil=True)
def visit_sums(order: Places, first: Places, values: Values) -> Values:
    """Of each visit the sum over its bookings; nan counts as nothing."""
    found = np.empty(first.size)
    for k in range(first.size):
        since, after = first[k], first[k + 1] if k + 1 < first.size else order.size
        value = values[order[since]]
        one, more = 0.0 if np.isnan(value) else value, 0.0
        for j in range(since + 1, after):
            value = values[order[j]]
            if not np.isnan(value):
                more += value
        found[k] = one + more
    return found


@njit(cache=True, nogil=True)
def latest_before(end: Moments, start: Moments, begins: Places) -> Moments:
    """Of each visit the latest end of the earlier ones of its order, but not after its own begin; its own begin where it is the first."""
    found = np.empty(end.size, np.int64)
    for k in range(begins.size):
        since, after = begins[k], begins[k + 1] if k + 1 < begins.size else end.size
        found[since] = start[since]
        latest = end[since]
        for j in range(since + 1, after):
            found[j] = min(latest, start[j])
            latest = max(latest, end[j])
    return found


@njit(cache=True, nogil=True)
def been_there(step: Codes, begins: Places, steps: int) -> NDArray[np.bool_]:
    """Which visits come to a step where their order was before?"""
    found = np.zeros(step.size, np.bool_)
    seen = np.full(steps, -1, np.int64)
    for k in range(begins.size):
        after = begins[k + 1] if k + 1 < begins.size else step.size
        for j in range(begins[k], after):
            found[j] = seen[step[j]] == k
            seen[step[j]] = k
    return found
