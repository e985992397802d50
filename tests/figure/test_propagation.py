"""One function carries values and draws alike."""

import numpy as np
import pytest
from hypothesis import given as for_all
from hypothesis import strategies as st

from pullwright.figure import FigureError, Source, derive, derive_many, from_draws, given, judged

TYPED = Source("line file", "steps.hone")
WORK = judged("work", 40.0, 45.0, 60.0, "s", TYPED)
WALK = judged("walk", 4.0, 7.0, 9.0, "s", TYPED)
TAKT = given("takt", 60.0, "s", TYPED)


def test_the_value_is_the_function_of_the_values_and_not_the_mean_of_the_draws():
    square = derive("square", lambda a: a**2, WORK, unit="s2", formula="work squared")
    assert square.value == 45.0**2
    np.testing.assert_array_equal(square.draws, WORK.draws**2)


def test_an_array_that_the_function_keeps_is_left_alone():
    kept = np.zeros(1000)

    def fill(work):
        kept[:] = work
        return kept if np.ndim(work) else work

    figure = derive("kept", fill, WORK, unit="s", formula="work")
    kept[:] = 0.0
    np.testing.assert_array_equal(figure.draws, WORK.draws)


def test_certain_inputs_make_a_certain_figure():
    twice = derive("twice", lambda a: 2 * a, TAKT, unit="s", formula="2 x takt")
    assert twice.certain
    assert twice.draws.tolist() == [120.0]


def test_a_figure_needs_no_inputs():
    assert derive("three", lambda: 3, unit="1", formula="3").value == 3.0


@for_all(st.floats(-1e9, 1e9), st.floats(0, 1e9), st.floats(0, 1e9))
def test_a_figure_less_itself_is_nothing_in_every_draw(low, rise, more):
    figure = judged("any", low, low + rise, low + rise + more, "1", TYPED)
    nothing = derive("nothing", lambda a, b: a - b, figure, figure, unit="1", formula="any - any")
    assert nothing.value == 0
    assert not nothing.draws.any()


@for_all(st.floats(-1e9, 1e9), st.floats(0, 1e9), st.floats(0, 1e9))
def test_passing_a_figure_on_unchanged_changes_nothing(low, rise, more):
    figure = judged("any", low, low + rise, low + rise + more, "1", TYPED)
    same = derive("same", lambda a: a, figure, unit="1", formula="any")
    assert same.value == figure.value
    np.testing.assert_array_equal(same.draws, figure.draws)
    assert same.interval() == figure.interval()


def test_a_shared_input_brings_the_same_draws_along_both_ways():
    left = derive("left", lambda a, b: a + b, WORK, WALK, unit="s", formula="work + walk")
    right = derive("right", lambda a, b: a - b, WORK, WALK, unit="s", formula="work - walk")
    back = derive("back", lambda a, b: (a + b) / 2, left, right, unit="s", formula="half of left and right")
    np.testing.assert_allclose(back.draws, WORK.draws, rtol=1e-14)


def test_certain_inputs_reach_the_function_as_long_as_the_others():
    stacked = derive("most", lambda a, b: np.stack([a, b]).max(axis=0), WORK, TAKT, unit="s", formula="larger of both")
    assert stacked.draws.shape == WORK.draws.shape
    assert stacked.value == 60.0


def test_a_result_that_does_not_hang_on_the_inputs_is_certain():
    constant = derive("people", lambda a: 2, WORK, unit="persons", formula="2")
    assert constant.certain
    assert constant.value == 2.0


def test_dividing_by_nothing_is_without_end_and_warns_nobody():
    rate = derive("wait", lambda a, b: a / (b - b), TAKT, TAKT, unit="s", formula="takt / 0")
    assert rate.value == np.inf
    spread = derive("wait", lambda a: 1 / np.maximum(0.0, 50 - a), WORK, unit="1", formula="1 / room left")
    assert spread.interval() == (pytest.approx(1 / 7.7639, rel=1e-3), np.inf)


def test_a_value_that_is_no_number_is_refused_with_its_inputs():
    nothing = given("demand", 0.0, "pieces", TYPED)
    with pytest.raises(FigureError, match=r"share is not a number with demand = 0 pieces; look for 0 / 0"):
        derive("share", lambda a: a / a, nothing, unit="share", formula="demand / demand")


