"""A line is run by the kernel that is quickest for it, and which one is said."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.run_by import run_by
from pullwright.forecast.runs import runs_of
from tests.forecast.small_lines import DAY, laid, line_text, machine


def test_a_plain_line_is_run_from_piece_to_piece_with_the_same_result():
    layout = laid(line_text([machine("40 s", "exponential"), machine("45 s")], demand="400 /d"))
    found, said = run_by(layout, numbers=range(3), until=2 * DAY, seed=1)
    assert said == "path kernel"
    for one, other in zip(found, runs_of(layout.plant, numbers=range(3), until=2 * DAY, day=DAY, seed=1), strict=True):
        assert np.array_equal(one.lead, other.lead)


def test_another_line_is_run_event_by_event_and_why_is_said():
    layout = laid(line_text([machine("40 s") + ", scrap: 5 %"], demand="400 /d"))
    found, said = run_by(layout, numbers=[2], until=DAY)
    assert said == "event kernel (t0 has scrap or rework)"
    assert found[0].events > 0
    assert found[0].scrapped.sum() > 0


def test_runs_that_are_stopped_give_those_that_were_done():
    layout = laid(line_text([machine("40 s", "exponential")], demand="400 /d"))
    asked = iter([False, False, True, True])
    found, _ = run_by(layout, numbers=range(40), until=DAY, stop=lambda: next(asked))
    assert [one.number for one in found] == list(range(16))
