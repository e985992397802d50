"""What a figure is, whatever it was made from."""

from dataclasses import FrozenInstanceError, replace

import numpy as np
import pytest
from hypothesis import given as for_all
from hypothesis import strategies as st

from pullwright.figure import Figure, FigureError, Source, derive, from_draws, given, judged

TYPED = Source("line file", "steps.hone.machine", file="line.yaml", line=41)


def _time(name="honing"):
    return judged(name, 40.0, 45.0, 60.0, "s", TYPED)


def test_a_given_figure_is_certain_and_has_one_draw():
    takt = given("takt time", 60.0, "s", TYPED)
    assert takt.certain
    assert takt.draws.shape == (1,)
    assert takt.interval() == (60.0, 60.0)


def test_nobody_can_change_a_figure_or_its_draws():
    time = _time()
    with pytest.raises(FrozenInstanceError):
        time.value = 3.0
    with pytest.raises(ValueError, match="read-only"):
        time.draws[0] = 3.0


def test_draws_handed_in_stay_with_whoever_handed_them_in():
    own = np.linspace(1.0, 2.0, 1000)
    figure = from_draws("shape", 1.5, own, "1", TYPED)
    own[0] = 99.0
    assert figure.draws[0] == 1.0
    assert own.flags.writeable


def test_a_figure_made_by_hand_keeps_its_own_draws_too():
    own = np.linspace(1.0, 2.0, 1000)
    figure = Figure("shape", 1.5, "1", own, "")
    own[0] = 99.0
    assert figure.draws[0] == 1.0


def test_two_figures_are_the_same_only_as_objects():
    assert _time() != _time()
    assert len({_time(), _time()}) == 2


def test_an_unknown_unit_is_refused_where_the_figure_is_made():
    with pytest.raises(FigureError, match=r"no unit 'seconds': did you mean 's'\?"):
        given("takt time", 60.0, "seconds", TYPED)


@pytest.mark.parametrize("draws", [np.ones((2, 2)), np.ones(0), np.ones(3, dtype=int)])
def test_draws_are_one_row_of_floats(draws):
    with pytest.raises(FigureError, match="one row of floats"):
        Figure("odd", 1.0, "s", draws, "")


def test_not_a_number_is_refused_but_without_end_is_kept():
    assert given("wait", np.inf, "s", TYPED).text() == "without end"
    with pytest.raises(FigureError, match="wait: its value or a draw is not a number"):
        given("wait", np.nan, "s", TYPED)


@for_all(st.floats(0.01, 0.98), st.floats(0.01, 0.98))
def test_a_surer_interval_is_never_the_narrower(one, other):
    low, high = _time().interval(min(one, other))
    wide_low, wide_high = _time().interval(max(one, other))
    assert wide_low <= low <= high <= wide_high


@pytest.mark.parametrize("level", [0.5, 0.8, 0.9, 0.99])
def test_the_interval_holds_its_share_of_the_draws(level):
    low, high = _time().interval(level)
    inside = np.mean((_time().draws >= low) & (_time().draws <= high))
    assert inside == pytest.approx(level, abs=0.0011)


@pytest.mark.parametrize("level", [0.0, 1.0, 90.0])
def test_a_level_outside_0_to_1_is_refused(level):
    with pytest.raises(FigureError, match="lies between 0 and 1"):
        _time().interval(level)


def test_an_interval_reaches_without_end_once_enough_draws_do():
    wait = from_draws("wait", 400.0, np.where(np.arange(1000) >= 900, np.inf, 300.0 + np.arange(1000)), "s", TYPED)
    assert wait.interval(0.9)[1] == np.inf
    assert wait.interval(0.5)[1] < np.inf


def test_find_reaches_every_figure_below_and_the_nearest_of_a_name_first():
    deep = given("part", 1.0, "s", TYPED)
    near = given("part", 2.0, "s", TYPED)
    middle = derive("middle", lambda a: a, deep, unit="s", formula="part")
    top = derive("top", lambda a, b: a + b, middle, near, unit="s", formula="middle + part")
    assert top.find("part") is near
    assert top.find("middle") is middle
    assert top.find("top") is top
    assert top.find("elsewhere") is None


def test_a_note_can_be_added_later_and_the_figure_still_knows_how_it_was_made():
    twice = derive("twice", lambda a: 2 * a, _time(), unit="s", formula="2 x honing")
    noted = replace(twice, note="limited by the bottleneck")
    assert noted.note in str(noted.why())
    assert noted.watch_next()[0].gain > 0


def test_a_figure_reads_itself_out_without_its_thousand_draws():
    assert repr(_time()) == "Figure('honing': 45 s (42 to 56))"
