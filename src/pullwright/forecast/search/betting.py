"""Evidence about the mean of shares, worth looking at after every run: somebody who bets against the mean gets rich only if it lies elsewhere.

Whatever the shares are like, the money of a fair bet is more than 1/a at any time with a chance of at most a (Ville 1939). No law of the
shares is supposed, only that they lie from 0 to 1 and come from runs of the same kind (Waudby-Smith & Ramdas 2024, Estimating means
of bounded random variables by betting, Journal of the Royal Statistical Society B 86). The money is parted among stakes from bold to timid, each of which goes on
with what it has: whichever suits the shares soon holds nearly all of it (diversified Kelly betting, section B there, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, log

import numpy as np
from numpy.typing import NDArray

STAKES = (0.98, 0.5, 0.25, 0.125, 0.0625, 0.03125, 0.015625)
"""The parts of its money that each stake puts at risk in one run."""
BEGIN = (0.4, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1)
"""The money that each stake begins with: most for the bold one, because shares on time hardly differ from run to run."""
HALVINGS = 16
"""So often is the end of an interval halved: it is known to a fiftieth of a thousandth."""


class Bet:
    """Money put on it that the mean of shares is above a threshold (or below it), one run after another.

    `evidence`: the logarithm of the money that has come of 1. Where the mean is not above (below) the threshold, it ever
    reaches log(1/a) with a chance of at most a.
    """

    __slots__ = ("_above", "_money", "_odds", "_threshold", "_won")

    def __init__(self, threshold: float, *, above: bool) -> None:
        self._above = above
        self._threshold = threshold if above else 1.0 - threshold
        self._won = self._threshold < 0
        self._money = list(BEGIN)
        self._odds = [stake / max(self._threshold, 1e-9) for stake in STAKES]

    def add(self, share: float) -> None:
        """Take in the share of one more run."""
        seen = share if self._above else 1.0 - share
        gain = seen - self._threshold
        self._won = self._won or seen > 0 >= self._threshold  # no mean of shares is 0 where one of them is not
        self._money = [money * (1.0 + odds * gain) for money, odds in zip(self._money, self._odds, strict=True)]

    @property
    def evidence(self) -> float:
        """The logarithm of the money that has come of 1."""
        money = sum(self._money)
        return inf if self._won else log(money) if money > 0 else -inf


def interval(shares: Sequence[float], wrong: float) -> tuple[float, float]:
    """Between which two values lies the mean of shares, whenever one looks, but for a chance of `wrong`?

    The means that neither of two bets, one upwards and one downwards, speaks against.

    >>> [round(end, 3) for end in interval([0.9, 0.95, 1.0] * 40, 0.05)]
    [0.913, 0.962]
    """
    seen = np.array(shares, float)
    need = log(2.0 / wrong)
    mean = float(seen.mean()) if seen.size else 0.5
    return _edge(seen, mean, need), 1.0 - _edge(1.0 - seen, 1.0 - mean, need)


def _edge(shares: NDArray[np.float64], mean: float, need: float) -> float:
    """The largest threshold, but for the last halving, of which a bet has shown that the mean is above it."""
    if not _shown(shares, 0.0, need):
        return 0.0
    won, lost = 0.0, mean
    for _ in range(HALVINGS):
        middle = (lost + won) / 2
        won, lost = (middle, lost) if _shown(shares, middle, need) else (won, middle)
    return won


def _shown(shares: NDArray[np.float64], threshold: float, need: float) -> bool:
    """Did a bet on a mean above the threshold ever come to so much? As `Bet` does it, for all runs at once."""
    if threshold <= 0.0:
        return bool((shares > 0).any())
    odds = np.array(STAKES)[:, None] / threshold
    money = np.log1p(odds * (shares - threshold)).cumsum(axis=1) + np.log(BEGIN)[:, None]
    return bool((np.logaddexp.reduce(money, axis=0) >= need).any())
