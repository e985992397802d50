"""How many pieces fit before each step and into the finished store."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.events.rows import PLENTY
from pullwright.forecast.laying.source import Source


def capacities(of: Source) -> np.ndarray:
    """Pieces of one input that fit before each step; PLENTY where nothing limits them."""
    found = np.full(len(of.line.steps), PLENTY)
    for s, store in enumerate(of.line.stores):
        if store.before is None or store.capacity is None or store.overflow is not None:
            continue
        capacity = of.whole(("stores", s, "capacity"), store.capacity)
        if of.counted(s) <= capacity:
            found[of.step_index[store.before]] = capacity
    return found


def finished_capacity(of: Source) -> int:
    """Pieces that fit into the finished store."""
    rooms = [
        of.whole(("stores", s, "capacity"), store.capacity)
        for s, store in enumerate(of.line.stores)
        if store.after is not None and store.capacity is not None and store.overflow is None
        and of.counted(s) <= store.capacity.value
    ]  # fmt: skip
    return rooms[0] if len(rooms) == 1 else PLENTY
