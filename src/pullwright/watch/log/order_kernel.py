"""Puts the places of millions of events in order: each into its group in one pass, and equal moments by a second one."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

Places = NDArray[np.int64]
LONGEST_TIE = 64
"""So many equal moments are put right one by one; of more, a sort is quicker."""


@njit(cache=True, nogil=True)
def into_groups(order: Places, group: NDArray[np.int32], groups: int) -> Places:
    """Places in some order, by group (0 to `groups` - 1), those of a group in the order in which they came."""
    at = np.zeros(groups + 1, np.int64)
    for k in range(order.size):
        at[group[order[k]] + 1] += 1
    for g in range(groups):
        at[g + 1] += at[g]
    found = np.empty(order.size, np.int64)
    for k in range(order.size):
        g = group[order[k]]
        found[at[g]] = order[k]
        at[g] += 1
    return found


@njit(cache=True, nogil=True)
def ties_put_right(order: Places, at: NDArray[np.int64], then: NDArray[np.int64]) -> bool:
    """Puts places of equal moments in `order` by `then`, in place; False where too many are equal, and some are left as they were."""
    size = order.size
    first = 0
    while first < size:
        moment = at[order[first]]
        after = first + 1
        while after < size and at[order[after]] == moment:
            after += 1
        for k in range(first + 1, after):
            if then[order[k]] >= then[order[k - 1]]:
                continue
            if after - first > LONGEST_TIE:
                return False
            place = order[k]
            j = k
            while j > first and then[order[j - 1]] > then[place]:
                order[j] = order[j - 1]
                j -= 1
            order[j] = place
        first = after
    return True


@njit(cache=True, nogil=True)
def marks(
    start: NDArray[np.int64], end: NDArray[np.int64], case: NDArray[np.int32], step: NDArray[np.int32], station: NDArray[np.int32]
) -> NDArray[np.uint64]:  # fmt: skip
    """A number for each event that is the same where all of these are the same, and hardly ever otherwise."""
    found = np.empty(start.size, np.uint64)
    golden, last, down = np.uint64(0x9E3779B97F4A7C15), np.uint64(0xBF58476D1CE4E5B9), np.uint64(29)
    for k in range(start.size):
        mixed = np.uint64(0)
        mixed = (mixed ^ (mixed >> down)) * golden + np.uint64(start[k])
        mixed = (mixed ^ (mixed >> down)) * golden + np.uint64(end[k])
        mixed = (mixed ^ (mixed >> down)) * golden + np.uint64(np.int64(case[k]))
        mixed = (mixed ^ (mixed >> down)) * golden + np.uint64(np.int64(step[k]))
        mixed = (mixed ^ (mixed >> down)) * golden + np.uint64(np.int64(station[k]))
        found[k] = mixed * last
    return found


@njit(cache=True, nogil=True)
def first_places(codes: NDArray[np.int32], groups: int, most: int) -> Places:
    """The first `most` places of each group (-1: no more); codes below 0 belong to none."""
    places = np.full((groups, most), -1, np.int64)
    count, missing = np.zeros(groups, np.int64), groups
    for k in range(codes.size):
        g = codes[k]
        if g >= 0 and count[g] < most:
            places[g, count[g]] = k
            count[g] += 1
            if count[g] == most:
                missing -= 1
                if missing == 0:
                    break
    return places
