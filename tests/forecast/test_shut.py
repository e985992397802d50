"""A line that shuts itself is told from one that is only slow."""

from __future__ import annotations

from pullwright.forecast.forecast import forecast_of
from pullwright.line import Line
from tests.forecast.small_lines import line_text, machine, stores

SHUTS = line_text(
    [machine("60 s", "exponential"), "station: s1, " + machine("20 s", "exponential"), "station: s0, " + machine("60 s", "exponential")],
    demand="200 /d",
    more=stores([1, 0]),
)  # fmt: skip
"""The third step is done at the station of the first: which may hold a piece for the second, which waits for the third."""


def test_a_line_that_shuts_itself_is_told():
    notes = forecast_of(Line.from_text(SHUTS), days=20, runs=6, draws=0).notes
    assert any("nothing came out any more" in note and " held the longest" in note for note in notes), notes


def test_a_line_that_is_only_slow_or_that_nobody_wants_has_not_shut_itself():
    for demand in ("900 /d", "0.05 /d"):
        text = line_text([machine("60 s"), machine("50 s")], demand=demand, more=stores([1]))
        notes = forecast_of(Line.from_text(text), days=20, runs=4, draws=0).notes
        assert not any("nothing came out any more" in note for note in notes)
