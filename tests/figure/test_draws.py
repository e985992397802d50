"""The draws follow their distributions, and hang on the name alone."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given as for_all
from hypothesis import strategies as st
from scipy import stats

from pullwright.figure.draws import chi, jeffreys_beta, midpoints, order_of, quantiles, student_t, triangular

SOURCES = Path(__file__).parents[2] / "src"


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 9, 30, 300, 20_000])
def test_t_quantiles_agree_with_an_independent_library(freedom):
    np.testing.assert_allclose(student_t(freedom), stats.t.ppf(midpoints(1000), freedom), rtol=2e-4, atol=2e-4)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 9, 30, 300, 20_000])
def test_chi_quantiles_agree_with_an_independent_library(freedom):
    np.testing.assert_allclose(chi(freedom), stats.chi.ppf(midpoints(1000), freedom), rtol=5e-3)


@pytest.mark.parametrize(
    ("good", "bad"), [(0, 1), (1, 0), (0, 30), (96, 4), (3, 3), (2000, 0), (100_000, 7), (1, 1_000_000)]
)
def test_beta_quantiles_agree_with_an_independent_library(good, bad):
    expected = stats.beta.ppf(midpoints(1000), good + 0.5, bad + 0.5)
    np.testing.assert_allclose(jeffreys_beta(good, bad), expected, rtol=2e-3)
    np.testing.assert_allclose(1 - jeffreys_beta(good, bad), 1 - expected, rtol=2e-3)


def test_triangular_quantiles_agree_with_an_independent_library():
    expected = stats.triang.ppf(midpoints(1000), 0.25, loc=40, scale=20)
    np.testing.assert_allclose(triangular(40.0, 45.0, 60.0), expected, rtol=1e-12)


@pytest.mark.parametrize(("low", "likely", "high"), [(1.0, 1.0, 2.0), (1.0, 2.0, 2.0)])
def test_a_triangle_may_lean_wholly_to_one_side(low, likely, high):
    expected = stats.triang.ppf(midpoints(1000), (likely - low) / (high - low), loc=low, scale=high - low)
    np.testing.assert_allclose(triangular(low, likely, high), expected, rtol=1e-12)


@pytest.mark.parametrize("freedom", [1, 4])
def test_bounded_t_quantiles_are_those_of_the_cut_distribution(freedom):
    cut = stats.t.cdf(-2.0, freedom)
    expected = stats.t.ppf(cut + midpoints(1000) * (1 - cut), freedom)
    np.testing.assert_allclose(student_t(freedom, 1000, -2.0), expected, rtol=2e-4, atol=2e-4)


def test_the_same_name_gives_the_same_order_in_another_process():
    code = "from pullwright.figure.draws import order_of; print(order_of('load / honing', 1000).tolist())"
    environment = {**os.environ, "PYTHONPATH": str(SOURCES), "PYTHONHASHSEED": "77"}
    printed = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True)
    assert printed.stdout.strip() == str(order_of("load / honing", 1000).tolist())


def test_an_order_is_a_permutation_that_another_name_does_not_share():
    orders = [order_of(name, 1000) for name in ("honing", "honing ", "packing")]
    for order in orders:
        np.testing.assert_array_equal(np.sort(order), np.arange(1000))
    assert not any(np.array_equal(orders[0], other) for other in orders[1:])


def test_figures_of_different_name_are_independent():
    """Rank correlations of 45 pairs of independent orders scatter about 0 with 1/sqrt(n - 1); 4.5 sigma for the worst."""
    orders = np.array([order_of(f"step {number}", 1000) for number in range(10)])
    between = np.corrcoef(orders)[np.triu_indices(10, 1)]
    assert np.abs(between).max() < 4.5 / np.sqrt(999)
    assert between.std() == pytest.approx(1 / np.sqrt(999), rel=0.5)


@for_all(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=50), st.floats(0.001, 0.999))
def test_quantiles_agree_with_the_midpoint_rule_of_an_independent_library(numbers, chance):
    row = np.array(numbers)
    assert quantiles(row, chance)[0] == pytest.approx(float(np.quantile(row, chance, method="hazen")), abs=1e-6)
