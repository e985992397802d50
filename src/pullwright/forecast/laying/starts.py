"""What lies there at the start, and what may be begun then."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pullwright.forecast.events.rows import PLENTY
from pullwright.forecast.laying.caps import below_cap
from pullwright.forecast.laying.demand import mix
from pullwright.forecast.laying.source import Source
from pullwright.forecast.plant import NEVER


def starts(of: Source, inputs: list[list[int]], next_step: np.ndarray, first: np.ndarray) -> dict[str, np.ndarray]:
    """The counted stock, parted among products as they are pulled, and the cards, permits and jobs that are free beside it."""
    steps, products = len(of.line.steps), len(of.product_names)
    before = np.zeros((steps, max(1, *(len(one) for one in inputs)), products), np.int64)
    finished = np.zeros(products, np.int64)
    for s, store in enumerate(of.line.stores):
        pieces = of.counted(s)
        if store.before is not None:
            i = of.step_index[store.before]
            for k, giver in enumerate(inputs[i]):
                mine = [p for p in range(products) if i in of.through[p] and next_step[p, giver] == i]
                if mine:
                    before[i, k] = _parted(of, pieces, mine)
        elif store.after is not None:
            i = of.step_index[store.after]
            mine = [p for p in range(products) if i in of.through[p] and next_step[p, i] == NEVER]
            if mine:
                finished += _parted(of, pieces, mine)
    permits = np.full(steps, PLENTY)
    jobs = np.zeros(steps, np.int64)
    for i, step in enumerate(of.line.steps):
        if step.release is None:
            continue
        by = step.release.by
        begins = first[:, i].max() > 0
        behind = sum(before[j, k].sum() for j in range(steps) for k, giver in enumerate(inputs[j]) if giver == i)
        behind += finished.sum() if (next_step[:, i] == NEVER).any() else 0
        if by == "cards":
            free = (step.release.cards or 0) * (step.release.per_card or 1) - int(behind)
            if begins:
                jobs[i] = max(free, 0)
            else:
                permits[i] = free
        elif by == "cap":
            permits[i] = below_cap(of, i, step, before, inputs)
        elif not begins:
            permits[i] = 0
    return {
        "stock_before": before,
        "stock_finished": finished,
        "step_permits": permits,
        "step_jobs": jobs,
    }


def _parted(of: Source, pieces: int, products: Sequence[int]) -> np.ndarray:
    """So many pieces parted among products as they are pulled, the largest rests first."""
    shares = np.zeros(len(of.product_names))
    shares[list(products)] = mix(of)[list(products)]
    whole = shares.sum()
    exact = pieces * (shares / whole if whole > 0 else np.isin(np.arange(shares.size), products) / len(products))
    found = np.floor(exact).astype(np.int64)
    for p in np.argsort(-(exact - found), kind="stable")[: pieces - found.sum()]:
        found[p] += 1
    return found
