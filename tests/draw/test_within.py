"""Shares within so long: true to their numbers, the promise upright with its words."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
import pytest

from pullwright.draw.charts import ChartError, Level, Within, shares_within
from pullwright.draw.ink import LOOK

SHARES = np.arange(1, 100) / 100


def test_the_table_tells_the_shares_of_every_curve():
    chart = shares_within(
        [Within("today", SHARES * 10, SHARES), Within("option", SHARES * 5, SHARES)],
        title="Lead time",
        across="working days",
        unit="d",
    )
    assert chart.table.columns == ("share", "today", "option")
    assert ("50 %", "5 d", "2.5 d") in chart.table.rows
    assert ("95 %", "9.5 d", "4.75 d") in chart.table.rows


def test_a_promise_stands_upright_with_its_words_and_in_colour_only_where_it_is_not_kept():
    curve = [Within("today", SHARES * 10, SHARES)]
    kept = shares_within(curve, title="Wait", across="days", levels=[Level("promised 8 d", 8.0)])
    missed = shares_within(
        curve, title="Wait", across="days", levels=[Level("promised 8 d", 8.0, look="promised 8 d, not kept")]
    )
    assert "promised 8 d" in kept.svg_wide
    assert LOOK not in kept.svg_wide
    assert "promised 8 d, not kept" in missed.svg_narrow
    assert LOOK in missed.svg_narrow


def test_two_promises_near_one_another_keep_their_words_apart():
    chart = shares_within(
        [Within("today", SHARES * 10, SHARES)],
        title="Wait",
        across="days",
        levels=[Level("promised 8 d: P-32", 8.0), Level("promised 8.2 d: P-40", 8.2)],
    )
    places = {
        one.text: float(one.get("y"))
        for one in _read(chart.svg_narrow).iter("{http://www.w3.org/2000/svg}text")
        if one.text and "promised" in one.text
    }
    assert len(places) == 2
    assert chart.svg_wide.startswith("<svg")


def test_a_curve_without_anything_in_it_is_drawn_empty():
    assert shares_within([Within("today", [], [])], title="Wait", across="days").table.rows[0] == ("5 %", "")


def test_numbers_without_end_are_refused():
    with pytest.raises(ChartError):
        shares_within([Within("today", [1.0, np.inf], [0.5, 0.9])], title="Wait", across="days")


def _read(svg):
    return ElementTree.fromstring(svg)  # noqa: S314 - drawn here
