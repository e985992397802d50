"""Drawing ahead: the one kernel that is called by its address, so that those that draw are compiled without it."""

from __future__ import annotations

import numpy as np
from numba import cfunc, types
from numba.np.numpy_support import carray

from pullwright.forecast.events.far_call import floats_at, whole_numbers_at
from pullwright.forecast.events.rows import (
    AHEAD,
    ASKED,
    BLOCK,
    KIND,
    MEAN,
    OWN,
    READINGS,
    READINGS_END,
    SPARE,
    USED,
    A,
    B,
    C,
)
from pullwright.forecast.luck.shapes import fill_times


@cfunc(types.void(types.int64, types.int64), cache=True)
def fill_ahead(address: int, stream: int) -> None:
    """Draw a row ahead for a stream; called by its address, which stands in the line's row."""
    w, f = whole_numbers_at(address), floats_at(address)
    spare, many = w[SPARE], w[stream + READINGS_END] - w[stream + READINGS]
    fill_times(
        w[stream + KIND], f[stream + MEAN], f[stream + A], f[stream + B], f[stream + C],
        carray(floats_at(address + 8 * w[stream + READINGS]), many), np.uint64(w[stream + OWN]), w[stream + ASKED],
        carray(floats_at(address + 8 * (stream + AHEAD)), BLOCK), carray(floats_at(address + 8 * spare), BLOCK),
        carray(whole_numbers_at(address + 8 * (spare + BLOCK)), BLOCK),
    )  # fmt: skip
    w[stream + ASKED] += BLOCK
    w[stream + USED] = 0
