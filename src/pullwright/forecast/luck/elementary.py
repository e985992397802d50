"""Exponentials, logarithms and the normal law for one number, or for whole rows, eight at a time.

One or eight, the bits are the same: no branch and no function of the machine's own library stands in what both go through. Each
is right to a few units in the last place (held against scipy in the tests).
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pullwright.forecast.luck.bits import bits_of, float_of
from pullwright.forecast.luck.lanes import LANES, alike, earlier, if_before, lanes_at, put_lanes, some_up_to

Floats = NDArray[np.float64]

_LOG2_E = 1.4426950408889634
_LN2_HIGH, _LN2_LOW = 6.93147180369123816490e-01, 1.90821492927058770002e-10
"""ln 2 in two parts, the first with so few bits that a whole number times it is exact."""
_SHIFT = 6755399441055744.0
"""1.5 x 2^52: added to a small number it rounds it to a whole one, which then stands in the lowest bits."""
_SHIFT_BITS = np.int64(0x4338000000000000)
_BIAS = np.int64(1023)
_SQRT_HALF_BITS = np.int64(0x3FE6A09E667F3BCD)
_52 = np.int64(52)


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def exponential(x: float) -> float:
    """exp(x) for x from -700 to 700: x = k ln 2 + r, |r| <= ln 2 / 2, and the series of exp(r) to the thirteenth power."""
    shifted = x * _LOG2_E + _SHIFT
    whole = shifted - _SHIFT
    r = (x - whole * _LN2_HIGH) - whole * _LN2_LOW
    p = 1.0 / 6227020800.0
    p = p * r + 1.0 / 479001600.0
    p = p * r + 1.0 / 39916800.0
    p = p * r + 1.0 / 3628800.0
    p = p * r + 1.0 / 362880.0
    p = p * r + 1.0 / 40320.0
    p = p * r + 1.0 / 5040.0
    p = p * r + 1.0 / 720.0
    p = p * r + 1.0 / 120.0
    p = p * r + 1.0 / 24.0
    p = p * r + 1.0 / 6.0
    p = p * r + 0.5
    return (1.0 + (r + r * r * p)) * float_of((bits_of(shifted) - _SHIFT_BITS + _BIAS) << _52)


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def logarithm(x: float) -> float:
    """ln(x) for finite x from the smallest normal number up.

    x = 2^k m with m from sqrt(1/2) to sqrt(2); ln m = 2 artanh(s) with s = (m - 1) / (m + 1), by its series to the 21st power.
    """
    bits = bits_of(x)
    k = (bits - _SQRT_HALF_BITS) >> _52
    m = float_of(bits - (k << _52))
    s = (m - 1.0) / (m + 1.0)
    z = s * s
    p = 1.0 / 21.0
    p = p * z + 1.0 / 19.0
    p = p * z + 1.0 / 17.0
    p = p * z + 1.0 / 15.0
    p = p * z + 1.0 / 13.0
    p = p * z + 1.0 / 11.0
    p = p * z + 1.0 / 9.0
    p = p * z + 1.0 / 7.0
    p = p * z + 1.0 / 5.0
    p = p * z + 1.0 / 3.0
    whole = float_of(k + _SHIFT_BITS) - _SHIFT
    return whole * _LN2_HIGH + (2.0 * s + (2.0 * s * z * p + whole * _LN2_LOW))


@njit(cache=True, nogil=True, error_model="numpy")
def exponentials(row: Floats) -> None:
    """Put exp(x) in place of each x, from -700 to 700."""
    whole, begin = row.size - row.size % LANES, row.ctypes.data
    for at in range(begin, begin + 8 * whole, 8 * LANES):
        put_lanes(at, exponential(lanes_at(at)))
    for i in range(whole, row.size):
        row[i] = exponential(row[i])


@njit(cache=True, nogil=True, error_model="numpy")
def logarithms(row: Floats) -> None:
    """Put ln(x) in place of each x, finite and above 0."""
    whole, begin = row.size - row.size % LANES, row.ctypes.data
    for at in range(begin, begin + 8 * whole, 8 * LANES):
        put_lanes(at, logarithm(lanes_at(at)))
    for i in range(whole, row.size):
        row[i] = logarithm(row[i])


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _middle(q: float) -> float:
    r = 0.180625 - q * q
    above = 2.5090809287301226727e3
    above = above * r + 3.3430575583588128105e4
    above = above * r + 6.7265770927008700853e4
    above = above * r + 4.5921953931549871457e4
    above = above * r + 1.3731693765509461125e4
    above = above * r + 1.9715909503065514427e3
    above = above * r + 1.3314166789178437745e2
    above = above * r + 3.3871328727963666080e0
    below = 5.2264952788528545610e3
    below = below * r + 2.8729085735721942674e4
    below = below * r + 3.9307895800092710610e4
    below = below * r + 2.1213794301586595867e4
    below = below * r + 5.3941960214247511077e3
    below = below * r + 6.8718700749205790830e2
    below = below * r + 4.2313330701600911252e1
    return q * above / (below * r + 1.0)


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _tail(r: float) -> float:
    r = r - 1.6
    above = 7.74545014278341407640e-4
    above = above * r + 2.27238449892691845833e-2
    above = above * r + 2.41780725177450611770e-1
    above = above * r + 1.27045825245236838258e0
    above = above * r + 3.64784832476320460504e0
    above = above * r + 5.76949722146069140550e0
    above = above * r + 4.63033784615654529590e0
    above = above * r + 1.42343711074968357734e0
    below = 1.05075007164441684324e-9
    below = below * r + 5.47593808499534494600e-4
    below = below * r + 1.51986665636164571966e-2
    below = below * r + 1.48103976427480074590e-1
    below = below * r + 6.89767334985100004550e-1
    below = below * r + 1.67638483018380384940e0
    below = below * r + 2.05319162663775882187e0
    return above / (below * r + 1.0)


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _far_tail(r: float) -> float:
    r = r - 5.0
    above = 2.01033439929228813265e-7
    above = above * r + 2.71155556874348757815e-5
    above = above * r + 1.24266094738807843860e-3
    above = above * r + 2.65321895265761230930e-2
    above = above * r + 2.96560571828504891230e-1
    above = above * r + 1.78482653991729133580e0
    above = above * r + 5.46378491116411436990e0
    above = above * r + 6.65790464350110377720e0
    below = 2.04426310338993978564e-15
    below = below * r + 1.42151175831644588870e-7
    below = below * r + 1.84631831751005468180e-5
    below = below * r + 7.86869131145613259100e-4
    below = below * r + 1.48753612908506148525e-2
    below = below * r + 1.36929880922735805310e-1
    below = below * r + 5.99832206555887937690e-1
    return above / (below * r + 1.0)


@njit(cache=True, nogil=True, error_model="numpy")
def normal(chance: float) -> float:
    """The number that a standard normal variable stays below with this chance: one of `normals`, to the last bit."""
    if abs(chance - 0.5) <= 0.425:
        return _middle(chance - 0.5)
    r = math.sqrt(-logarithm(chance if chance < 0.5 else 1.0 - chance))
    beyond = _tail(r) if r <= 5.0 else _far_tail(r)
    return -beyond if chance < 0.5 else beyond


@njit(cache=True, nogil=True, error_model="numpy")
def normals(row: Floats, chances: Floats, places: NDArray[np.int64]) -> None:
    """Put the number that a standard normal variable stays below with this chance in place of each chance between 0 and 1.

    Wichura 1988, algorithm AS 241 (PPND16), coefficients from memory. All of the row is taken as its middle 85 % at first; what
    lies outside, kept in `chances` with its `places` (both as long as the row), is put right after it.
    """
    outside = 0
    for i in range(row.size):
        chances[outside] = row[i]
        places[outside] = i
        outside += 1 if abs(row[i] - 0.5) > 0.425 else 0
    whole, begin = row.size - row.size % LANES, row.ctypes.data
    for at in range(begin, begin + 8 * whole, 8 * LANES):
        put_lanes(at, _middle(lanes_at(at) - 0.5))
    for i in range(whole, row.size):
        row[i] = _middle(row[i] - 0.5)
    whole, begin = outside - outside % LANES, chances.ctypes.data
    for at in range(begin, begin + 8 * whole, 8 * LANES):
        eight = lanes_at(at)
        r = math.sqrt(-logarithm(earlier(eight, 1.0 - eight)))
        beyond = _tail(r)
        if some_up_to(alike(5.0), r):  # once in 10^11 numbers
            beyond = if_before(alike(5.0), r, _far_tail(r), beyond)
        put_lanes(at, if_before(eight, alike(0.5), -beyond, beyond))
    for j in range(whole, outside):
        chances[j] = normal(chances[j])
    for j in range(outside):
        row[places[j]] = chances[j]
