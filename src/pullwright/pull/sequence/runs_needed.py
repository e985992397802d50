"""What few set-ups cost in evenness at least: each product by itself, made in so many runs (the bound that is held beside long days)."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from pullwright.pull.sequence.aim import Aim, Floats


def least_with_runs(aim: Aim, most: int) -> list[tuple[float, tuple[int, ...]]]:
    """What are the least squares (in parts of `scale`, squared) with 0, 1, ... `most` runs in all, and how many runs has each product then?

    Each product is placed for itself, as if no other needed the same place, so that no sequence is more even. Only for aims by products.
    Result: one pair for each number of runs from 0 on; infinite squares where there are fewer runs than products.
    """
    rows: list[tuple[float, tuple[int, ...]]] = [(0.0, ()), *[(float("inf"), ())] * most]
    for i, count in enumerate(aim.counts):
        if not count:
            rows = [(cost, (*runs, 0)) for cost, runs in rows]
            rows = [(cost + _idle(aim, i), runs) for cost, runs in rows]
            continue
        own = _of_one(aim, i, min(most, count))
        joined: list[tuple[float, tuple[int, ...]]] = []
        for total in range(most + 1):
            choices = [
                (rows[total - m][0] + own[m], m)
                for m in range(1, min(total, own.size - 1) + 1)
                if total - m < len(rows)
            ]
            cost, m = min(choices, default=(np.inf, 0))
            joined.append((cost, (*rows[total - m][1], m) if np.isfinite(cost) else ()))
        rows = joined
    best = [rows[0]]
    for _, row in pairwise(rows):
        best.append(row if row[0] < best[-1][0] else best[-1])
    return best


def _idle(aim: Aim, i: int) -> float:
    k = np.arange(1, aim.places + 1)
    return float(np.sum((aim.start[i] - k * aim.slope[i]) ** 2) * aim.weights[i])


def _of_one(aim: Aim, i: int, most: int) -> Floats:
    """Least squares of one product over all places if it is made in at most 0, 1, ... `most` runs."""
    count, size = aim.counts[i], aim.places
    made = np.arange(count + 1)
    resting, making = np.full((most + 1, count + 1), np.inf), np.full((most + 1, count + 1), np.inf)
    resting[0, 0] = 0.0
    for k in range(1, size + 1):
        cost = aim.weights[i] * (aim.start[i] + aim.scale * made - k * aim.slope[i]) ** 2
        began = np.full_like(making, np.inf)
        np.minimum(making[:, :-1], np.vstack([np.full((1, count), np.inf), resting[:-1, :-1]]), out=began[:, 1:])
        resting = np.minimum(resting, making) + cost
        making = began + cost
    least: Floats = np.minimum.accumulate(np.minimum(resting[:, -1], making[:, -1]))
    return least
