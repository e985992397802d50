"""The distributions that times are tried with: maximum likelihood, log-likelihood, distribution function and samples of each.

Everything works on many samples at once, one a row, shape (samples, readings), so that the parametric bootstrap of a test
takes one call. Parameters come as shape (samples, number of parameters).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pullwright.line.distributions import Distribution

Rows = NDArray[np.float64]
FamilyKey = Literal[
    "constant", "normal", "lognormal", "gamma", "weibull", "exponential", "triangular",
    "shifted lognormal", "shifted gamma", "shifted weibull",
]  # fmt: skip

_LEAST_SPREAD = 1e-12
_MOST_AT_ONCE = 2_000_000


@dataclass(frozen=True, slots=True)
class Family:
    """A family of distributions: its key, its words, what its parameters are called, and its four functions.

    `line` is the same distribution in a line file, None where a line file has no such name.
    """

    key: FamilyKey
    words: str
    parameters: tuple[str, ...]
    line: Distribution | None
    fit: Callable[[Rows], Rows]
    log_likelihood: Callable[[Rows, Rows], Rows]
    cdf: Callable[[Rows, Rows], Rows]
    sample: Callable[[Rows, tuple[int, int], np.random.Generator], Rows]
    moments: Callable[[Rows], tuple[float, float]]


# --- normal, lognormal, exponential -----------------------------------------------------------------------------------


def _fit_normal(x: Rows) -> Rows:
    return np.stack([x.mean(axis=1), np.maximum(x.std(axis=1), _LEAST_SPREAD)], axis=1)


def _ll_normal(p: Rows, x: Rows) -> Rows:
    z = (x - p[:, :1]) / p[:, 1:2]
    return np.asarray((-0.5 * z**2 - np.log(p[:, 1:2]) - 0.5 * np.log(2 * np.pi)).sum(axis=1))


def _cdf_normal(p: Rows, x: Rows) -> Rows:
    from scipy.special import ndtr

    return np.asarray(ndtr((x - p[:, :1]) / p[:, 1:2]))


def _fit_lognormal(x: Rows) -> Rows:
    return _fit_normal(np.log(x))


def _ll_lognormal(p: Rows, x: Rows) -> Rows:
    logs = np.log(x)
    return np.asarray(_ll_normal(p, logs) - logs.sum(axis=1))


def _lognormal_moments(p: Rows) -> tuple[float, float]:
    mu, sigma = float(p[0]), float(p[1])
    return float(np.exp(mu + sigma**2 / 2)), float(np.sqrt(np.expm1(sigma**2)))


def _ll_exponential(p: Rows, x: Rows) -> Rows:
    return np.asarray(-x.sum(axis=1) / p[:, 0] - x.shape[1] * np.log(p[:, 0]))


# --- gamma and Weibull: Newton's method on the shape -------------------------------------------------------------------


def _fit_gamma(x: Rows, least: float = 0.0) -> Rows:
    """Shape and scale; the shape by Newton's method on the digamma equation (Minka 2002), not below `least`."""
    from scipy.special import psi, zeta

    mean = x.mean(axis=1)
    gap = np.maximum(np.log(mean) - np.log(x).mean(axis=1), _LEAST_SPREAD)
    k = (3 - gap + np.sqrt((gap - 3) ** 2 + 24 * gap)) / (12 * gap)
    for _ in range(4):
        slope = 1 / k - zeta(2, k)  # zeta(2, k) is the trigamma function
        k = 1 / (1 / k + (np.log(k) - psi(k) - gap) / (k**2 * slope))
    k = np.maximum(k, least)
    return np.stack([k, mean / k], axis=1)


def _ll_gamma(p: Rows, x: Rows) -> Rows:
    from scipy.special import gammaln

    k, scale = p[:, 0], p[:, 1]
    n = x.shape[1]
    return np.asarray((k - 1) * np.log(x).sum(axis=1) - x.sum(axis=1) / scale - n * (gammaln(k) + k * np.log(scale)))


def _cdf_gamma(p: Rows, x: Rows) -> Rows:
    from scipy.special import gammainc

    return np.asarray(gammainc(p[:, :1], np.maximum(x, 0) / p[:, 1:2]))


def _fit_weibull(x: Rows, least: float = 0.0) -> Rows:
    """Shape and scale; the shape by Newton's method on the profile equation, not below `least`."""
    logs = np.log(x)
    top = logs.max(axis=1, keepdims=True)
    below = logs - top
    middle = below.mean(axis=1)
    k = np.pi / sqrt(6) / np.maximum(below.std(axis=1), 1e-9)
    for _ in range(7):
        weight = np.exp(k[:, None] * below)
        whole = weight.sum(axis=1)
        first = (weight * below).sum(axis=1) / whole
        second = (weight * below**2).sum(axis=1) / whole
        step = (first - 1 / k - middle) / (second - first**2 + 1 / k**2)
        k = np.clip(k - step, k / 3, 3 * k)
    k = np.maximum(k, least)
    scale = np.exp(top[:, 0]) * np.exp(k[:, None] * below).mean(axis=1) ** (1 / k)
    return np.stack([k, scale], axis=1)


