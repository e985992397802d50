"""Laws that hold for the forecast of every line."""

from __future__ import annotations

import json
from math import isfinite

import pytest
from hypothesis import HealthCheck, given, settings

from pullwright.forecast.as_plain import forecast_as_plain
from pullwright.forecast.compared import compared
from pullwright.forecast.errors import CannotRun
from pullwright.forecast.forecast import Forecast, forecast_of
from pullwright.forecast.told import TIMES
from pullwright.line import Line
from tests.flow.generated_lines import lines
from tests.forecast.lines_at_random import line_at_random


def check(found: Forecast) -> None:
    """Times add up, intervals hold their values in order, nothing is out of what it can be, all of it can be said."""
    for station in found.line.stations:
        assert sum(found[f"{words} / {station.name}"].value for _, words in TIMES) == pytest.approx(1.0)
    for one in found.outcomes.values():
        assert one.low <= one.high
        assert one.mean_low <= one.mean_high
        assert one.value >= 0
        assert one.unit != "share" or one.value <= 1 + 1e-9
        assert one.figure.draws.size in (1, found.draws) or not isfinite(one.value)
        assert one.text()
    itself = compared(found, found)
    assert all(one.difference.value == 0.0 and not one.sure for one in itself.differences.values())
    json.dumps(forecast_as_plain(found, [("itself", itself)]), allow_nan=False)


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
@given(lines())
def test_a_forecast_of_any_line_holds_together(line):
    try:
        found = forecast_of(line, days=5, runs=3, draws=3, workers=1)
    except CannotRun:
        return
    check(found)


@pytest.mark.parametrize("seed", range(8))
def test_a_forecast_of_lines_with_everything_in_them_holds_together(seed):
    check(forecast_of(Line.from_text(line_at_random(seed)), days=3, runs=3, draws=2, workers=1))
