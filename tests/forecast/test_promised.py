"""Promises in working days, and the floor of what lies, as a person would work them out."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.flow import flow_of
from pullwright.forecast.layout import layout_of
from pullwright.forecast.promised import terms_of
from pullwright.forecast.running import Running
from pullwright.forecast.told import floor_by_day
from pullwright.line import Line
from tests.forecast.small_lines import line_text, machine


@pytest.mark.parametrize(
    ("promise", "days"),
    [
        ("3 d", 3.0),
        ("12 h", 1.5),  # the day has 8 h
        ("7 cal d", 7 * 260.89 / 365.2425),  # 5 of 7 days are worked
        ("{low: 2 d, likely: 3 d, high: 5 d}", 3.0),
    ],
)
def test_a_promise_is_told_in_working_days(promise, days):
    flow = flow_of(
        Line.from_text(line_text([machine("30 s")], demand="400 /d").replace("demand:", f"promise: {promise}, demand:"))
    )

    assert terms_of(flow, flow.givens).within[0] == pytest.approx(days, rel=1e-4)


def test_what_was_not_promised_is_not_held_against_anything():
    flow = flow_of(Line.from_text(line_text([machine("30 s")], demand="400 /d")))

    assert np.isnan(terms_of(flow, flow.givens).within[0])


def test_the_floor_is_that_of_whole_containers_stacked_as_high_as_allowed():
    text = line_text(
        [machine("30 s"), machine("40 s")],
        demand="{mean: 700 /d, cv: 0}",
        more="stores: [{before: t1, counted: 95, container: {holds: 10, floor: 0.5 m2, stack: 2}}]\n",
    )
    line = Line.from_text(text)
    flow = flow_of(line)
    seen = Running(seed=0, workers=1).run(layout_of(line), terms_of(flow, flow.givens), range(2), warm=0, days=3)

    by_hand = np.ceil(np.ceil(seen.lying_by_day[:, :, 1] / 10) / 2) * 0.5

    np.testing.assert_allclose(floor_by_day(seen), by_hand)
    assert by_hand.max() > 0
    assert [words for words, *_ in seen.terms.unbedded] == ["before t0", "after t1"]
