"""A forecast as plain values for JSON: what a program takes and what a person reads."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import Any

from pullwright.forecast.compared import Compared, Difference
from pullwright.forecast.forecast import Forecast
from pullwright.forecast.outcome import Outcome


def forecast_as_plain(forecast: Forecast, options: Sequence[tuple[str, Compared]] = ()) -> dict[str, Any]:
    """Which plain values say this forecast, and the options beside it?

    Parameters: `options`, a name and the comparison of each. Result: numbers in the units inside ("wd" is a working day), null where there is none
    or no end; `text` as a person reads it.
    """
    currency = forecast.line.currency
    return {
        "line": forecast.line.line,
        "sentence": forecast.sentence(),
        "made_by": forecast.made_by,
        "long_run": forecast.long_run,
        "days": forecast.days,
        "warm": forecast.warm,
        "warm_up": {"cut": forecast.warm_up.cut, "settled": forecast.warm_up.settled, "of": forecast.warm_up.of},
        "runs": forecast.runs,
        "draws": forecast.draws,
        "runs_a_draw": forecast.runs_a_draw,
        "seed": forecast.seed,
        "level": forecast.level,
        "reached": forecast.reached,
        "settles": forecast.settles,
        "growing": [{"name": one.name, "rate": one.rate.value, "low": finite(one.rate.low), "high": finite(one.rate.high)} for one in forecast.growing],
        "notes": list(forecast.notes),
        "left_out": list(forecast.left_out),
        "outcomes": [_outcome(one, currency) for one in forecast.outcomes.values()],
        "options": [
            {
                "name": name,
                "sentence": one.option.sentence(),
                "notes": list(one.option.notes),
                "growing": [grows.name for grows in one.option.growing],
                "differences": [_difference(each, currency) for each in one.differences.values()],
                "only_today": list(one.only_today),
                "only_option": list(one.only_option),
            }
            for name, one in options
        ],
    }  # fmt: skip


def finite(number: float | None) -> float | None:
    """The number, or nothing where it has no end, which JSON cannot say."""
    return number if number is not None and isfinite(number) else None


def _outcome(one: Outcome, currency: str) -> dict[str, Any]:
    return {
        "name": one.name,
        "unit": one.unit,
        "value": finite(one.value),
        "low": finite(one.low),
        "high": finite(one.high),
        "mean_low": finite(one.mean_low),
        "mean_high": finite(one.mean_high),
        "of_chance": one.of_chance,
        "of_ignorance": one.of_ignorance,
        "text": one.text(currency),
    }


def _difference(one: Difference, currency: str) -> dict[str, Any]:
    return {**_outcome(one.difference, currency), "name": one.name, "text": one.text(currency), "option": finite(one.option.value), "sure": one.sure, "took": one.took}  # fmt: skip
