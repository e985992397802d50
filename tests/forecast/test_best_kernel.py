"""A line is run by the kernel that is quickest for it, and which one is said."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.best_kernel import runs_by_best
from pullwright.forecast.runs import runs_of
from tests.forecast.small_lines import DAY, laid, line_text, machine


def test_a_plain_line_is_run_from_piece_to_piece_with_the_same_result():
    layout = laid(line_text([machine("40 s", "exponential"), machine("45 s")], demand="400 /d"))
    asked = {"numbers": range(3), "until": 2 * DAY, "day": DAY, "seed": 1}
    found, said = runs_by_best(layout, **asked)
    assert said == "Run from piece to piece: the line is plain."
    for one, other in zip(found, runs_of(layout.plant, **asked), strict=True):
        assert np.array_equal(one.lead, other.lead)


def test_another_line_is_run_event_by_event_and_why_is_said():
    layout = laid(line_text([machine("40 s") + ", scrap: 5 %"], demand="400 /d"))
    found, said = runs_by_best(layout, numbers=[2], until=DAY, day=DAY)
    assert said == "Run event by event: t0 has scrap or rework."
    assert found[0].events > 0
    assert found[0].scrapped.sum() > 0
