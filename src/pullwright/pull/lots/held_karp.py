"""The best cyclic order, exactly: every set of products with every last one, each worked out once from the smaller ones."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray


def exact_cycle(times: NDArray[np.float64]) -> tuple[tuple[int, ...], float]:
    """In which cyclic order do the changes take least time in all, and how long?

    `times[a, b]`: the change from a to b (any unit), shape (n, n) with n from 2 on; the diagonal is not looked at. Time grows as n² 2^n: meant for
    up to 15 or so. Held & Karp 1962, A Dynamic Programming Approach to Sequencing Problems (from memory).

    >>> exact_cycle(np.array([[0.0, 1.0, 9.0], [9.0, 0.0, 1.0], [1.0, 9.0, 0.0]]))
    ((0, 1, 2), 3.0)
    """
    rest = len(times) - 1  # product 0 begins the cycle; the others are bits 0 to rest - 1
    inner, first, back = times[1:, 1:], times[0, 1:], times[1:, 0]
    best = np.full((1 << rest, rest), np.inf)
    before = np.zeros((1 << rest, rest), dtype=np.int8)
    best[1 << np.arange(rest), np.arange(rest)] = first
    for sets in _by_size(rest):
        for last in range(rest):
            here = sets[(sets >> last) & 1 == 1]
            without = here ^ (1 << last)
            reached = best[without] + inner[:, last]
            chosen = reached.argmin(axis=1)
            best[here, last] = reached[np.arange(len(here)), chosen]
            before[here, last] = chosen
    at = (1 << rest) - 1
    last = int((best[at] + back).argmin())
    whole = float(best[at, last] + back[last])
    order = []
    while at:
        order.append(last + 1)
        at, last = at ^ (1 << last), int(before[at, last])
    return (0, *reversed(order)), whole


def _by_size(count: int) -> Iterator[NDArray[np.int64]]:
    """The sets of two, of three ... products, as the bits of numbers."""
    sets = np.arange(1 << count, dtype=np.int64)
    sizes = np.bitwise_count(sets)
    for size in range(2, count + 1):
        yield sets[sizes == size]
