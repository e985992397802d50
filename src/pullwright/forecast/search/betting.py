"""Evidence about the mean of shares, worth looking at after every run: somebody who bets against the mean gets rich only if it lies elsewhere.

Whatever the shares are like, the money of a fair bet is more than 1/a at any time with a chance of at most a (Ville 1939). No law of the
shares is supposed, only that they lie from 0 to 1 and come from runs of the same kind (Waudby-Smith & Ramdas 2024, Estimating means
of bounded random variables by betting, Journal of the Royal Statistical Society B 86).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, log, log1p

STAKE = 0.9
"""The most of the money that is put at risk in one run."""
HALVINGS = 16
"""So often is the end of an interval halved: it is known to a fiftieth of a thousandth."""


class Bet:
    """Money put on it that the mean of shares is above a threshold (or below it), one run after another.

    `evidence`: the logarithm of the money that has come of 1. Where the mean is not above (below) the threshold, it ever
    reaches log(1/a) with a chance of at most a. Each stake is the growth-optimal one for the shares seen before it (aGRAPA, section B.3 there).
    """

    __slots__ = ("_above", "_many", "_mean", "_spread", "_threshold", "evidence")

    def __init__(self, threshold: float, *, above: bool) -> None:
        self._above = above
        self._threshold = threshold if above else 1.0 - threshold
        self._many, self._mean = 1, min(max(self._threshold, 0.0), 1.0)
        self._spread = self._mean * (1.0 - self._mean)
        self.evidence = inf if self._threshold < 0 else 0.0

    def add(self, share: float) -> None:
        """Take in the share of one more run."""
        seen = share if self._above else 1.0 - share
        if seen > 0 >= self._threshold:  # no mean of shares is 0 where one of them is not
            self.evidence = inf
        edge, spread = self._mean - self._threshold, self._spread / self._many
        if edge > 0 and self.evidence < inf:
            stake = min(edge / (spread + edge * edge), STAKE / max(self._threshold, 1e-9))
            self.evidence += log1p(stake * (seen - self._threshold))
        self._many += 1
        before, self._mean = self._mean, self._mean + (seen - self._mean) / self._many
        self._spread += (seen - before) * (seen - self._mean)


def interval(shares: Sequence[float], wrong: float) -> tuple[float, float]:
    """Between which two values lies the mean of shares, whenever one looks, but for a chance of `wrong`?

    The means that neither of two bets, one upwards and one downwards, speaks against.

    >>> [round(end, 3) for end in interval([0.9, 0.95, 1.0] * 40, 0.05)]
    [0.917, 0.962]
    """
    need = log(2.0 / wrong)
    mean = sum(shares) / len(shares) if shares else 0.5
    return _edge(shares, mean, need, above=True), _edge(shares, mean, need, above=False)


def _edge(shares: Sequence[float], mean: float, need: float, *, above: bool) -> float:
    """The mean nearest to the end at which the bet says no more: below it (above it) the bet has won."""
    lost, won = mean, 0.0 if above else 1.0
    if not _won(shares, won, need, above=above):
        return won
    for _ in range(HALVINGS):
        middle = (lost + won) / 2
        lost, won = (lost, middle) if _won(shares, middle, need, above=above) else (middle, won)
    return won


def _won(shares: Sequence[float], threshold: float, need: float, *, above: bool) -> bool:
    bet = Bet(threshold, above=above)
    for share in shares:
        bet.add(share)
        if bet.evidence >= need:
            return True
    return False
