"""The kernel of the search for a good cyclic order: downhill until no exchange of stretches and no reversal helps."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray


@njit(cache=True, nogil=True, error_model="numpy")
def improve(times: NDArray[np.float64], order: NDArray[np.int64], least: float) -> float:
    """Improve `order` in place by the best move of each round until none saves more than `least`; gives the time of all its changes.

    `times[a, b]`: the change from a to b, shape (n, n), n from 4 on; `order`: all of 0 to n - 1. A move exchanges the stretches i+1..j and j+1..k, each
    the way it was, or goes through the stretch i+1..j backwards.
    """
    count = len(order)
    bent = np.empty((count, count))
    turned = np.empty(count)
    new = np.empty_like(order)
    while True:
        # What it adds to go on from place i to the one behind place j: three of these in a ring exchange two stretches.
        turned[0] = 0.0
        for i in range(count):
            ahead = times[order[i], order[(i + 1) % count]]
            for j in range(count):
                bent[i, j] = times[order[i], order[(j + 1) % count]] - ahead
            if i + 1 < count:
                turned[i + 1] = turned[i] + times[order[i + 1], order[i]] - ahead
        gain, at_i, at_j, at_k = -least, -1, -1, -1
        for i in range(count - 1):
            for j in range(i + 1, count):
                first = bent[i, j]
                for k in range(j + 1, count):
                    added = first + bent[j, k] + bent[k, i]
                    if added < gain:
                        gain, at_i, at_j, at_k = added, i, j, k
                if j > i + 1:
                    last, after = order[j], order[(j + 1) % count]
                    added = times[order[i], last] - times[order[i], order[i + 1]] + times[order[i + 1], after]
                    added += turned[j] - turned[i + 1] - times[last, after]
                    if added < gain:
                        gain, at_i, at_j, at_k = added, i, j, -1
        if at_i < 0:
            break
        new[:] = order
        if at_k < 0:
            new[at_i + 1 : at_j + 1] = order[at_i + 1 : at_j + 1][::-1]
        else:
            moved = at_k - at_j
            new[at_i + 1 : at_i + 1 + moved] = order[at_j + 1 : at_k + 1]
            new[at_i + 1 + moved : at_k + 1] = order[at_i + 1 : at_j + 1]
        order[:] = new
    whole = 0.0
    for i in range(count):
        whole += times[order[i], order[(i + 1) % count]]
    return whole
