"""Processes whose mean and percentiles are known exactly, many replications at a time, and how often an interval ought to hold them."""

from __future__ import annotations

import numpy as np
from scipy.stats import binom


def autoregressive(rng: np.random.Generator, runs: int, long: int, keeps: float, mean: float = 10.0) -> np.ndarray:
    """Runs of x(t) = mean + keeps (x(t - 1) - mean) + normal noise, steady from the first number on; (runs, long). Its percentiles are normal."""
    noise = rng.normal(size=(runs, long))
    found = np.empty((runs, long))
    found[:, 0] = noise[:, 0] / np.sqrt(1 - keeps**2)
    for t in range(1, long):
        found[:, t] = keeps * found[:, t - 1] + noise[:, t]
    return mean + found


def queue(rng: np.random.Generator, runs: int, long: int, load: float, *, steady: bool = True) -> np.ndarray:
    """Times in an M/M/1 queue with a mean service of 1, one customer after another (Lindley 1952); (runs, long).

    Steady from the first one on, or from an empty queue. The time is exponential with the mean 1 / (1 - load).
    """
    service = rng.exponential(size=(runs, long))
    between = rng.exponential(1 / load, size=(runs, long))
    waited = np.zeros(runs)
    if steady:
        waited = np.where(rng.random(runs) < load, rng.exponential(1 / (1 - load), size=runs), 0.0)
    found = np.empty((runs, long))
    for k in range(long):
        found[:, k] = waited + service[:, k]
        waited = np.maximum(found[:, k] - between[:, k], 0.0)
    return found


def often(level: float, tries: int) -> tuple[int, int]:
    """Between how many of the tries an interval of this level holds the truth, but for one chance in a thousand."""
    low, high = binom.ppf([0.0005, 0.9995], tries, level)
    return int(low), int(high)
