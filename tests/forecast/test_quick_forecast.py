"""A quick forecast says the same as a slow one of the same runs, and works out what is asked of it when it is asked."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.examples import EXAMPLES
from pullwright.flow import flow_of
from pullwright.flow.givens import Givens, LikelyGivens
from pullwright.forecast.forecast import quick_forecast_of
from pullwright.forecast.layout import layout_of
from pullwright.forecast.money import DayBook
from pullwright.forecast.plant import Plant
from pullwright.line import Line

LINE = Line.from_text(EXAMPLES[0].text)


def test_what_is_run_at_the_likely_inputs_does_not_hang_on_their_draws():
    likely, whole = LikelyGivens(LINE), Givens(LINE)
    quick = layout_of(LINE, givens=likely, flow=flow_of(LINE, likely)).plant
    slow = layout_of(LINE, givens=whole).plant
    for name in Plant._fields:
        assert np.array_equal(getattr(quick, name), getattr(slow, name)), name


def test_the_flow_at_the_likely_inputs_has_the_values_of_the_whole_flow():
    quick, slow = flow_of(LINE, LikelyGivens(LINE)).figures(), flow_of(LINE).figures()
    assert [one.value for one in quick.values()] == pytest.approx([one.value for one in slow.values()], nan_ok=True)


def test_an_answer_of_a_quick_forecast_still_rests_on_what_is_not_known():
    line = Line.read("examples/first_line.yaml")
    figure = quick_forecast_of(line, days=5, runs=3)["throughput"].figure
    assert any("demand" in one.name for one in figure.inputs)
    assert all(one.source is not None for one in figure.inputs)


def test_the_book_of_a_forecast_is_that_of_its_runs():
    found = quick_forecast_of(Line.read("examples/first_line.yaml"), days=5, runs=3)
    assert isinstance(found.book, DayBook)
    assert (found.book.runs, found.book.days) == (3, 5)
    assert found.book.shipped.sum() / 15 == pytest.approx(found["throughput"].value)
