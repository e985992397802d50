"""A closed flow filled piece by piece, draw by draw: arrays in, arrays out. What is worked out here stands in `capped_flow`."""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit


@njit(cache=True, nogil=True, error_model="numpy")
def filled(work: Any, residual: Any, delay: Any, machines: Any, wish: Any, most: int) -> tuple[Any, Any]:
    """With how many pieces is the rate `wish` (pieces per unit of time) reached, and which rate is it?

    `work` and `residual` of shape (stations, n), `delay` and `wish` (n,), `machines` (stations,). Where it is not reached with `most` pieces: without end, and the rate of
    so many.
    """
    stations, count = work.shape
    found, rates = np.full(count, np.inf), np.zeros(count)
    there, most_machines = np.zeros(stations), 1
    for s in range(stations):
        most_machines = max(most_machines, machines[s])
    few = np.zeros((stations, most_machines))  # chances that 0 ... m - 1 pieces are at a station of m machines
    for d in range(count):
        there[:] = 0.0
        few[:] = 0.0
        few[:, 0] = 1.0
        rate = 0.0
        for pieces in range(1, most + 1):
            whole = 0.0
            for s in range(stations):
                many, busy = machines[s], rate * work[s, d]
                full = busy
                if many > 1:
                    idle = 0.0
                    for j in range(many):
                        idle += few[s, j]
                    full = max(1.0 - idle, 0.0)
                # A piece that comes finds those that wait, and where all machines are busy the rest of one that is in work.
                there[s] = work[s, d] + work[s, d] / many * (max(there[s] - busy, 0.0) + full * residual[s, d])
                whole += there[s]
            rate = pieces / (whole + delay[d])
            for s in range(stations):
                there[s] *= rate
                if machines[s] > 1:
                    _chances(few[s], machines[s], rate * work[s, d])
            if rate >= wish[d]:
                found[d] = pieces
                break
        rates[d] = rate
    return found, rates


@njit(cache=True, nogil=True, error_model="numpy")
def _chances(few: Any, many: int, offered: float) -> None:
    """The chances with one piece more, in place."""
    idle = 0.0
    for j in range(many - 1, 0, -1):
        few[j] = min(offered / j * few[j - 1], 1.0)
    for j in range(1, many):
        idle += (many - j) * few[j]
    few[0] = min(max(1.0 - (offered + idle) / many, 0.0), 1.0)
