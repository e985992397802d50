"""Reads a working clock off its table for millions of moments."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

Moments = NDArray[np.int64]


@njit(cache=True, nogil=True)
def read_off(at: Moments, first: int, slot: int, reached: Moments, is_open: Moments) -> Moments:
    """What had been worked at the begin of each moment's slot, and what of the slot itself is worked until then."""
    found = np.empty(at.size, np.int64)
    for k in range(at.size):
        since = at[k] - first
        place = since // slot
        found[k] = reached[place] + (since - place * slot) * is_open[place]
    return found
