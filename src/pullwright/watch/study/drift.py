"""Do readings drift: runs about the median, a trend with its slope, the first half beside the second; in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import comb, sqrt

import numpy as np
from numpy.typing import NDArray

from pullwright.watch.study.spread import lag_one

LEAST = 6
"""Fewer readings than this say nothing of drift."""
CHANCE = 0.05
"""What chance alone does more seldom than this is said to be there (common practice)."""
_EXACT_TREND = 40
_EXACT_RUNS = 200


def runs_test(values: Sequence[float]) -> tuple[int, float, float]:
    """Do quick and slow readings come in spells, or take turns? Runs above and below the median.

    Result: the number of runs, how many are expected by chance, and the two-sided probability of a number as odd as this
    (exact up to 200 readings; readings at the median are left out). 1.0 where all are on one side.
    Source: Wald & Wolfowitz (1940), Annals of Mathematical Statistics 11.

    >>> runs, expected, chance = runs_test([1, 2, 3, 4, 5, 6, 7, 8, 9, 10])
    >>> runs, expected, round(chance, 4)
    (2, 6.0, 0.0159)
    """
    x = np.asarray(values, dtype=np.float64)
    middle = float(np.median(x))
    above = x[x != middle] > middle
    high, low = int(above.sum()), int((~above).sum())
    if not high or not low:
        return (1 if above.size else 0), (1.0 if above.size else 0.0), 1.0
    runs = 1 + int(np.count_nonzero(above[1:] != above[:-1]))
    n = high + low
    expected = 1 + 2 * high * low / n
    if n <= _EXACT_RUNS:
        few = sum(_ways(r, high, low) for r in range(2, runs + 1)) / comb(n, low)
        many = sum(_ways(r, high, low) for r in range(runs, n + 1)) / comb(n, low)
        return runs, expected, min(1.0, 2 * min(few, many))
    variance = (expected - 1) * (expected - 2) / (n - 1)
    return runs, expected, _two_sided((abs(runs - expected) - 0.5) / sqrt(variance))


def _ways(runs: int, high: int, low: int) -> int:
    half, odd = divmod(runs, 2)
    if odd:
        return comb(high - 1, half) * comb(low - 1, half - 1) + comb(high - 1, half - 1) * comb(low - 1, half)
    return 2 * comb(high - 1, half - 1) * comb(low - 1, half - 1)


@dataclass(frozen=True, slots=True)
class Trend:
    """Kendall's tau with its two-sided probability by chance, and Sen's slope (per cycle) with its interval at 90 %."""

    tau: float
    chance: float
    slope: float
    slope_low: float
    slope_high: float


def trend_of(values: Sequence[float], cycles: Sequence[float] | None = None) -> Trend:
    """Do the readings rise or fall from cycle to cycle, and by how much?

    Parameters: the readings in order, two or more; `cycles`, their numbers (1, 2, 3 ... where nothing is said), rising.
    Result: the trend; its probability is exact for up to 40 readings without ties, else by the normal law with ties counted in.
    Source: Mann (1945), Econometrica 13; Kendall (1955), Rank Correlation Methods; Sen (1968), JASA 63.

    >>> trend = trend_of([52, 50, 51, 48, 47, 46, 44, 45])
    >>> round(trend.slope, 2), trend.tau < -0.8, trend.chance < 0.01
    (-1.1, True, True)
    """
    x = np.asarray(values, dtype=np.float64)
    n = x.size
    t = np.arange(1.0, n + 1) if cycles is None else np.asarray(cycles, dtype=np.float64)
    first, later = np.triu_indices(n, 1)
    rise, apart = x[later] - x[first], t[later] - t[first]
    signs = np.sign(rise) * np.sign(apart)
    score = int(signs.sum())
    pairs = n * (n - 1) // 2
    ties = np.unique(x, return_counts=True)[1]
    times = np.unique(t, return_counts=True)[1]
    tau = score / pairs if pairs else 0.0
    variance = _variance(n, ties, times)
    slopes = np.sort(rise[apart != 0] / apart[apart != 0])
    if variance <= 0 or not slopes.size:
        return Trend(tau, 1.0, 0.0, 0.0, 0.0)
    if n <= _EXACT_TREND and ties.size == n and times.size == n:
        chance = _exact_chance(n, (pairs - abs(score)) // 2)
    else:
        chance = _two_sided((abs(score) - 1) / sqrt(variance)) if score else 1.0
    spread = 1.6448536269514722 * sqrt(variance)
    ends = np.clip([(slopes.size - spread) / 2, (slopes.size + spread) / 2], 0, slopes.size - 1)
    low, high = np.interp(ends, np.arange(slopes.size), slopes)
    return Trend(tau, chance, float(np.median(slopes)), float(low), float(high))


def _variance(n: int, ties: NDArray[np.int64], times: NDArray[np.int64]) -> float:
    def summed(counts: NDArray[np.int64], power: int) -> float:
        c = counts.astype(np.float64)
        return float({1: c * (c - 1), 2: c * (c - 1) * (c - 2), 3: c * (c - 1) * (2 * c + 5)}[power].sum())

    if n < 3:
        return 0.0
    v = (n * (n - 1) * (2 * n + 5) - summed(ties, 3) - summed(times, 3)) / 18
    v += summed(ties, 2) * summed(times, 2) / (9 * n * (n - 1) * (n - 2))
    return v + summed(ties, 1) * summed(times, 1) / (2 * n * (n - 1))


@lru_cache(maxsize=_EXACT_TREND)
def _inversions(n: int) -> tuple[int, ...]:
    """How many orders of n things have 0, 1, 2 ... pairs the wrong way round?"""
    counts = [1]
    for k in range(2, n + 1):
        longer = [0] * (len(counts) + k - 1)
        for start in range(k):
            for place, ways in enumerate(counts):
                longer[start + place] += ways
        counts = longer
    return tuple(counts)


def _exact_chance(n: int, wrong: int) -> float:
    ways = _inversions(n)
    return min(1.0, 2 * sum(ways[: wrong + 1]) / sum(ways))


def _two_sided(z: float) -> float:
    from scipy.special import ndtr

    return float(min(1.0, 2 * ndtr(-max(0.0, z))))


def turning_points(values: Sequence[float]) -> tuple[int, float, float]:
    """How often does it turn from rising to falling or back? Few turns mean waves, many mean taking turns.

    Result: turns, how many are expected by chance, two-sided probability (normal law; readings like the one before left out).
    Source: Bienaymé (1874); Kendall & Stuart, The Advanced Theory of Statistics, volume 3 (from memory).

    >>> turning_points([1, 3, 2, 4, 3, 5, 4, 6])[:2]
    (6, 4.0)
    """
    kept = [*values[:1], *(later for one, later in pairwise(values) if later != one)]
    n = len(kept)
    if n < 3:
        return 0, 0.0, 1.0
    turns = sum((b - a) * (c - b) < 0 for a, b, c in zip(kept, kept[1:], kept[2:], strict=False))
    expected = 2 * (n - 2) / 3
    return turns, expected, _two_sided((abs(turns - expected) - 0.5) / sqrt((16 * n - 29) / 90))


def halves(values: Sequence[float]) -> tuple[float, float, float]:
    """Is the second half of the readings like the first? Both means, and the two-sided probability by chance.

    Source: Welch (1947), Biometrika 34.

    >>> first, second, chance = halves([10, 11, 10, 11, 14, 15, 14, 15])
    >>> first, second, chance < 0.001
    (10.5, 14.5, True)
    """
    from scipy.special import stdtr

    x = np.asarray(values, dtype=np.float64)
    one, two = x[: x.size // 2], x[(x.size + 1) // 2 :]
    if one.size < 2:
        return float(one.mean()) if one.size else float(x.mean()), float(two.mean()) if two.size else float(x.mean()), 1.0  # fmt: skip
    a, b = float(one.var(ddof=1)) / one.size, float(two.var(ddof=1)) / two.size
    apart = float(two.mean() - one.mean())
    if a + b <= 0:
        return float(one.mean()), float(two.mean()), 1.0 if apart == 0 else 0.0
    freedom = (a + b) ** 2 / (a**2 / (one.size - 1) + b**2 / (two.size - 1))
    return float(one.mean()), float(two.mean()), float(2 * stdtr(freedom, -abs(apart) / sqrt(a + b)))


@dataclass(frozen=True, slots=True)
class Drift:
    """What the order of the readings says; times in s, `slope` in s a cycle, every `..._chance` two-sided by chance alone."""

    readings: int
    runs: int
    runs_expected: float
    runs_chance: float
    turns: int
    turns_expected: float
    turns_chance: float
    lag_one: float
    lag_one_limit: float
    trend: Trend
    first_half: float
    second_half: float
    halves_chance: float

    def there(self, chance: float = CHANCE) -> bool:
        """Is there a trend that chance alone seldom makes?"""
        return self.readings >= LEAST and self.trend.chance < chance

    def spells(self, chance: float = CHANCE) -> bool:
        """Do slow and quick readings come in spells, or take turns, more than chance makes them?"""
        return self.readings >= LEAST and self.runs_chance < chance

    def sentence(self, chance: float = CHANCE, *, learning: bool = False) -> str:
        """In words: what drifts, and what is worth looking for.

        >>> print(drift_of([52, 50, 51, 48, 47, 46, 44, 45]).sentence(learning=True))
        readings fall by 1.1 s a cycle (first half 50.2 s, second half 45.5 s): still learning
        """
        if self.readings < LEAST:
            return f"too few readings to see a drift: {LEAST} or more are needed"
        between = f"first half {_seconds(self.first_half)} s, second half {_seconds(self.second_half)} s"
        if self.there(chance):
            slope = f"{_seconds(abs(self.trend.slope))} s a cycle ({between})"
            if self.trend.slope < 0:
                why = "still learning" if learning else "still learning, or the work has changed"
                return f"readings fall by {slope}: {why}"
            return f"readings rise by {slope}: does a tool wear, a box run empty, or somebody tire?"
        if self.spells(chance):
            if self.runs < self.runs_expected:
                return "quick and slow readings come in spells: what changes between them?"
            return "quick and slow readings take turns: are there two ways, two hands or two machines?"
        return "no drift"


def _seconds(value: float) -> str:
    text = f"{value:.3g}"
    return f"{value:.0f}" if "e" in text else text


def drift_of(values: Sequence[float], cycles: Sequence[float] | None = None) -> Drift:
    """Do these readings drift? See `Drift`; any number of readings, one or more, in the order in which they were taken.

    >>> drift_of([41, 44, 39, 45, 40, 47, 38, 43, 42, 41]).sentence()
    'no drift'
    """
    runs, runs_expected, runs_chance = runs_test(values)
    turns, turns_expected, turns_chance = turning_points(values)
    first, second, halves_chance = halves(values)
    n = len(values)
    return Drift(
        readings=n,
        runs=runs,
        runs_expected=runs_expected,
        runs_chance=runs_chance,
        turns=turns,
        turns_expected=turns_expected,
        turns_chance=turns_chance,
        lag_one=lag_one(values),
        lag_one_limit=1.96 / sqrt(n),
        trend=trend_of(values, cycles),
        first_half=first,
        second_half=second,
        halves_chance=halves_chance,
    )


def holm(chances: Sequence[float], chance: float = CHANCE) -> tuple[bool, ...]:
    """Which of several tests made at once are beyond chance, so that a steady study cries drift in one of twenty only?

    Source: Holm (1979), Scandinavian Journal of Statistics 6.

    >>> holm([0.001, 0.04, 0.3])
    (True, False, False)
    """
    order = sorted(range(len(chances)), key=lambda index: chances[index])
    beyond = [False] * len(chances)
    for rank, index in enumerate(order):
        if chances[index] >= chance / (len(chances) - rank):
            break
        beyond[index] = True
    return tuple(beyond)