def _ll_weibull(p: Rows, x: Rows) -> Rows:
    k, scale = p[:, :1], p[:, 1:2]
    z = np.log(x / scale)
    return np.asarray((np.log(k / scale) + (k - 1) * z - np.exp(k * z)).sum(axis=1))


def _cdf_weibull(p: Rows, x: Rows) -> Rows:
    return np.asarray(-np.expm1(-((np.maximum(x, 0) / p[:, 1:2]) ** p[:, :1])))


def _weibull_moments(p: Rows) -> tuple[float, float]:
    from scipy.special import gamma

    one, two = float(gamma(1 + 1 / p[0])), float(gamma(1 + 2 / p[0]))
    return float(p[1]) * one, sqrt(max(0.0, two / one**2 - 1))


# --- triangular: the mode lies on a reading, the ends are searched ------------------------------------------------------


def _fit_triangular(x: Rows) -> Rows:
    """Low, likely and high. For given ends the likeliest mode is one of the readings; the ends are searched, ever closer."""
    most = max(1, _MOST_AT_ONCE // (_ENDS * _ENDS * x.shape[1]))
    return np.concatenate([_triangles(x[start : start + most]) for start in range(0, len(x), most)])


_ENDS = 9


def _triangles(x: Rows) -> Rows:
    x = np.sort(x, axis=1)
    rows, n = x.shape
    low, high = x[:, :1], x[:, -1:]
    span = np.maximum(high - low, _LEAST_SPREAD)
    grid = np.geomspace(0.01, 3.0, _ENDS)
    below, above = np.minimum(span * grid, low), span * grid
    before = np.arange(n, dtype=np.float64)
    after = n - 1 - before
    for turn in range(4):
        a, b = low - below, high + above
        # The 1e-12 keeps a reading at the end of the axis (0 s) from having no logarithm.
        left = np.log(x[:, None, :] - a[:, :, None] + 1e-12 * span[:, :, None])
        right = np.log(b[:, :, None] - x[:, None, :])
        rising = left.cumsum(axis=2) - left - before * left
        falling = right[:, :, ::-1].cumsum(axis=2)[:, :, ::-1] - right - after * right
        whole = rising[:, :, None, :] + falling[:, None, :, :]
        score = whole.max(axis=3) - n * np.log(b[:, None, :] - a[:, :, None])
        best = score.reshape(rows, -1).argmax(axis=1)
        i, j = np.divmod(best, _ENDS)
        each = np.arange(rows)
        mode = x[each, whole[each, i, j].argmax(axis=1)]
        found = np.stack([a[each, i], mode, b[each, j]], axis=1)
        if turn < 3:
            ratio = (300.0 ** (1 / (_ENDS - 1))) ** (0.3**turn)
            closer = np.geomspace(1 / ratio, ratio, _ENDS)
            below = np.minimum(below[each, i][:, None] * closer, low)
            above = above[each, j][:, None] * closer
    return found


def _ll_triangular(p: Rows, x: Rows) -> Rows:
    a, c, b = p[:, :1], p[:, 1:2], p[:, 2:3]
    with np.errstate(divide="ignore", invalid="ignore"):
        rising, falling = np.log((x - a) / (c - a)), np.log((b - x) / (b - c))
    side = np.where(x < c, rising, np.where(x > c, falling, 0.0))
    return np.asarray((side + np.log(2 / (b - a))).sum(axis=1))


def _cdf_triangular(p: Rows, x: Rows) -> Rows:
    a, c, b = p[:, :1], p[:, 1:2], p[:, 2:3]
    with np.errstate(divide="ignore", invalid="ignore"):
        rising = (x - a) ** 2 / ((b - a) * (c - a))
        falling = 1 - (b - x) ** 2 / ((b - a) * (b - c))
    return np.clip(np.where(x < c, rising, np.where(x > c, falling, (c - a) / (b - a))), 0.0, 1.0)


def _sample_triangular(p: Rows, size: tuple[int, int], rng: np.random.Generator) -> Rows:
    return rng.triangular(p[0], p[1], p[2], size)


def _triangular_moments(p: Rows) -> tuple[float, float]:
    a, c, b = (float(one) for one in p)
    mean = (a + b + c) / 3
    return mean, sqrt(max(0.0, a * a + b * b + c * c - a * b - a * c - b * c) / 18) / mean


# --- a threshold below which nobody is ---------------------------------------------------------------------------------

_THRESHOLDS = 11


def _shifted(
    key: FamilyKey,
    words: str,
    names: tuple[str, ...],
    fit: Callable[[Rows], Rows],
    log_likelihood: Callable[[Rows, Rows], Rows],
    cdf: Callable[[Rows, Rows], Rows],
    sample: Callable[[Rows, tuple[int, int], np.random.Generator], Rows],
    moments: Callable[[Rows], tuple[float, float]],
) -> Family:
    """The same family above a least time, searched for between 0 and a little below the least reading.

    Close to the least reading the likelihood has no bound (a known trap of three-parameter families), so that the threshold
    keeps away from it by the gap that is expected below the least of n exponential times, and shapes have no pole there.
    """

    def fit_shifted(x: Rows) -> Rows:
        rows, n = x.shape
        each = np.arange(rows)
        least = x.min(axis=1)
        nearest = np.minimum(np.maximum((x.mean(axis=1) - least) / n, _LEAST_SPREAD), least)
        widest = np.maximum(least, nearest)
        share = np.linspace(0.0, 1.0, _THRESHOLDS)
        gaps = nearest[:, None] * (widest / nearest)[:, None] ** share
        for turn in range(2):
            off = (x[:, None, :] - (least[:, None] - gaps)[:, :, None]).reshape(-1, n)
            params = fit(off)
            score = log_likelihood(params, off).reshape(rows, -1)
            best = score.argmax(axis=1)
            found = np.concatenate(
                [(least - gaps[each, best])[:, None], params.reshape(rows, _THRESHOLDS, -1)[each, best]], axis=1
            )
            if turn == 0:
                lower, upper = gaps[each, np.maximum(best - 1, 0)], gaps[each, np.minimum(best + 1, _THRESHOLDS - 1)]
                gaps = lower[:, None] * (upper / lower)[:, None] ** share
        return found

    def shifted_moments(p: Rows) -> tuple[float, float]:
        mean, cv = moments(p[1:])
        return float(p[0]) + mean, cv * mean / (float(p[0]) + mean)

    return Family(
        key,
        words,
        ("least time", *names),
        None,
        fit_shifted,
        lambda p, x: log_likelihood(p[:, 1:], x - p[:, :1]),
        lambda p, x: cdf(p[:, 1:], np.maximum(x - p[:, :1], 1e-300)),
        lambda p, size, rng: p[0] + sample(p[1:], size, rng),
        shifted_moments,
    )


def _cdf_lognormal(p: Rows, x: Rows) -> Rows:
    return _cdf_normal(p, np.log(x))


def _sample_lognormal(p: Rows, size: tuple[int, int], rng: np.random.Generator) -> Rows:
    return rng.lognormal(p[0], p[1], size)


def _sample_gamma(p: Rows, size: tuple[int, int], rng: np.random.Generator) -> Rows:
    return rng.gamma(p[0], p[1], size)


def _sample_weibull(p: Rows, size: tuple[int, int], rng: np.random.Generator) -> Rows:
    return np.asarray(p[1] * rng.weibull(p[0], size))


def _gamma_moments(p: Rows) -> tuple[float, float]:
    return float(p[0] * p[1]), 1 / sqrt(float(p[0]))


FAMILIES: tuple[Family, ...] = (
    Family("normal", "normal", ("mean", "standard deviation"), None, _fit_normal, _ll_normal, _cdf_normal,
           lambda p, size, rng: rng.normal(p[0], p[1], size), lambda p: (float(p[0]), float(p[1] / p[0]))),
    Family("lognormal", "lognormal", ("mean of logarithms", "their standard deviation"), "lognormal", _fit_lognormal,
           _ll_lognormal, _cdf_lognormal, _sample_lognormal, _lognormal_moments),
    Family("gamma", "gamma", ("shape", "scale"), "gamma", _fit_gamma, _ll_gamma, _cdf_gamma, _sample_gamma, _gamma_moments),
    Family("weibull", "Weibull", ("shape", "scale"), "weibull", _fit_weibull, _ll_weibull, _cdf_weibull, _sample_weibull,
           _weibull_moments),
    Family("exponential", "exponential", ("mean",), "exponential", lambda x: x.mean(axis=1, keepdims=True), _ll_exponential,
           lambda p, x: -np.expm1(-np.maximum(x, 0) / p[:, :1]), lambda p, size, rng: rng.exponential(p[0], size),
           lambda p: (float(p[0]), 1.0)),
    Family("triangular", "triangular", ("low", "likely", "high"), "triangular", _fit_triangular, _ll_triangular,
           _cdf_triangular, _sample_triangular, _triangular_moments),
    _shifted("shifted lognormal", "lognormal above a least time", ("mean of logarithms", "their standard deviation"),
             _fit_lognormal, _ll_lognormal, _cdf_lognormal, _sample_lognormal, _lognormal_moments),
    _shifted("shifted gamma", "gamma above a least time", ("shape", "scale"), lambda x: _fit_gamma(x, 1.0), _ll_gamma,
             _cdf_gamma, _sample_gamma, _gamma_moments),
    _shifted("shifted weibull", "Weibull above a least time", ("shape", "scale"), lambda x: _fit_weibull(x, 1.0),
             _ll_weibull, _cdf_weibull, _sample_weibull, _weibull_moments),
)  # fmt: skip
BY_KEY: dict[str, Family] = {family.key: family for family in FAMILIES}
