"""What to watch next."""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from scipy import stats

from pullwright.figure import (
    FigureError,
    Source,
    derive,
    derive_many,
    from_counts,
    from_draws,
    from_readings,
    given,
    judged,
)

STUDY = Source("study", "study T-014")
TYPED = Source("line file", "steps.pack.walk")
HONE = from_readings("honing", [40.0, 52.0, 45.0, 49.0, 44.0], "s", STUDY)
PACK = from_readings("packing", [30.0, 31.0, 30.5, 29.9], "s", Source("study", "study T-015"))
WALK = judged("walking", 4.0, 7.0, 10.0, "s", TYPED)
YIELD = from_counts("yield", 96, 100, source=Source("count", "check of week 12"))


def _touch(*given_ones):
    return derive("touch time", lambda *rows: sum(rows), *given_ones, unit="s", formula="sum of the steps")


def test_the_study_that_narrows_most_comes_first():
    rows = _touch(HONE, PACK, WALK).watch_next()
    assert rows[0].figure.name == "honing"
    assert [row.gain for row in rows] == sorted((row.gain for row in rows), reverse=True)


def test_a_figure_of_one_study_narrows_as_the_root_of_the_readings():
    (row,) = HONE.watch_next(more=15)
    low, high = HONE.interval()
    assert row.then[1] - row.then[0] == pytest.approx((high - low) * sqrt(5 / 20), rel=1e-12)
    assert row.gain == pytest.approx(0.5)
    assert (row.more, row.counted, row.kind, row.now) == (15, "readings", "readings", (low, high))


def test_a_sum_of_two_normals_narrows_as_its_variance_does():
    rows = {name: stats.norm.ppf((np.arange(1000) + 0.5) / 1000) for name in "ab"}
    order = np.random.default_rng(3).permutation(1000)
    a = from_draws("a", 0.0, 3 * rows["a"], "1", STUDY, readings=4)
    b = from_draws("b", 0.0, 4 * rows["b"][order], "1", STUDY, readings=4)
    total = derive("sum", lambda x, y: x + y, a, b, unit="1", formula="a + b")
    first = total.watch_next(more=12)[0]
    assert first.figure is b
    # 4 becomes 2: 5 becomes sqrt(13). A 90 % width from 1000 draws is good to about 3 % (1 sigma), and both widths
    # come from the same draws.
    assert 1 - first.gain == pytest.approx(sqrt(13) / 5, rel=0.06)


def test_the_sentence_says_what_to_do_and_what_it_brings():
    rows = _touch(HONE, WALK).watch_next()
    assert rows[0].sentence == (
        "Take about 15 more readings of honing (study T-014): narrows touch time from 48.2–57.8 s to 50.1–56.0 s."
    )
    assert str(rows[1]).startswith("Take 20 readings of walking (steps.pack.walk) instead of judging it: narrows touch")


@pytest.mark.parametrize(
    ("leaf", "kind", "more", "says"),
    [
        (HONE, "readings", 15, "Take about 15 more readings of honing (study T-014)"),
        (WALK, "judged", 20, "Take 20 readings of walking (steps.pack.walk) instead of judging it"),
        (YIELD, "pieces", 100, "Check about 100 more pieces for yield (check of week 12)"),
        (from_draws("fit", 1.5, np.linspace(1, 2, 1000), "1", STUDY), "unknown", 3, "Find out more about fit"),
    ],
)
def test_the_kind_of_source_decides_the_advice(leaf, kind, more, says):
    (row,) = leaf.watch_next()
    assert (row.kind, row.more) == (kind, more)
    assert row.sentence.startswith(says)


def test_what_rests_on_one_reading_is_named_last():
    one = from_readings("wiping", [3.2], "s", STUDY)
    rows = _touch(HONE, one).watch_next()
    assert rows[-1].figure is one
    assert rows[-1].gain == 0
    assert rows[-1].sentence == (
        "Take 9 more readings of wiping (study T-014): one reading cannot tell how sure it is."
    )


def test_nothing_is_advised_where_all_is_certain():
    assert given("takt", 60.0, "s", TYPED).watch_next() == ()


def test_what_does_not_move_the_answer_is_not_advised():
    figure = derive("x", lambda a, b: a + 1e-9 * b, HONE, WALK, unit="s", formula="honing, nearly")
    assert [row.figure.name for row in figure.watch_next()] == ["honing"]


def test_readings_must_be_at_least_one_more():
    with pytest.raises(FigureError, match="0 more readings were asked for"):
        HONE.watch_next(more=0)


def test_most_bounds_the_rows():
    steps = [judged(f"step {number}", 1.0, 2.0, 3.0 + number, "s", TYPED) for number in range(12)]
    assert len(_touch(*steps).watch_next(most=3)) == 3


def test_an_answer_without_end_that_becomes_finite_gains_all():
    load = judged("load", 0.7, 0.9, 1.1, "1", TYPED)
    wait = derive(
        "wait", lambda u: np.where(u < 1, u / np.maximum(1 - u, 1e-9), np.inf), load, unit="1", formula="u / (1 - u)"
    )
    assert wait.interval()[1] == np.inf
    (row,) = wait.watch_next()
    assert row.gain == 1.0
    assert row.then[1] < np.inf
    assert "without end" in row.sentence


def test_one_function_for_several_figures_is_worked_out_once_per_given_figure():
    calls = []

    def split(a):
        calls.append(a.size)
        return a, 2 * a

    pair = derive_many(("one", "two"), split, HONE, units=("s", "s"), formulas=("", ""))
    total = derive("sum", lambda a, b: a + b, *pair, unit="s", formula="one + two")
    calls.clear()
    total.watch_next()
    assert calls == [1000]


def test_a_figure_without_a_function_keeps_its_draws():
    loose = replace(_touch(HONE, WALK), _recipe=None)
    assert loose.watch_next() == ()


def test_advice_reads_in_the_currency_of_the_line():
    cost = derive("cost", lambda a: a * 100, HONE, unit="money", formula="honing x 100")
    assert "CHF" in cost.watch_next(currency="CHF")[0].sentence
