"""How a time varies from piece to piece: the shapes of a line file, fitted to mean and cv, and rows of draws from them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pullwright.forecast.luck.elementary import exponentials, logarithm, logarithms, normal, normals
from pullwright.forecast.luck.streams import fill_uniform, mixed, uniform
from pullwright.line.distributions import WIDEST_TRIANGLE, Distribution

Floats = NDArray[np.float64]

CONSTANT, EXPONENTIAL, LOGNORMAL, GAMMA, WEIBULL, TRIANGULAR, EMPIRICAL, EVEN = range(8)
KINDS: dict[Distribution, int] = {
    "constant": CONSTANT, "exponential": EXPONENTIAL, "lognormal": LOGNORMAL, "gamma": GAMMA, "weibull": WEIBULL,
    "triangular": TRIANGULAR, "empirical": EMPIRICAL,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Shape:
    """A distribution as the kernels take it: its kind, its mean, three parameters that belong to the kind, readings where it has them.

    constant: none. exponential: none. lognormal: mean and deviation of the logarithm. gamma: shape. weibull: 1 / shape, scale.
    triangular: least, likeliest, greatest. empirical: none.
    """

    kind: int
    mean: float
    a: float = 0.0
    b: float = 0.0
    c: float = 0.0
    readings: tuple[float, ...] = ()


def shape_of(distribution: Distribution, mean: float, cv: float, readings: Sequence[float] = ()) -> Shape:
    """Which member of this family of distributions has this mean (s) and cv (standard deviation / mean)?

    A cv of 0 and a mean of 0 are constant in every family but the empirical one, whose readings are scaled to the mean.
    Errors: ValueError for a mean or cv below 0 or without end, a triangle wider than there is one, an empirical one without readings.

    >>> lognormal = shape_of("lognormal", 60.0, 0.2)
    >>> round(math.exp(lognormal.a + lognormal.b**2 / 2), 9)
    60.0
    >>> triangle = shape_of("triangular", 60.0, 0.2)
    >>> round(triangle.a, 2), triangle.b, round(triangle.c, 2)
    (30.61, 60.0, 89.39)
    """
    if not (0 <= mean < math.inf and 0 <= cv < math.inf):
        raise ValueError(
            f"a {distribution} time of mean {mean:g} s and cv {cv:g} was read; both are 0 or more, and have an end"
        )
    if distribution == "empirical":
        if not readings:
            raise ValueError("an empirical time without readings was read; give at least one")
        own = sum(readings) / len(readings)
        scale = mean / own if own > 0 else 1.0
        return Shape(EMPIRICAL, mean, readings=tuple(float(one) * scale for one in readings))
    if mean == 0 or distribution == "constant" or (cv == 0 and distribution != "exponential"):
        return Shape(CONSTANT, mean)
    return _FITTED[distribution](mean, cv)


def _exponential(mean: float, _cv: float) -> Shape:
    return Shape(EXPONENTIAL, mean)


def _lognormal(mean: float, cv: float) -> Shape:
    spread = math.log1p(cv * cv)
    return Shape(LOGNORMAL, mean, math.log(mean) - spread / 2, math.sqrt(spread))


def _gamma(mean: float, cv: float) -> Shape:
    return Shape(GAMMA, mean, 1.0 / (cv * cv))


def _weibull(mean: float, cv: float) -> Shape:
    """cv² + 1 = G(1 + 2/k) / G(1 + 1/k)² falls in the shape k (Johnson, Kotz & Balakrishnan 1994, chapter 21)."""
    from scipy.optimize import brentq
    from scipy.special import gammaln

    wanted = math.log1p(cv * cv)
    inverse = float(brentq(lambda i: gammaln(1 + 2 * i) - 2 * gammaln(1 + i) - wanted, 1e-6, 60.0, xtol=1e-14))
    return Shape(WEIBULL, mean, inverse, mean / math.exp(float(gammaln(1 + inverse))))


def _triangular(mean: float, cv: float) -> Shape:
    """Even on both sides as long as that fits above 0; wider ones begin at 0, and their likeliest time moves to the left."""
    if cv > WIDEST_TRIANGLE:
        raise ValueError(
            f"a triangular time of cv {cv:g} was read; at most {WIDEST_TRIANGLE}, the widest that begins at 0"
        )
    half = math.sqrt(6.0) * cv * mean
    if half <= mean:
        return Shape(TRIANGULAR, mean, mean - half, mean, mean + half)
    # From 0: mean = (m + g) / 3 and variance = (g² + m² - m g) / 18.
    product = 3.0 * mean * mean - 6.0 * (cv * mean) ** 2
    root = math.sqrt(max((1.5 * mean) ** 2 - product, 0.0))
    return Shape(TRIANGULAR, mean, 0.0, max(1.5 * mean - root, 0.0), 1.5 * mean + root)


_FITTED = {
    "exponential": _exponential, "lognormal": _lognormal, "gamma": _gamma, "weibull": _weibull, "triangular": _triangular,
}  # fmt: skip


@njit(cache=True, nogil=True, error_model="numpy")
def fill_times(
    kind: int,
    mean: float,
    a: float,
    b: float,
    c: float,
    readings: Floats,
    stream: np.uint64,
    first: int,
    out: Floats,
    chances: Floats,
    places: NDArray[np.int64],
) -> None:
    """Put the draws `first`, `first` + 1, ... of a stream into `out`; `chances` and `places` are scratch of the same length.

    Kind EVEN gives the numbers between 0 and 1 themselves: what is decided by chance is decided with them.
    """
    if kind == CONSTANT:
        out[:] = mean
        return
    if kind == GAMMA:
        for k in range(out.size):
            out[k] = one_gamma(stream, first + k, a) * (mean / a)
        return
    fill_uniform(stream, first, out)
    times_of_chances(kind, mean, a, b, c, readings, out, chances, places)


@njit(cache=True, nogil=True, error_model="numpy")
def times_of_chances(
    kind: int,
    mean: float,
    a: float,
    b: float,
    c: float,
    readings: Floats,
    out: Floats,
    chances: Floats,
    places: NDArray[np.int64],
) -> None:
    """Put the draw that belongs to it in place of each number between 0 and 1, whichever stream it is of; for all kinds but CONSTANT and GAMMA."""
    if kind == EXPONENTIAL:
        logarithms(out)
        for k in range(out.size):
            out[k] *= -mean
    elif kind == LOGNORMAL:
        normals(out, chances, places)
        for k in range(out.size):
            out[k] = a + b * out[k]
        exponentials(out)
    elif kind == WEIBULL:
        logarithms(out)
        for k in range(out.size):
            out[k] = -out[k]
        logarithms(out)
        for k in range(out.size):
            out[k] *= a
        exponentials(out)
        for k in range(out.size):
            out[k] *= b
    elif kind == TRIANGULAR:
        left = (b - a) / (c - a)
        for k in range(out.size):
            u = out[k]
            out[k] = a + math.sqrt(u * (c - a) * (b - a)) if u < left else c - math.sqrt((1.0 - u) * (c - a) * (c - b))
    elif kind == EMPIRICAL:
        for k in range(out.size):
            out[k] = readings[int(out[k] * readings.size)]


@njit(cache=True, nogil=True, error_model="numpy")
def one_gamma(stream: np.uint64, number: int, shape: float) -> float:
    """A gamma variable of scale 1 (Marsaglia & Tsang 2000): tries of its own for each number, so that none shifts the next."""
    own = mixed(stream ^ mixed(np.uint64(number)))
    d = (shape if shape >= 1.0 else shape + 1.0) - 1.0 / 3.0
    step = 1.0 / math.sqrt(9.0 * d)
    tried = 0
    while True:
        x = normal(uniform(own, tried))
        v = 1.0 + step * x
        if v > 0.0:
            v = v * v * v
            u = uniform(own, tried + 1)
            if logarithm(u) < 0.5 * x * x + d - d * v + d * logarithm(v):
                break
        tried += 2
    if shape >= 1.0:
        return d * v
    return d * v * math.exp(logarithm(uniform(own, tried + 2)) / shape)
