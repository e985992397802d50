"""Closed queueing networks with exponential times, exactly: mean value analysis, with several machines at a station too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Closed:
    """Pieces a second; mean pieces at each station, there and in work together; mean pieces in work."""

    rate: float
    at: tuple[float, ...]
    in_work: tuple[float, ...]


def closed_network(means: Sequence[float], machines: Sequence[int], pieces: int) -> Closed:
    """What comes of so many pieces that go round the stations one after another.

    Reiser & Lavenberg 1980, with the marginal chances of each station for more than one machine: what a piece finds on coming is the long
    run with one piece fewer. Means in s.
    """
    stations = len(means)
    chances = [np.zeros(pieces + 1) for _ in range(stations)]
    for one in chances:
        one[0] = 1.0
    rate = 0.0
    for many in range(1, pieces + 1):
        numbers = np.arange(1, many + 1)
        waits = [
            float((numbers / np.minimum(numbers, machines[k]) * means[k]) @ chances[k][:many]) for k in range(stations)
        ]
        rate = many / sum(waits)
        for k in range(stations):
            above = rate * means[k] / np.minimum(numbers, machines[k]) * chances[k][:many]
            chances[k] = np.concatenate([[1 - above.sum()], above, np.zeros(pieces - many)])
    counts = np.arange(pieces + 1)
    return Closed(
        rate,
        tuple(float(counts @ one) for one in chances),
        tuple(float(np.minimum(counts, machines[k]) @ one) for k, one in enumerate(chances)),
    )
