"""Who does what: sharing the attended work among crews with different skills so that the fullest crew is as little full as possible."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray


def share_work(
    work: Sequence[float], able: Sequence[Sequence[bool]], capacity: Sequence[float], rounds: int = 500
) -> NDArray[np.float64]:
    """Which share of each step's work goes to which crew, so that loads are as even as the skills allow?

    `work`: person-seconds of each step; `able[i][c]`: can crew `c` do step `i`; `capacity`: person-seconds of each crew. Gives shares of
    shape (steps, crews); each row adds up to 1 where somebody is able, and is 0 otherwise; work that only crews without any time can do is
    theirs in equal shares. The sharing minimises Σ load² x capacity, which
    also makes the highest load as low as can be, then the next one, and so on (Fujishige 1980, from memory): each step in turn is poured
    over its crews as water finds its level, until nothing moves.

    >>> share_work([6.0, 4.0], [[True, True], [False, True]], [5.0, 5.0]).round(3).tolist()
    [[0.833, 0.167], [0.0, 1.0]]
    """
    amounts = np.asarray(work, dtype=float)
    rooms = np.asarray(capacity, dtype=float)
    said: NDArray[np.bool_] = np.asarray(able, dtype=bool).reshape(len(amounts), len(rooms))
    skills = said & (rooms > 0)
    shared = np.flatnonzero(skills.any(axis=1))
    shares: NDArray[np.float64] = said / np.maximum(said.sum(axis=1, keepdims=True), 1)
    shares[shared] = (skills * rooms)[shared] / (skills * rooms)[shared].sum(axis=1, keepdims=True)
    taken = (shares * amounts[:, None]).sum(axis=0)
    # Work that is lost in the rounding of the rest moves nobody's load; it stays shared by what the crews have.
    several = [i for i in range(len(amounts)) if skills[i].sum() > 1 and amounts[i] > 1e-9 * amounts.sum()]
    for _ in range(rounds):
        moved = 0.0
        for i in several:
            crews = np.flatnonzero(skills[i])
            others = taken[crews] - shares[i, crews] * amounts[i]
            poured = _pour(amounts[i], others, rooms[crews])
            moved = max(moved, float(np.abs(poured / amounts[i] - shares[i, crews]).max()))
            taken[crews] = others + poured
            shares[i, crews] = poured / amounts[i]
        if moved < 1e-9:
            break
    return shares


def _pour(amount: float, others: NDArray[np.float64], rooms: NDArray[np.float64]) -> NDArray[np.float64]:
    """Pour an amount over vessels of width `rooms` that hold `others` already, to one level."""
    order = np.argsort(others / rooms)
    held, width = np.cumsum(others[order]), np.cumsum(rooms[order])
    levels = (amount + held) / width
    heights = np.append(others[order] / rooms[order], np.inf)
    last = int(np.flatnonzero(levels <= heights[1:])[0])
    poured: NDArray[np.float64] = np.maximum(levels[last] * rooms - others, 0.0)
    if not poured.sum() > 0:
        poured = np.where(others / rooms == heights[0], rooms, 0.0)
    scaled: NDArray[np.float64] = poured * (amount / poured.sum())
    return scaled
