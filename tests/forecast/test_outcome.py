"""One answer out of its numbers: how a stretch may turn out, how sure the value is, and its figure."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.figure import Source, given, judged
from pullwright.forecast.answers.interval import Interval
from pullwright.forecast.outcome import Outcome, cut, outcome_from, outcome_of
from pullwright.forecast.told import Told

SOURCE = Source("computed", "runs")


def outcome(each: np.ndarray, by_draw: np.ndarray | None = None, *, unit: str = "pieces", **more: object) -> Outcome:
    found = Interval(float(each.mean()), float(each.mean()) - 1, float(each.mean()) + 1, 0.9, each.size)
    return outcome_from("made", unit, found, each, each, by_draw, formula="counted", source=SOURCE, **more)  # type: ignore[arg-type]


def test_a_stretch_turns_out_as_the_runs_did():
    one = outcome(np.arange(101.0))

    assert (one.low, one.high) == pytest.approx((5.0, 95.0), abs=0.5)


def test_with_draws_of_the_inputs_a_stretch_holds_both_luck_and_ignorance():
    rng = np.random.default_rng(1)
    one = outcome(rng.normal(50, 1, 200), 50 + rng.normal(0, 4, (400, 1)) + rng.normal(0, 1, (400, 2)))

    assert one.high - one.low == pytest.approx(2 * 1.645 * np.sqrt(17), rel=0.1)
    assert one.of_ignorance == pytest.approx(16 / 17, abs=0.03)


def test_the_draws_of_the_figure_are_those_of_ignorance_without_the_luck_of_a_few_runs():
    rng = np.random.default_rng(2)
    one = outcome(rng.normal(50, 3, 400), 50 + rng.normal(0, 2, (800, 1)) + rng.normal(0, 3, (800, 2)))

    # Ignorance 4, and 9 / 400 of luck that is left in the value; the means of two runs have 4 + 9 / 2. Four standard errors.
    assert one.figure.draws.var(ddof=1) == pytest.approx(4.02, abs=1.9)


def test_a_percentile_of_all_pieces_has_its_draws_about_it():
    # Pooled, the 95th percentile of the runs is 90; their own are 60 on average.
    each = np.array([30.0, 60.0, 90.0] * 10)
    found = Interval(90.0, 80.0, 95.0, 0.9, 30)

    one = outcome_from(
        "p", "wd", found, each, each, np.random.default_rng(3).normal(60, 5, (50, 2)), formula="f", source=SOURCE
    )

    assert one.figure.draws.mean() == pytest.approx(90.0, abs=2.0)


def test_draws_stay_within_what_a_quantity_can_be():
    one = outcome(np.array([0.99, 1.0, 1.0, 1.0]), np.array([[0.9, 1.0], [1.0, 1.0], [0.7, 0.8]]), unit="share")

    assert one.figure.draws.max() <= 1.0
    assert one.mean_high <= 1.0


def test_a_difference_may_be_below_nothing():
    one = outcome(np.array([-3.0, -2.0, -4.0]), signed=True)

    assert one.mean_low == -4.0
    assert one.figure.draws.min() < 0


def test_without_draws_of_the_inputs_the_figure_is_as_sure_as_the_runs_make_it():
    each = np.random.default_rng(4).normal(50, 10, 25)

    low, high = outcome(each).figure.interval()

    assert (high - low) / 2 == pytest.approx(1.711 * each.std(ddof=1) / 5, rel=0.02)  # t(24) at 90 %


def test_what_never_comes_to_an_end_is_told_as_such():
    one = outcome(np.array([5.0, np.inf, np.inf]), np.array([[5.0, np.inf], [np.inf, np.inf]]), unit="wd")

    assert one.split is None
    assert one.high == np.inf
    assert "without end" in one.text()


def test_runs_that_say_nothing_give_no_answer():
    told = Told("lead time", "wd", "mean", np.zeros(3), np.zeros(3))

    assert outcome_of(told, [], level=0.9, source=SOURCE, inputs=()) is None


def test_inputs_have_as_many_draws_as_were_run():
    guess, sure = judged("guess", 1.0, 2.0, 3.0, "s", SOURCE), given("sure", 1.0, "s", SOURCE)

    assert (cut(guess, 6).draws == guess.draws[:6]).all()
    assert cut(guess, 0) is guess
    assert cut(sure, 6) is sure


def test_what_to_watch_next_follows_from_how_the_answer_goes_along_with_its_inputs():
    rng = np.random.default_rng(5)
    inputs = [cut(judged(name, 1.0, 2.0, 3.0, "s", SOURCE), 40) for name in ("steep", "flat")]
    table = 10 + 5 * inputs[0].draws[:, None] + rng.normal(0, 0.1, (40, 2))

    one = outcome(20 + rng.normal(0, 0.1, 30), table, inputs=inputs)

    first, *rest = one.figure.watch_next()
    assert first.figure.name == "steep"
    assert first.gain > 0.5
    assert rest == []
    assert one.figure.value == pytest.approx(20, abs=0.1)