def test_a_draw_that_is_no_number_is_refused_with_a_case():
    with pytest.raises(FigureError, match=r"root is not a number in \d+ of 1000 draws, such as with work = 5\d\."):
        derive("root", lambda a: np.sqrt(50 - a), WORK, unit="1", formula="root of room left")


def test_a_function_for_single_numbers_is_refused_with_the_way_out():
    with pytest.raises(FigureError, match=r"choice, from work, takt: its function failed .*np\.where"):
        derive("choice", lambda a, b: a if a > b else b, WORK, TAKT, unit="s", formula="larger of both")


def test_a_function_that_lumps_the_draws_together_is_refused():
    with pytest.raises(FigureError, match=r"one number .* came for 1000 draws, and it is not the value"):
        derive("mean", np.mean, WORK, unit="s", formula="mean")


def test_a_result_of_the_wrong_shape_is_refused():
    with pytest.raises(FigureError, match=r"1000 draws were due, an array of shape \(999,\) came"):
        derive("short", lambda a: a[1:] if np.ndim(a) else a, WORK, unit="s", formula="shorter")
    with pytest.raises(FigureError, match=r"one value was due, an array of shape \(2,\) came"):
        derive("pair", lambda a: np.array([a, a]), TAKT, unit="s", formula="pair")


def test_a_plain_number_is_refused_as_input():
    with pytest.raises(FigureError, match=r"load: input 2 is 60\.0, not a figure; wrap it with given"):
        derive("load", lambda a, b: a / b, WORK, 60.0, unit="share", formula="work / takt")


def test_unequal_numbers_of_draws_are_refused():
    more = judged("more", 1.0, 2.0, 3.0, "s", TYPED, draws=2000)
    with pytest.raises(FigureError, match=r"unequal numbers of draws \(work has 1000, more has 2000\)"):
        derive("sum", lambda a, b: a + b, WORK, more, unit="s", formula="work + more")


class _RoomError(ValueError):
    """An error of another room."""


def test_a_rooms_own_error_passes_through():
    def refuse(_):
        raise _RoomError("this line cannot run")

    with pytest.raises(_RoomError, match="this line cannot run"):
        derive("run", refuse, WORK, unit="s", formula="run")


def test_one_set_of_equations_gives_several_figures_that_hang_together():
    def solve(total, difference):
        table = np.broadcast_to(np.array([[1.0, 1.0], [1.0, -1.0]]), (total.size, 2, 2))
        return np.linalg.solve(table, np.stack([total, difference], axis=-1)[..., None])[..., 0].T

    large, small = derive_many(
        ("large", "small"), solve, WORK, WALK, units=("s", "s"), formulas=("of the equations", "of the equations")
    )
    assert (large.value, small.value) == (26.0, 19.0)
    np.testing.assert_allclose(large.draws + small.draws, WORK.draws, rtol=1e-12)
    assert large.inputs == small.inputs == (WORK, WALK)


def test_several_figures_from_certain_ones_are_certain():
    pair = derive_many(("a", "b"), lambda t: (t, 1.0), TAKT, units=("s", "1"), formulas=("takt", "1"), notes=("x", ""))
    assert all(figure.certain for figure in pair)
    assert [figure.value for figure in pair] == [60.0, 1.0]
    assert pair[0].note == "x"


def test_several_figures_need_as_many_results_units_and_formulas():
    with pytest.raises(FigureError, match="gave 1 results for 2 names"):
        derive_many(("a", "b"), lambda t: (t,), TAKT, units=("s", "s"), formulas=("", ""))
    with pytest.raises(FigureError, match="2 names, 1 units"):
        derive_many(("a", "b"), lambda t: (t, t), TAKT, units=("s",), formulas=("", ""))


def test_draws_drawn_together_stay_together():
    rng = np.random.default_rng(5)
    pairs = rng.multivariate_normal([10.0, 10.0], [[1.0, 0.9], [0.9, 1.0]], size=1000)
    left, right = (from_draws(name, 10.0, row, "s", TYPED) for name, row in zip("ab", pairs.T, strict=True))
    apart = derive("apart", lambda a, b: a - b, left, right, unit="s", formula="a - b")
    np.testing.assert_array_equal(apart.draws, pairs[:, 0] - pairs[:, 1])
