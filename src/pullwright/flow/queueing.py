"""How long a piece waits at a station, and how uneven it passes the flow on: the VUT equation and its companions.

Hopp & Spearman, Factory Physics, chapters 8 and 9 (from memory; the tests hold it against exact queues). Plain functions of floats or
arrays alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np


def waiting_time(ca2: Any, ce2: Any, load: Any, te: Any, machines: Any) -> Any:
    """How long does a piece wait in queue, on average? In the unit of `te`; infinite where the load is 1 or more.

    `ca2` and `ce2` are the squared cv of the time between arrivals and of the effective process time, `load` is the utilisation,
    `machines` work side by side. V x U x T = (ca² + ce²)/2 · u^(√(2(m+1)) - 1) / (m (1 - u)) · te (Kingman 1961 for one machine, with
    Sakasegawa's 1977 form for m). Exact for M/M/1 and M/G/1; an approximation otherwise.

    >>> round(float(waiting_time(1.0, 1.0, 0.8, 10.0, 1)), 9)
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


def thinned_cv2(cv2: Any, share: Any) -> Any:
    """How uneven is what is left of a stream when each piece goes this way with probability `share`?

    c² = p c² + 1 - p: the less is left, the more it comes at random (Whitt 1983, from memory; exact for renewal streams).

    >>> float(thinned_cv2(0.0, 0.25))
    0.75
    """
    return share * np.asarray(cv2) + 1 - share


def merged_cv2(rates: Sequence[Any], cv2s: Sequence[Any]) -> Any:
    """How uneven is the stream that several streams make together? The mean of their squared cv, weighted by their rates.

    The asymptotic method for a superposition of renewal streams (Whitt 1983, from memory); 1 where nothing comes.

    >>> float(merged_cv2([1.0, 3.0], [2.0, 1.0]))
    1.25
    """
    total = sum(rates)
    some = np.asarray(total) > 0
    weighted = sum(rate * np.asarray(cv2) for rate, cv2 in zip(rates, cv2s, strict=True))
    return np.where(some, weighted / np.where(some, total, 1.0), 1.0)


def lot_wait(comes: Any, goes: Any, te: Any, rate: Any) -> Any:
    """How long does a piece wait at a step for the rest of its lot, when `comes` pieces arrive and `goes` pieces leave together?

    While the lot that came is worked on, (k - 1)/2 te. Then, where smaller lots go on, (n - 1)/2 te more; where larger ones do, (k - 1)/2 te
    for the pieces that came together and (n - k)/2 / rate until the others have come too. `te` in s, `rate` in pieces/s of one step.
    Hopp & Spearman, Factory Physics, chapter 9 (from memory): wait in batch and wait to batch.

    >>> float(lot_wait(10.0, 10.0, 60.0, 0.01)), float(lot_wait(1.0, 11.0, 5.0, 0.1))
    (540.0, 50.0)
    """
    together = np.minimum(comes, goes)
    gathered = np.maximum(np.asarray(goes) - comes, 0.0) / 2
    with np.errstate(all="ignore"):
        waits = np.where(gathered > 0, np.divide(gathered, rate), 0.0)
    return (np.asarray(comes) - 1) / 2 * te + (together - 1) / 2 * te + waits
