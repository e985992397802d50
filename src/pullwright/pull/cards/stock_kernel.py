"""The sums behind a base stock, draw by draw: arrays in, arrays out.

What is asked for in a lead time has the chances p(k) = p(k-1) (a + b/k) (Panjer 1981, ASTIN Bulletin 12): Poisson (a = 0), negative binomial (a > 0),
binomial (a < 0). All sums run upwards over terms above 0 from eight standard deviations below the mean, so that nothing cancels.
"""

from __future__ import annotations

from math import ceil, exp, floor, lgamma, log, log1p, sqrt
from typing import Any

import numpy as np
from numba import njit

POISSON_WITHIN = 1e-9
"""A variance that is this near to the mean is that of the Poisson distribution."""


@njit(cache=True, nogil=True, error_model="numpy")
def _rise(start: float, steps: float) -> float:
    """ln Γ(start + steps) - ln Γ(start), without the digits that two large numbers lose when one is taken from the other."""
    if start < 1000.0:
        return lgamma(start + steps) - lgamma(start)
    end = start + steps
    return (start - 0.5) * log1p(steps / start) + steps * log(end) - steps + (1.0 / end - 1.0 / start) / 12.0


@njit(cache=True, nogil=True, error_model="numpy")
def _negative_binomial(mean: float, ratio: float, k: float) -> float:
    r = mean / (ratio - 1.0)
    logs = _rise(r, k) - lgamma(k + 1.0) - r * log1p(ratio - 1.0)
    if k > 0.0:
        logs += k * log((ratio - 1.0) / ratio)
    return exp(logs)


@njit(cache=True, nogil=True, error_model="numpy")
def _binomial(trials: float, chance: float, k: float) -> float:
    if k > trials:
        return 0.0
    if chance >= 1.0:
        return 1.0 if k == trials else 0.0
    logs = _rise(trials - k + 1.0, k) - lgamma(k + 1.0) + (trials - k) * log1p(-chance)
    if k > 0.0:
        logs += k * log(chance)
    return exp(logs)


@njit(cache=True, nogil=True, error_model="numpy")
def _law(mean: float, variance: float) -> tuple[float, float, float, float, float, float, float, float, float]:
    """First count k, and for two laws that are mixed: the share of it at k, a, b, last count (infinite where there is none)."""
    rest = mean - floor(mean)
    variance = max(variance, rest * (1.0 - rest))  # whole pieces cannot vary less
    first = max(0.0, floor(mean - 8.0 * sqrt(variance)) - 1.0)
    if mean <= 0.0:
        return 0.0, 1.0, 0.0, 0.0, np.inf, 0.0, 0.0, 0.0, np.inf
    ratio = variance / mean
    if ratio > 1.0 + POISSON_WITHIN:
        r = mean / (ratio - 1.0)
        back = (ratio - 1.0) / ratio
        return first, _negative_binomial(mean, ratio, first), back, (r - 1.0) * back, np.inf, 0.0, 0.0, 0.0, np.inf
    if ratio >= 1.0 - POISSON_WITHIN:
        start = exp(first * log(mean) - mean - lgamma(first + 1.0))
        return first, start, 0.0, mean, np.inf, 0.0, 0.0, 0.0, np.inf
    # Two binomial laws whose mixture has this mean and variance (Adan, van Eenige & Resing 1995, from memory).
    below = (ratio - 1.0) / mean
    trials = max(floor(-1.0 / below + 1e-9), 1.0)
    share = 1.0  # none or one, below a mean of one
    if below > -1.0 + 1e-9:
        root = sqrt(max(-below * trials * (1.0 + trials) - trials, 0.0))
        share = min(max((1.0 + below * (1.0 + trials) + root) / (1.0 + below), 0.0), 1.0)
    chance = min(mean / (trials + 1.0 - share), 1.0)
    odds = chance / (1.0 - chance) if chance < 1.0 else 0.0
    few, many = share * _binomial(trials, chance, first), (1.0 - share) * _binomial(trials + 1.0, chance, first)
    if chance >= 1.0:  # all of the trials for certain: the sums below put each share at its own count
        few, many = share, 1.0 - share
    return first, few, -odds, (trials + 1.0) * odds, trials, many, -odds, (trials + 2.0) * odds, trials + 1.0


