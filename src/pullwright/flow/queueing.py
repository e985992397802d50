"""How long a piece waits at a station, and how uneven it passes the flow on: the VUT equation and its companions.

Hopp & Spearman, Factory Physics, chapters 8 and 9 (from memory; the tests hold it against exact queues). Plain functions of floats or
arrays alike.
"""

from __future__ import annotations

from typing import Any

import numpy as np


def waiting_time(ca2: Any, ce2: Any, load: Any, te: Any, machines: Any) -> Any:
    """How long does a piece wait in queue, on average? In the unit of `te`; infinite where the load is 1 or more.

    `ca2` and `ce2` are the squared cv of the time between arrivals and of the effective process time, `load` is the utilisation,
    `machines` work side by side. V x U x T = (ca² + ce²)/2 · u^(√(2(m+1)) - 1) / (m (1 - u)) · te (Kingman 1961 for one machine, with
    Sakasegawa's 1977 form for m). Exact for M/M/1 and M/G/1; an approximation otherwise.

    >>> float(waiting_time(1.0, 1.0, 0.8, 10.0, 1))
    40.0
    """
    with np.errstate(all="ignore"):
        below = np.minimum(load, 1.0)
        variability = (np.asarray(ca2) + ce2) / 2
        queue = below ** (np.sqrt(2 * (np.asarray(machines) + 1)) - 1) / (machines * (1 - below)) * te
        return np.where(np.asarray(load) >= 1, np.inf, variability * np.where(np.asarray(load) >= 1, 0.0, queue))


def departure_cv2(ca2: Any, ce2: Any, load: Any, machines: Any) -> Any:
    """How uneven do pieces leave a station? Squared cv of the time between departures.

    cd² = 1 + (1 - u²)(ca² - 1) + u²/√m (ce² - 1); a station loaded to 1 or more passes on its own unevenness.

    >>> float(departure_cv2(0.5, 2.0, 1.0, 1))
    2.0
    """
    u2 = np.minimum(load, 1.0) ** 2
    return np.maximum(1 + (1 - u2) * (np.asarray(ca2) - 1) + u2 / np.sqrt(machines) * (np.asarray(ce2) - 1), 0.0)


def merged_cv2(rates: list[Any], cv2s: list[Any]) -> Any:
    """How uneven is the stream that several streams make together? The mean of their squared cv, weighted by their rates.

    The asymptotic method for a superposition of renewal streams (Whitt 1983, from memory).

    >>> float(merged_cv2([1.0, 3.0], [2.0, 1.0]))
    1.25
    """
    total = sum(rates)
    with np.errstate(all="ignore"):
        weighted = sum(rate * cv2 for rate, cv2 in zip(rates, cv2s, strict=True)) / total
    return np.where(np.asarray(total) > 0, weighted, 1.0)


def batch_wait(lot: Any, rate: Any) -> Any:
    """How long does a piece wait, on average, until its transfer lot is complete? (k - 1) / (2 · rate); Hopp & Spearman, chapter 9.

    >>> float(batch_wait(11, 0.1))
    50.0
    """
    return (np.asarray(lot) - 1) / (2 * rate)
