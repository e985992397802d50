"""Where all lead times of all runs would not fit into memory, every so many-th is kept; the answers stay what they are."""

from __future__ import annotations

import pytest

from pullwright.forecast import plan
from pullwright.forecast.forecast import forecast_of
from pullwright.line import Line
from tests.forecast.small_lines import laid, line_text, machine

TEXT = line_text([machine("40 s", "exponential"), machine("45 s", "exponential")], demand="500 /d").replace(
    "demand: 500 /d", "demand: 500 /d, promise: 0.02 d"
)


def test_thinned_samples_give_nearly_the_same_answers(monkeypatch):
    whole = forecast_of(Line.from_text(TEXT), days=30, runs=8, draws=0)
    monkeypatch.setattr(plan, "_MOST_KEPT", 8 * 1500)
    assert plan.one_of(laid(TEXT), 8, 30) > 10
    thinned = forecast_of(Line.from_text(TEXT), days=30, runs=8, draws=0)
    assert thinned["throughput"].value == whole["throughput"].value
    assert thinned["lead time"].value == pytest.approx(whole["lead time"].value, rel=0.05)
    assert thinned["on time"].value == pytest.approx(whole["on time"].value, abs=0.02)


def test_a_thousand_runs_of_a_hundred_thousand_units_fit():
    plan.fit(laid(TEXT), 1000, 200)
    assert plan.one_of(laid(TEXT), 20, 20) == 1
