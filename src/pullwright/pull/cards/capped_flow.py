"""One cap on the work in process of a whole flow, in place of a loop for each step: how many pieces at least so that it makes what is wished?

Pieces go round: one begins when one is done. Mean value analysis (Reiser & Lavenberg 1980, Journal of the ACM 27) is exact for exponential times, with
several machines too; for other times the rest of the piece that is in work is that of its own cv² (Reiser 1979, from memory), an approximation. Practical worst
case: Hopp & Spearman, Factory Physics, chapter 7 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

MOST_PIECES = 5000
"""Caps above this are not looked for: the wish is then nearer to the rate of the bottleneck than any cap makes up for."""


def cap_by_practical_worst(wished: Any, rate: Any, critical: Any) -> Any:
    """How many pieces by the practical worst case? w = TH (W0 - 1) / (rb - TH), from TH = w rb / (W0 + w - 1); without end where TH reaches rb.

    `wished` and `rate` in pieces per unit of time, `critical` in pieces.

    >>> float(cap_by_practical_worst(0.25, 0.5, 4.0))
    3.0
    """
    left = np.asarray(rate, dtype=float) - wished
    with np.errstate(all="ignore"):
        found = np.where(
            left > 0,
            np.asarray(wished) * np.maximum(np.asarray(critical) - 1, 0.0) / np.where(left > 0, left, 1.0),
            np.inf,
        )
    # Where the flow is less than one piece long, one piece does what it can.
    return np.where(np.asarray(wished) > 0, np.maximum(found, 1.0), 0.0)


class Loop:
    """A closed flow, one piece after another added: `add` gives what it makes with one more.

    `work`: time of each station's work for one piece (any unit), `machines` there, `cv2` of the times, each a sequence over the stations of numbers or arrays of equal length;
    `delay`: time that a piece spends under way, waiting for its lot and being carried, whatever else is there.
    """

    def __init__(self, work: Sequence[Any], machines: Sequence[int], cv2: Sequence[Any], delay: Any = 0.0) -> None:
        rows = np.broadcast_arrays(*(np.atleast_1d(np.asarray(one, dtype=float)) for one in (*work, *cv2, delay)))
        self.work = np.array(rows[: len(work)])
        self.residual = (1 + np.array(rows[len(work) : -1])) / 2
        self.delay = np.array(rows[-1])
        self.machines = np.asarray(machines, dtype=float)[:, None]
        self.pieces = 0
        self.there = np.zeros_like(self.work)
        self.rate = np.zeros(self.delay.shape)
        self.several = [k for k, many in enumerate(machines) if many > 1]
        # Chances that 0 ... m - 1 pieces are at a station of m machines.
        self.few = {
            k: np.vstack([np.ones_like(self.delay), np.zeros((int(machines[k]) - 1, self.delay.size))])
            for k in self.several
        }

    def add(self) -> Any:
        """Put one more piece into the flow; the rate that it makes then, in pieces per unit of time."""
        self.pieces += 1
        busy = self.rate * self.work
        full = busy.copy()
        for k in self.several:
            full[k] = np.maximum(1 - self.few[k].sum(axis=0), 0.0)
        waiting = np.maximum(self.there - busy, 0.0)
        # A piece that comes finds those that wait, and where all machines are busy the rest of one that is in work.
        spent = self.work + self.work / self.machines * (waiting + full * self.residual)
        self.rate = self.pieces / (spent.sum(axis=0) + self.delay)
        self.there = self.rate * spent
        for k in self.several:
            self._chances(k)
        return self.rate

    def _chances(self, k: int) -> None:
        old, many = self.few[k], int(self.machines[k, 0])
        offered = self.rate * self.work[k]
        new = np.empty_like(old)
        for j in range(1, many):
            new[j] = np.minimum(offered / j * old[j - 1], 1.0)
        idle = sum((many - j) * new[j] for j in range(1, many))
        new[0] = np.clip(1 - (offered + idle) / many, 0.0, 1.0)
        self.few[k] = new


def throughput(pieces: int, work: Sequence[Any], machines: Sequence[int], cv2: Sequence[Any], delay: Any = 0.0) -> Any:
    """How much does a flow make that always holds so many pieces? In pieces per unit of the time of `work`; see `Loop`.

    >>> round(float(throughput(4, [2.0] * 4, [1] * 4, [1.0] * 4)[0]), 4)  # the practical worst case: 4 x 0.5 / 7
    0.2857
    """
    loop = Loop(work, machines, cv2, delay)
    for _ in range(pieces):
        loop.add()
    return loop.rate


def smallest_cap(
    wished: Any,
    work: Sequence[Any],
    machines: Sequence[int],
    cv2: Sequence[Any],
    delay: Any = 0.0,
    most: int = MOST_PIECES,
) -> Any:
    """With how many pieces at least does a flow make `wished` pieces per unit of time?

    Parameters as in `Loop`; `most`, how many are tried. Result: whole pieces; without end where no number makes it.

    >>> float(smallest_cap(0.4, [2.0] * 4, [1] * 4, [1.0] * 4)[0])
    12.0
    """
    loop = Loop(work, machines, cv2, delay)
    wish = np.broadcast_to(np.asarray(wished, dtype=float), loop.delay.shape)
    with np.errstate(all="ignore"):
        fullest = np.min(np.where(loop.work > 0, loop.machines / loop.work, np.inf), axis=0)
    found = np.where(wish <= 0, 0.0, np.inf)
    left = (wish > 0) & (wish < fullest * (1 - 1e-9)) & np.isfinite(loop.delay)
    while left.any() and loop.pieces < most:
        rate = loop.add()
        done = left & (rate >= wish * (1 - 1e-12))
        found[done] = loop.pieces
        left &= ~done
    return found
