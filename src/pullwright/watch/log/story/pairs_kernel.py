"""Counts pairs of steps in millions of visits: which comes before which, which overlap, which follows which."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

Places = NDArray[np.int64]
Counts = NDArray[np.int64]
Codes = NDArray[np.int32]
Flags = NDArray[np.bool_]


@njit(cache=True, nogil=True)
def ahead_of(step: Codes, begins: Places, new: Flags, place: Places, many: int) -> Counts:
    """In how many orders does one step come first and another one later? Shape (many, many), by the places of both steps.

    `new` says which visits are the first of their order to their step; steps with a place below 0 do not count.
    """
    found = np.zeros((many, many), np.int64)
    seen = np.empty(many, np.int64)
    for k in range(begins.size):
        after, met = begins[k + 1] if k + 1 < begins.size else step.size, 0
        for j in range(begins[k], after):
            this = place[step[j]]
            if new[j] and this >= 0:
                for i in range(met):
                    found[seen[i], this] += 1
                seen[met] = this
                met += 1
    return found


@njit(cache=True, nogil=True)
def side_by_side(
    step: Codes, begins: Places, new: Flags, place: Places, many: int, start: Places, end: Places, most: int
) -> tuple[Counts, Counts, Counts, Places]:
    """Of each pair of steps, the one of the lower place first: orders with both, those in which they overlap, those in which
    the first begins before the second, and the first step's visits in the first `most` that overlap (-1: no more)."""
    both, over, ahead = (
        np.zeros((many, many), np.int64),
        np.zeros((many, many), np.int64),
        np.zeros((many, many), np.int64),
    )
    shown = np.full((many, many, most), -1, np.int64)
    seen = np.empty(many, np.int64)
    for k in range(begins.size):
        after, met = begins[k + 1] if k + 1 < begins.size else step.size, 0
        for j in range(begins[k], after):
            if not new[j] or place[step[j]] < 0:
                continue
            for i in range(met):
                one, other = (seen[i], j) if place[step[seen[i]]] < place[step[j]] else (j, seen[i])
                a, b = place[step[one]], place[step[other]]
                both[a, b] += 1
                if start[one] < start[other]:
                    ahead[a, b] += 1
                if start[one] < end[other] and start[other] < end[one]:
                    if over[a, b] < most:
                        shown[a, b, over[a, b]] = one
                    over[a, b] += 1
            seen[met] = j
            met += 1
    return both, over, ahead, shown


@njit(cache=True, nogil=True)
def followers(step: Codes, begins: Places, steps: int) -> tuple[Counts, Counts]:
    """How often does one step follow another, and in how many orders? Shape (steps, steps): before, after."""
    times, orders = np.zeros((steps, steps), np.int64), np.zeros((steps, steps), np.int64)
    last = np.full((steps, steps), -1, np.int64)
    for k in range(begins.size):
        after = begins[k + 1] if k + 1 < begins.size else step.size
        for j in range(begins[k] + 1, after):
            a, b = step[j - 1], step[j]
            times[a, b] += 1
            if last[a, b] != k:
                orders[a, b] += 1
                last[a, b] = k
    return times, orders
