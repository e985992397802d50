"""Figures worked out again from other values of those below them."""

import numpy as np

from pullwright.figure import Source, derive, derive_many, from_readings, given, judged
from pullwright.figure.again import standing_on, worked_out_again
from pullwright.figure.walk import inputs_first

TYPED = Source("line file", "steps.pack.walk")
HONE = from_readings("honing", [40.0, 52.0, 45.0, 49.0, 44.0], "s", Source("study", "study T-014"))
WALK = judged("walking", 4.0, 7.0, 10.0, "s", TYPED)
TAKT = given("takt", 60.0, "s", TYPED)
LARGE, SMALL = derive_many(
    ("large", "small"), lambda a, b: ((a + b) / 2, (a - b) / 2), HONE, WALK, units=("s", "s"), formulas=("", "")
)
TOP = derive("top", lambda a, b, c: a * b / c, LARGE, SMALL, TAKT, unit="s", formula="large x small / takt")


def test_working_out_again_with_the_same_draws_gives_the_same_figure():
    above = standing_on(inputs_first(TOP), [HONE])
    np.testing.assert_array_equal(worked_out_again(above, {HONE: HONE.draws})[TOP], TOP.draws)
    halved = HONE.value + (HONE.draws - HONE.value) / 2
    expected = ((halved + WALK.draws) / 2) * ((halved - WALK.draws) / 2) / 60
    np.testing.assert_allclose(worked_out_again(above, {HONE: halved})[TOP], expected, rtol=1e-14)
    assert TOP.watch_next()[0].figure is HONE


def test_only_what_stands_on_the_changed_ones_is_worked_out_again():
    both = inputs_first(TOP, LARGE)
    assert both.count(LARGE) == 1
    assert standing_on(both, [TAKT]) == [TOP]
    assert set(standing_on(both, [HONE])) == {LARGE, SMALL, TOP}


def test_a_figure_made_from_others_can_be_changed_and_the_rest_taken_as_likely():
    changed = {LARGE: np.array([10.0, 30.0])}
    found = worked_out_again(standing_on(inputs_first(TOP), changed), changed, likely=True)
    np.testing.assert_allclose(found[TOP], np.array([10.0, 30.0]) * SMALL.value / 60)
    assert SMALL not in found
