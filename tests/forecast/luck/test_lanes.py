"""Eight numbers at a time are reckoned with as one is: the same bits in every lane."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numba import njit

from pullwright.forecast.luck.elementary import exponential, exponentials, logarithm, logarithms, normal, normals
from pullwright.forecast.luck.lanes import alike, earlier, if_before, if_equal, lanes_at, later, put_lanes, some_up_to


def one_by_one(kernel, numbers):
    return np.array([kernel(one) for one in numbers])


@pytest.mark.parametrize(
    ("rows", "one", "low", "high"), [(exponentials, exponential, -700, 700), (logarithms, logarithm, 1e-300, 10)]
)
def test_a_row_gives_the_bits_of_its_numbers_one_by_one(rows, one, low, high):
    numbers = np.random.default_rng(1).uniform(low, high, 93)
    found = numbers.copy()
    rows(found)
    assert np.array_equal(found, one_by_one(one, numbers))


def test_a_row_of_normal_numbers_gives_the_bits_of_its_numbers_far_out_too():
    rng = np.random.default_rng(2)
    chances = np.concatenate([rng.random(300), rng.random(60) * 1e-12, 1 - rng.random(60) * 1e-12])
    rng.shuffle(chances)
    found = chances.copy()
    normals(found, np.empty(chances.size), np.empty(chances.size, np.int64))
    assert np.array_equal(found, one_by_one(normal, chances))


@njit(nogil=True, error_model="numpy")
def _reckon(a, b, out):
    x, y, at = lanes_at(a.ctypes.data), lanes_at(b.ctypes.data), out.ctypes.data
    put_lanes(at, x + y * 2.0 - 1.0 / x)
    put_lanes(at + 64, math.sqrt(x) / (-y))
    put_lanes(at + 128, later(x, y) - earlier(x, y))
    put_lanes(at + 192, if_before(x, y, alike(1.0), if_equal(x, y, alike(2.0), alike(3.0))))
    return some_up_to(x, y), some_up_to(x, alike(0.0))


def test_every_operation_is_that_of_one_number():
    a, b, out = np.arange(1.0, 9.0), np.array([3.0, 2, 7, 4, 1, 9, 7.5, 2]), np.empty((4, 8))
    assert _reckon(a, b, out) == (True, False)
    expected = [a + b * 2 - 1 / a, np.sqrt(a) / -b, abs(a - b), np.where(a < b, 1, np.where(a == b, 2, 3))]
    assert np.array_equal(out, expected)
