"""Transfer lots: what is handed on at a time need not be what is made between two set-ups.

Plain functions of floats or arrays alike; pieces and seconds.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np


def time_until_handed_on(set_up: Any, time: Any, lot: Any, transfer: Any) -> Any:
    """How long is a piece at the machine, from the beginning of its lot's set-up until it is handed on, on average (s)?

    s + (Q + k) t / 2 for transfer lots of k out of lots of Q; s + Q t where the whole lot goes on together (Hopp & Spearman, Factory Physics, ch. 9:
    lot splitting; from memory).

    >>> float(time_until_handed_on(600.0, 60.0, 50.0, 50.0)), float(time_until_handed_on(600.0, 60.0, 50.0, 10.0))
    (3600.0, 2400.0)
    """
    return set_up + (np.asarray(lot) + np.minimum(transfer, lot)) * time / 2


def time_through(times: Sequence[Any], lot: Any, transfer: Any) -> Any:
    """How long does a lot take through machines one after another, none of them waiting for anything else (s)?

    `times` of a piece at each (s). Handed on k at a time, the machines work beside one another: Σ k t + (Q / k - 1) k max t, for equal transfer lots;
    Q Σ t where the whole lot goes on together.

    >>> float(time_through([60.0, 90.0], 50.0, 50.0)), float(time_through([60.0, 90.0], 50.0, 10.0))
    (7500.0, 5100.0)
    """
    handed = np.minimum(transfer, lot)
    return sum(handed * time for time in times) + (lot - handed) * np.maximum.reduce(list(times))


def trips(rate: Any, transfer: Any) -> Any:
    """How often is something handed on? `rate` in pieces a day, so that the answer is a day's.

    >>> trips(200.0, 25.0)
    8.0
    """
    return rate / transfer