@njit(cache=True, nogil=True, error_model="numpy")
def _next(k: float, p: float, a: float, b: float, last: float) -> float:
    return p * (a + b / k) if k <= last else 0.0


@njit(cache=True, nogil=True, error_model="numpy")
def _at(k: float, law: Any, p: float, q: float) -> tuple[float, float, float]:
    """The shares of the two laws at the count `k`, from those at the count before it, and the chance that they make."""
    first, few, a, b, end, many, c, e, last = law
    if k == first:
        p, q = few, many
    elif end == np.inf or a != 0.0:
        p = _next(k, p, a, b, end)
        if last != np.inf:
            q = _next(k, q, c, e, last)
    if end != np.inf and a == 0.0:  # all of the trials for certain, or nothing at all: each share is at its own count
        return p, q, (p if k == end else 0.0) + (q if k == last else 0.0)
    return p, q, p + q


@njit(cache=True, nogil=True, error_model="numpy")
def met_and_shelf(mean: Any, variance: Any, top: Any, levels: Any) -> tuple[Any, Any]:
    """Share of the pieces met from the shelf, and pieces on the shelf, for stocks ordered up to `top`, `top` - 1, ... on `levels` levels, equally long.

    Mean over y = top - levels + 1 ... top of P(X <= y - 1) and of E[max(y - X, 0)]. Arrays of equal length.
    """
    met, shelf = np.zeros(mean.size), np.zeros(mean.size)
    for d in range(mean.size):
        if not np.isfinite(mean[d]) or not np.isfinite(variance[d]):
            continue
        law = _law(mean[d], variance[d])
        sure = mean[d] + 40.0 * sqrt(variance[d]) + 40.0
        k, p, q, chance, below = law[0], 0.0, 0.0, 0.0, 0.0
        while k < top[d] and k < sure:
            p, q, come = _at(k, law, p, q)
            chance += come
            below += chance
            if k >= top[d] - levels[d]:
                met[d] += chance
                shelf[d] += below
            k += 1.0
        if k < top[d]:  # all that can be asked for is below
            above = max(k, top[d] - levels[d])
            many = top[d] - above
            met[d] += many
            shelf[d] += many * (below + above - k) + many * (many + 1.0) / 2.0
        met[d] = min(met[d] / levels[d], 1.0)
        shelf[d] /= levels[d]
    return met, shelf


@njit(cache=True, nogil=True, error_model="numpy")
def fewest(mean: Any, variance: Any, each: Any, least: Any, levels: Any, wished: Any) -> Any:
    """The smallest whole multiple of `each`, from `least` on, that meets the `wished` share from the shelf; infinite where the demand is without end.

    What is alike from one to the next is worked out once.
    """
    found = np.full(mean.size, np.inf)
    longest = 1
    for d in range(mean.size):
        longest = max(longest, int(levels[d]))
    sums = np.zeros(longest)
    law = _law(0.0, 0.0)
    for d in range(mean.size):
        if not np.isfinite(mean[d]) or not np.isfinite(variance[d]):
            continue
        if d == 0 or mean[d] != mean[d - 1] or variance[d] != variance[d - 1]:
            law = _law(mean[d], variance[d])
        elif (
            each[d] == each[d - 1]
            and least[d] == least[d - 1]
            and levels[d] == levels[d - 1]
            and wished[d] == wished[d - 1]
        ):
            found[d] = found[d - 1]
            continue
        sure = mean[d] + 40.0 * sqrt(variance[d]) + 40.0
        lag, step = int(levels[d]), each[d]
        sums[:lag] = 0.0
        k, p, q, chance, below = law[0], 0.0, 0.0, 0.0, 0.0
        stop = max(ceil(max(least[d], k + 1.0) / step - 1e-9), 1.0) * step
        place = 0
        while True:
            if k >= sure:
                chance = 1.0
            else:
                p, q, come = _at(k, law, p, q)
                chance += come
            below += chance
            # sums[place] is the sum up to `levels` counts ago.
            met = (below - sums[place]) / lag
            sums[place] = below
            place = place + 1 if place + 1 < lag else 0
            k += 1.0
            if k >= stop:
                if met >= wished[d] - 1e-12:
                    found[d] = stop
                    break
                stop += step
    return found
