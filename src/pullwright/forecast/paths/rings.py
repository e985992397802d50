"""Series of which the last numbers are kept, a row of lanes each."""

from __future__ import annotations

from typing import Any

from numba import njit

from pullwright.forecast.luck.lanes import Lanes, alike, lanes_at
from pullwright.forecast.paths.rows import WAIT_FREE, WAIT_MASK, WAIT_PER, WAIT_RING


@njit(cache=True, nogil=True, error_model="numpy")
def in_ring(base: int, ring: int, mask: int, number: int) -> int:
    """The address of number n of a series."""
    return base + ((ring + ((number & mask) << 3)) << 3)


@njit(cache=True, nogil=True, error_model="numpy")
def waited(w: Any, base: int, wait: int, x: int) -> Lanes:
    """When what piece x waits for has been."""
    left = x - w[wait + WAIT_FREE]
    if left < 0:
        return alike(0.0)
    per = w[wait + WAIT_PER]
    if per > 1:
        left = (left // per + 1) * per - 1
    return lanes_at(in_ring(base, w[wait + WAIT_RING], w[wait + WAIT_MASK], left))
