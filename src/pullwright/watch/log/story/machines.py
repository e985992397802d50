"""Effective process times of equal machines that are not told apart: the recursion in plain Python, and compiled."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from pullwright.watch.log.laid import Floats, Ints


def effective_times_plain(arrival: Floats, done: Floats, by_arrival: Ints, machines: int) -> Floats:
    """How long does each visit hold a machine? (Times in any unit, the same one out.)

    Parameters: visits in the order in which they are done; `by_arrival`, their places in the order of arrival. A visit that
    arrives while fewer than `machines` are counting counts from its arrival; when one is done, the one that waits longest
    begins to count. One that is done without having counted overtook: it takes over from the one that began last, which
    begins anew.
    """
    size = arrival.size
    out, began = np.zeros(size), np.zeros(size)
    state = np.zeros(size, np.int8)  # 0 not there yet or waiting, 1 counting, 2 done
    counting = np.full(machines, -1, np.int64)
    busy = arrived = waiting = 0
    for k in range(size):
        while arrived < size and arrival[by_arrival[arrived]] <= done[k]:
            one = by_arrival[arrived]
            arrived += 1
            if state[one] == 0 and busy < machines:
                began[one], state[one] = arrival[one], 1
                counting[busy] = one
                busy += 1
        if state[k] == 1:
            for place in range(busy):
                if counting[place] == k:
                    counting[place] = counting[busy - 1]
                    break
            busy -= 1
            out[k] = done[k] - began[k]
        elif busy > 0:
            latest = counting[0]
            for place in range(1, busy):
                if began[counting[place]] > began[latest]:
                    latest = counting[place]
            out[k] = done[k] - began[latest]
            began[latest] = done[k]
        else:
            out[k] = done[k] - arrival[k]
        state[k] = 2
        while waiting < arrived and state[by_arrival[waiting]] != 0:
            waiting += 1
        if busy < machines and waiting < arrived:
            one = by_arrival[waiting]
            began[one], state[one] = done[k], 1
            counting[busy] = one
            busy += 1
    return out


@lru_cache(maxsize=1)
def _compiled() -> Any:
    from numba import njit

    return njit(cache=True)(effective_times_plain)


COMPILED_FROM = 20_000
"""Visits from which compiling (about a second, once) is worth its time."""


def effective_times(arrival: Floats, done: Floats, by_arrival: Ints, machines: int) -> Floats:
    """The same, compiled where there are many visits."""
    run = _compiled() if arrival.size >= COMPILED_FROM else effective_times_plain
    times: Floats = run(arrival, done, by_arrival, machines)
    return times
