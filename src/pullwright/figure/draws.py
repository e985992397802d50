"""Equally likely draws of what we do not know: the same name gives the same draws, on every machine.

A given figure's draws are the midpoint quantiles of its distribution, put into an order made from its name. Each draw
stands for an equal share of the probability, so that a thousand of them hold the interval to its third digit where
plain random numbers would blur the second (Latin hypercube sampling; McKay, Beckman & Conover 1979, Technometrics 21).
Orders of different names are independent, so that figures of different names are.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from hashlib import sha256
from math import isinf, pi, sqrt

import numpy as np
from numpy.typing import NDArray

Draws = NDArray[np.float64]

N_DRAWS = 1000

_GRID = 2001
_NEGLIGIBLE = 45.0  # natural log; what is e^45 times rarer than the likeliest is left out


def order_of(name: str, count: int) -> NDArray[np.intp]:
    """In which order do the quantiles of the figure of this name come? A permutation of 0 to count - 1.

    Made from the bits of a counter-checked generator by sorting, so that it does not hang on the library's version.

    >>> bool((order_of("a", 5) == order_of("a", 5)).all()), sorted(order_of("b", 3).tolist())
    (True, [0, 1, 2])
    """
    seed = int.from_bytes(sha256(f"{name}\n{count}".encode()).digest()[:16], "big")
    return np.argsort(np.random.PCG64(seed).random_raw(count))


def midpoints(count: int) -> Draws:
    """The probabilities (i + 1/2) / count, at which the quantiles are taken."""
    return (np.arange(count) + 0.5) / count


def shuffled(name: str, quantiles: Draws) -> Draws:
    """Quantiles in the order of the name, as a read-only array."""
    draws = quantiles[order_of(name, quantiles.size)]
    draws.setflags(write=False)
    return draws


def constant(value: float) -> Draws:
    """The one draw of a certain figure, read-only, shape (1,)."""
    draws = np.array([value], dtype=np.float64)
    draws.setflags(write=False)
    return draws


def any_nan(draws: Draws) -> bool:
    """Is one of these draws not a number? Then the lowest of them is none either.

    >>> any_nan(np.array([1.0, np.nan])), any_nan(np.array([np.inf, -np.inf, 1e300]))
    (True, False)
    """
    lowest = np.minimum.reduce(draws)
    return bool(lowest != lowest)


def triangular(low: float, likely: float, high: float, count: int = N_DRAWS) -> Draws:
    """Quantiles of the triangular distribution on [low, high] with its mode at likely, in increasing order."""
    chance = midpoints(count)
    span = high - low
    rising = chance * span <= likely - low
    return np.where(
        rising,
        low + np.sqrt(chance * span * (likely - low)),
        high - np.sqrt((1 - chance) * span * (high - likely)),
    )


def _from_density(log_density: Callable[[Draws], Draws], low: float, high: float, chance: Draws) -> Draws:
    """Quantiles of a smooth one-peaked density on [low, high] by summing it on a grid drawn close about its peak."""
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(3):
            grid = np.linspace(low, high, _GRID)
            logs = log_density(grid)
            logs[np.isnan(logs)] = -np.inf
            kept = np.flatnonzero(logs >= logs.max() - _NEGLIGIBLE)
            low, high = grid[max(kept[0] - 1, 0)], grid[min(kept[-1] + 1, _GRID - 1)]
        grid = np.linspace(low, high, _GRID)
        density = np.exp(log_density(grid) - logs.max())
    reached = np.concatenate(([0.0], np.cumsum(density[1:] + density[:-1])))
    rising = np.concatenate(([True], np.diff(reached) > 0))
    quantiles: Draws = np.interp(chance * reached[-1], reached[rising], grid[rising])
    return quantiles


@lru_cache(maxsize=256)
def student_t(freedom: int, count: int = N_DRAWS, above: float = -np.inf, below: float = np.inf) -> Draws:
    """Quantiles of Student's t between two bounds, in increasing order.

    In the angle arctan(t / sqrt(freedom)) the density is a power of a cosine and the tails are finite.
    """
    root = sqrt(freedom)
    angles = _from_density(
        lambda angle: (freedom - 1) * np.log(np.cos(angle)) if freedom > 1 else np.zeros_like(angle),
        max(-pi / 2, float(np.arctan(above / root))),
        min(pi / 2, float(np.arctan(below / root))),
        midpoints(count),
    )
    quantiles = root * np.tan(angles)
    quantiles.setflags(write=False)
    return quantiles


@lru_cache(maxsize=256)
def jeffreys_beta(good: float, bad: float, count: int = N_DRAWS) -> Draws:
    """Quantiles of Beta(good + 1/2, bad + 1/2), in increasing order.

    In the angle arcsin(sqrt(share)) the density is sin^(2 good) cos^(2 bad), without poles at the ends.
    """

    def log_density(angle: Draws) -> Draws:
        rising = 2 * good * np.log(np.sin(angle)) if good else np.zeros_like(angle)
        return rising + (2 * bad * np.log(np.cos(angle)) if bad else 0.0)

    quantiles = np.sin(_from_density(log_density, 0.0, pi / 2, midpoints(count))) ** 2
    quantiles.setflags(write=False)
    return quantiles


@lru_cache(maxsize=256)
def chi(freedom: int, count: int = N_DRAWS) -> Draws:
    """Quantiles of the root of a chi-square variable, in increasing order."""
    quantiles = _from_density(
        lambda root: ((freedom - 1) * np.log(root) if freedom > 1 else 0.0) - root**2 / 2,
        0.0,
        sqrt(freedom) + 12.0,
        midpoints(count),
    )
    quantiles.setflags(write=False)
    return quantiles


def quantiles(draws: Draws, *chances: float) -> tuple[float, ...]:
    """Quantiles of equally likely draws, between the two nearest draws; infinite draws stay infinite.

    Each draw stands for the middle of its share of the probability (Hazen's rule), as in `midpoints`.

    >>> quantiles(np.array([1.0, 2.0, np.inf, np.inf]), 0.25, 0.9)
    (1.5, inf)
    """
    last = draws.size - 1
    places = [min(max(chance * draws.size - 0.5, 0.0), last) for chance in chances]
    wanted = sorted({near for place in places for near in (int(place), min(int(place) + 1, last))})
    ordered = np.partition(draws, wanted)
    return tuple(
        _between(float(ordered[int(place)]), float(ordered[min(int(place) + 1, last)]), place % 1) for place in places
    )


def _between(below: float, above: float, part: float) -> float:
    if part == 0 or below == above:
        return below
    if isinf(below) or isinf(above):
        return below if isinf(below) else above
    return below + part * (above - below)
