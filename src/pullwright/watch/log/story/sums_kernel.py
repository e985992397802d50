"""Counts, sums and first places of each group in one pass over millions of values, none of them copied."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

Codes = NDArray[np.int32]
Values = NDArray[np.float64]
Counts = NDArray[np.int64]


@njit(cache=True, nogil=True)
def sums(codes: Codes, values: Values, groups: int, most: int) -> tuple[Counts, Values, float, Counts]:
    """Of each group how many values there are, their sum, the lowest of all, and the first `most` places (-1: no more)."""
    count, total = np.zeros(groups, np.int64), np.zeros(groups)
    places = np.full((groups, most), -1, np.int64)
    lowest = np.inf
    for k in range(values.size):
        g, value = codes[k], values[k]
        if g >= 0 and np.isfinite(value):
            if count[g] < most:
                places[g, count[g]] = k
            count[g] += 1
            total[g] += value
            lowest = min(lowest, value)
    return count, total, lowest, places


@njit(cache=True, nogil=True)
def squares(codes: Codes, values: Values, middle: Values) -> Values:
    """Of each group the sum of the squared distances from its middle."""
    total = np.zeros(middle.size)
    for k in range(values.size):
        g, value = codes[k], values[k]
        if g >= 0 and np.isfinite(value):
            off = value - middle[g]
            total[g] += off * off
    return total


@njit(cache=True, nogil=True)
def pair_sums(
    codes: Codes, top: Values, bottom: Values, groups: int, most: int
) -> tuple[Counts, Values, Values, Counts]:
    """Of each group how many pairs count (the lower one above 0), the sums of both, and the first `most` places."""
    count, above, below = np.zeros(groups, np.int64), np.zeros(groups), np.zeros(groups)
    places = np.full((groups, most), -1, np.int64)
    for k in range(top.size):
        g = codes[k]
        if g >= 0 and np.isfinite(top[k]) and np.isfinite(bottom[k]) and bottom[k] > 0:
            if count[g] < most:
                places[g, count[g]] = k
            count[g] += 1
            above[g] += top[k]
            below[g] += bottom[k]
    return count, above, below, places


@njit(cache=True, nogil=True)
def ratio_squares(codes: Codes, top: Values, bottom: Values, ratio: Values) -> Values:
    """Of each group the sum of what the pairs are off its ratio, squared."""
    total = np.zeros(ratio.size)
    for k in range(top.size):
        g = codes[k]
        if g >= 0 and np.isfinite(top[k]) and np.isfinite(bottom[k]) and bottom[k] > 0:
            off = top[k] - ratio[g] * bottom[k]
            total[g] += off * off
    return total
