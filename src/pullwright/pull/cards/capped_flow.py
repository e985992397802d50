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


def throughput(pieces: int, work: Sequence[Any], machines: Sequence[int], cv2: Sequence[Any], delay: Any = 0.0) -> Any:
    """How much does a flow make that always holds so many pieces? In pieces per unit of the time of `work`.

    Parameters: `work`, time of each station's work for one piece (any unit), `machines` there, `cv2` of the times, each a sequence over the stations of numbers or arrays
    of equal length; `delay`, time that a piece spends under way, waiting for its lot and being carried, whatever else is there.

    >>> round(float(throughput(4, [2.0] * 4, [1] * 4, [1.0] * 4)[0]), 4)  # the practical worst case: 4 x 0.5 / 7
    0.2857
    """
    from pullwright.pull.cards.capped_kernel import filled

    rows = _rows(work, cv2, delay)
    return filled(*rows, np.asarray(machines, dtype=np.int64), np.full(rows[-1].size, np.inf), pieces)[1]


def smallest_cap(
    wished: Any,
    work: Sequence[Any],
    machines: Sequence[int],
    cv2: Sequence[Any],
    delay: Any = 0.0,
    most: int = MOST_PIECES,
) -> Any:
    """With how many pieces at least does a flow make `wished` pieces per unit of time?

    Parameters as in `throughput`; `most`, how many are tried. Result: whole pieces; without end where no number makes it.

    >>> float(smallest_cap(0.4, [2.0] * 4, [1] * 4, [1.0] * 4)[0])
    12.0
    """
    from pullwright.pull.cards.capped_kernel import filled

    times, residual, under_way = _rows(work, cv2, delay)
    wish = np.broadcast_to(np.asarray(wished, dtype=float), under_way.shape)
    many = np.asarray(machines, dtype=np.int64)
    with np.errstate(all="ignore"):
        fullest = np.min(np.where(times > 0, many[:, None] / times, np.inf), axis=0)
    found = np.where(wish <= 0, 0.0, np.inf)
    left = (wish > 0) & (wish < fullest * (1 - 1e-9)) & np.isfinite(under_way)
    # Alike laid out each time, so that the kernel is compiled once.
    times, residual, under_way = (np.ascontiguousarray(one[..., left]) for one in (times, residual, under_way))
    found[left] = filled(times, residual, under_way, many, wish[left] * (1 - 1e-12), most)[0]
    return found


def _rows(work: Sequence[Any], cv2: Sequence[Any], delay: Any) -> tuple[Any, Any, Any]:
    """Work, what is left of a piece in work as a share of it, and delay, side by side: shape (stations, n) and (n,)."""
    rows = np.array(np.broadcast_arrays(*(np.atleast_1d(np.asarray(one, dtype=float)) for one in (*work, *cv2, delay))))
    return rows[: len(work)], (1 + rows[len(work) : -1]) / 2, rows[-1]
