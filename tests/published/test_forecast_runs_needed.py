"""How many runs a promise takes, and which of them hold a quantile: values from textbooks, from memory, recomputed here."""

from __future__ import annotations

from math import comb

import numpy as np
import pytest

from pullwright.forecast.money.sureness import enough


@pytest.mark.parametrize(("reliability", "confidence", "runs"), [(0.90, 0.95, 29), (0.95, 0.95, 59), (0.90, 0.90, 22)])
def test_so_many_runs_without_failure_show_a_reliability(reliability: float, confidence: float, runs: int):
    """Success-run theorem, n = ln(1 - C) / ln R; the upper end alone stands aside with 1 - C, so the level of both ends is 2 C - 1."""
    found = enough("capital", np.arange(float(runs)), "money", wished=1 - reliability, level=2 * confidence - 1)

    assert found.runs_needed == runs
    assert found.promised
    assert 1 - reliability**runs >= confidence > 1 - reliability ** (runs - 1)


@pytest.mark.parametrize(("readings", "lower", "upper"), [(10, 2, 9), (20, 6, 15), (30, 10, 21)])
def test_these_two_readings_hold_the_median_at_95_percent(readings: int, lower: int, upper: int):
    """Distribution-free interval of a median (sign test): Conover, Practical Nonparametric Statistics, section 3.2 (from memory)."""
    found = enough("median", np.arange(1.0, readings + 1), "1", wished=0.5, level=0.95)

    assert (found.low, found.high) == (lower, upper)
    assert sum(comb(readings, k) for k in range(lower, upper)) / 2**readings >= 0.95
