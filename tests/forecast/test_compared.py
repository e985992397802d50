"""An option beside today: on the same luck, with its difference and how sure that is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pullwright.forecast.compared import Compared, compared
from pullwright.forecast.forecast import UnknownOutcome, forecast_of, quick_forecast_of
from pullwright.line import Line
from tests.forecast.small_lines import line_text, machine


def queue(seconds: float, *, law: str = "exponential", per_day: float = 336) -> Line:
    return Line.from_text(line_text([machine(f"{seconds:g} s", law)], demand=f"{per_day:g} /d"))


@pytest.fixture(scope="module")
def quicker() -> Compared:
    today = forecast_of(queue(60), days=20, runs=30, long_run=True)
    return compared(today, forecast_of(queue(50), like=today))


def test_the_difference_of_two_queues_lies_in_its_interval(quicker):
    # M/M/1: 1 / (mu - lambda) is 200 s at 60 s of work, and 120 s at 50 s.
    found = quicker["response time"].difference

    off = 3.5 * np.std(found.by_run, ddof=1) / np.sqrt(30)
    assert found.value == pytest.approx((120 - 200) / 28_800, abs=off)
    assert quicker["response time"].sure


def test_the_common_luck_takes_most_of_the_variance_away(quicker):
    assert quicker["response time"].took > 0.3
    assert quicker["throughput"].took > 0.9


def test_a_difference_is_the_option_less_today(quicker):
    for one in quicker.differences.values():
        assert one.difference.value == pytest.approx(one.option.value - one.today.value)


def test_a_line_beside_itself_differs_in_nothing():
    today = quick_forecast_of(Line.read("examples/first_line.yaml"), days=10)

    found = compared(today, quick_forecast_of(Line.read("examples/first_line.yaml"), like=today))

    assert all(one.difference.value == 0.0 and not one.sure for one in found.differences.values())


def test_what_is_not_known_goes_out_of_the_difference_as_far_as_both_have_it():
    guess = "machine: {low: 30 s, likely: 45 s, high: 70 s}, people: 0"
    today = forecast_of(Line.from_text(line_text([guess, machine("20 s")], demand="200 /d")), days=5, runs=6, draws=20)

    found = compared(
        today, forecast_of(Line.from_text(line_text([guess, machine("10 s")], demand="200 /d")), like=today)
    )

    lead = found["lead time"]
    assert lead.difference.value == pytest.approx(-10 / 28_800, rel=0.05)
    assert lead.difference.high - lead.difference.low < 0.3 * (lead.today.high - lead.today.low)


def test_a_difference_says_why_with_both_figures(quicker):
    why = str(quicker["throughput"].difference.figure.why())

    assert "throughput / option" in why
    assert "throughput / today" in why
    assert "and the same of today" in why


def test_what_only_one_of_them_answers_is_named():
    today = quick_forecast_of(queue(50), days=5)
    two = Line.from_text(line_text([machine("20 s"), machine("30 s")], demand="336 /d"))

    found = compared(today, quick_forecast_of(two, like=today))

    assert "stock before t1" in found.only_option
    assert found.only_today == ()
    with pytest.raises(UnknownOutcome):
        found["stock before t1"]


def test_forecasts_that_were_not_run_alike_are_refused():
    today = quick_forecast_of(queue(50), days=5)

    with pytest.raises(ValueError, match=r"working days of 5 and the option with 6.*like=today"):
        compared(today, quick_forecast_of(queue(40), days=6))
    with pytest.raises(ValueError, match="seeds of 0 and the option with 1"):
        compared(today, replace(today, seed=1))


def test_an_option_that_takes_longer_to_settle_than_today_is_said_to():
    steps = [machine("40 s"), machine("50 s", "cv: 0.5")]
    today = forecast_of(Line.from_text(line_text(steps, demand="400 /d")), days=60, runs=6, long_run=True)

    option = forecast_of(
        Line.from_text(line_text(steps, demand="400 /d", more="stores: [{before: t1, counted: 3000}]\n")), like=today
    )

    assert today.warm < 15
    assert any("working days to settle" in note and "forecast this one first" in note for note in option.notes)


def test_an_option_with_fewer_runs_is_compared_by_those_that_both_have():
    today = quick_forecast_of(queue(50), days=5, runs=20)

    found = compared(today, quick_forecast_of(queue(40), like=today, runs=5))

    assert found["lead time"].difference.by_run.size == 5
