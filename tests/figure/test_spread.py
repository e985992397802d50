"""Shares of a spread, against cases whose shares are known on paper."""

from math import pi, sqrt

import numpy as np
import pytest
from hypothesis import given as for_all
from hypothesis import settings
from hypothesis import strategies as st
from scipy import stats

from pullwright.figure import Source, derive, from_draws, given, judged
from pullwright.figure.draws import midpoints, shuffled
from pullwright.figure.spread import _slopes

TYPED = Source("line file", "x")
# The share left to chance when a curve is read from n draws in g groups scatters by about sqrt(4 g) / n; with 1000
# draws and 10 groups that is 0.6 %, and the tests allow four times as much.
CURVE = 4 * sqrt(40) / 1000


def _normal(name, mean, deviation, count=1000):
    rows = shuffled(name, stats.norm.ppf(midpoints(count), mean, deviation))
    return from_draws(name, mean, rows, "1", TYPED)


def _uniform(name, low, high, count=1000):
    return from_draws(name, (low + high) / 2, shuffled(name, low + (high - low) * midpoints(count)), "1", TYPED)


def _by_name(figure):
    return {share.name: share.share for share in figure.share_of_uncertainty()}


def test_shares_of_a_sum_are_the_shares_of_its_variances():
    a, b, c = (_normal(name, 10.0, sigma) for name, sigma in (("a", 1.0), ("b", 2.0), ("c", 3.0)))
    total = derive("sum", lambda x, y, z: x + y + z, a, b, c, unit="1", formula="a + b + c")
    shares = _by_name(total)
    assert [share.name for share in total.share_of_uncertainty()][:3] == ["c", "b", "a"]
    for name, variance in (("a", 1), ("b", 4), ("c", 9)):
        assert shares[name] == pytest.approx(variance / 14, abs=2e-3)  # the midpoint rule loses 0.1 % of a variance
    assert shares["together or by chance"] == pytest.approx(0, abs=1e-6)


def test_slopes_are_those_of_an_independent_least_squares():
    rng = np.random.default_rng(8)
    table = rng.standard_normal((60, 1000))
    table[1] = table[0] + 0.3 * table[1]
    spread = rng.standard_normal(60) @ table + rng.standard_normal(1000)
    np.testing.assert_allclose(
        _slopes(table @ table.T, table @ spread), np.linalg.lstsq(table.T, spread, rcond=None)[0], rtol=1e-8
    )


def test_two_figures_that_always_go_together_share_what_they_explain():
    a, b = _normal("a", 1.0, 1.0), _normal("b", 1.0, 1.0)
    twin = from_draws("twin", 1.0, a.draws, "1", TYPED)
    figure = derive("x", lambda p, q, r: p + q + r, a, twin, b, unit="1", formula="a + twin + b")
    shares = _by_name(figure)
    # a and its twin move as one figure of twice the size: 4 parts of 5, half for each.
    assert [shares[name] for name in ("a", "twin", "b")] == pytest.approx([0.4, 0.4, 0.2], abs=1e-6)


def test_thirty_small_shares_are_each_found():
    given_ones = [_normal(f"step {number}", 10.0, 1.0) for number in range(30)]
    total = derive("sum", lambda *rows: sum(rows), *given_ones, unit="1", formula="sum of the steps")
    assert all(share.share == pytest.approx(1 / 30, abs=1e-4) for share in total.share_of_uncertainty() if share.figure)


def test_shares_of_a_product_leave_its_interaction_to_the_remainder():
    a, b = _normal("a", 1.0, 0.5), _normal("b", 2.0, 1.0)
    product = derive("product", lambda x, y: x * y, a, b, unit="1", formula="a x b")
    shares = _by_name(product)
    total = 0.25 * 4 + 1 * 1 + 0.25 * 1  # var(a) E(b)^2 + var(b) E(a)^2 + var(a) var(b)
    # Sampling error of a slope with the interaction as noise: 2 S sqrt(rest / S) / sqrt(n), about 3 % here at 2 sigma.
    assert shares["a"] == pytest.approx(1 / total, abs=0.06)
    assert shares["b"] == pytest.approx(1 / total, abs=0.06)
    assert shares["together or by chance"] == pytest.approx(0.25 / total, abs=0.06)


def test_a_pure_interaction_belongs_to_nobody_alone():
    a, b = _normal("a", 0.0, 1.0), _normal("b", 0.0, 1.0)
    shares = _by_name(derive("product", lambda x, y: x * y, a, b, unit="1", formula="a x b"))
    assert shares["together or by chance"] > 1 - 2 * CURVE


def test_a_curve_without_any_straight_part_is_found():
    a, b = _uniform("a", -1.0, 1.0), _uniform("b", -1.0, 1.0)
    bent = derive("bent", lambda x, y: x**2 + y, a, b, unit="1", formula="a squared + b")
    variances = 4 / 45, 1 / 3  # of a uniform's square, and of a uniform
    shares = _by_name(bent)
    assert shares["a"] == pytest.approx(variances[0] / sum(variances), abs=CURVE)
    assert shares["b"] == pytest.approx(variances[1] / sum(variances), abs=CURVE)


def test_the_ishigami_function_has_its_published_shares():
    """S1 = 0.3139, S2 = 0.4424, S3 = 0 for a = 7, b = 0.1 (Ishigami & Homma 1990), recomputed here."""
    a, b = 7.0, 0.1
    v1 = 0.5 * (1 + b * pi**4 / 5) ** 2
    v2 = a**2 / 8
    v13 = b**2 * pi**8 * 8 / 225
    total = v1 + v2 + v13
    assert (v1 / total, v2 / total) == (pytest.approx(0.3139, abs=1e-4), pytest.approx(0.4424, abs=1e-4))
    count = 40_000
    x = [_uniform(name, -pi, pi, count) for name in ("x1", "x2", "x3")]
    y = derive(
        "y", lambda p, q, r: np.sin(p) + a * np.sin(q) ** 2 + b * r**4 * np.sin(p), *x, unit="1", formula="Ishigami"
    )
    shares = _by_name(y)
    assert shares["x1"] == pytest.approx(v1 / total, abs=0.02)
    assert shares["x2"] == pytest.approx(v2 / total, abs=0.02)
    assert shares["x3"] == pytest.approx(0.0, abs=0.005)
    assert shares["together or by chance"] == pytest.approx(v13 / total, abs=0.02)


def test_given_figures_that_do_nothing_are_given_nothing():
    busy = _normal("busy", 10.0, 1.0)
    idle = [_normal(f"idle {number}", 10.0, 1.0) for number in range(20)]
    figure = derive("x", lambda first, *_: first**2, busy, *idle, unit="1", formula="busy squared")
    shares = figure.share_of_uncertainty()
    assert shares[0].figure is busy
    assert shares[0].share > 0.97
    assert sum(share.share for share in shares[1:-1]) < 0.02


def test_certain_figures_have_no_share_and_a_figure_without_spread_shares_nothing():
    takt = given("takt", 60.0, "s", TYPED)
    work = judged("work", 40.0, 45.0, 60.0, "s", TYPED)
    load = derive("load", lambda a, b: a / b, work, takt, unit="share", formula="work / takt")
    assert takt.share_of_uncertainty() == ()
    assert set(_by_name(load)) == {"work", "together or by chance"}
    nothing = derive("nothing", lambda a: a - a, work, unit="s", formula="work - work")
    assert all(share.share == 0 for share in nothing.share_of_uncertainty())


def test_a_spread_without_end_is_shared_by_ranks():
    load, other = _uniform("load", 0.5, 1.1), _uniform("other", 0.9, 1.1)
    wait = derive(
        "wait",
        lambda u, o: np.where(u < 1, o * u / np.maximum(1 - u, 1e-300), np.inf),
        load,
        other,
        unit="1",
        formula="u / (1 - u)",
    )
    shares = wait.share_of_uncertainty()
    assert shares[0].figure is load
    assert shares[0].by_ranks
    assert shares[0].share > 0.9


def test_a_few_wild_draws_do_not_hide_where_the_spread_comes_from():
    wild = _normal("wild", 0.0, 1.0)
    tailed = derive("tailed", lambda x: np.exp(3 * x), wild, unit="1", formula="exp(3 wild)")
    assert tailed.share_of_uncertainty()[0].share > 0.95


@settings(max_examples=40, deadline=None)
@for_all(st.lists(st.floats(0.0, 1e6), min_size=1, max_size=6), st.sampled_from(["sum", "product", "largest"]))
def test_shares_lie_between_0_and_1_and_add_up_to_1(widths, kind):
    given_ones = [judged(f"step {n}", 1.0, 1.0 + width / 3, 1.0 + width, "1", TYPED) for n, width in enumerate(widths)]
    functions = {
        "sum": lambda *rows: sum(rows),
        "product": lambda *rows: np.prod(rows, axis=0),
        "largest": lambda *rows: np.max(rows, axis=0),
    }
    figure = derive(kind, functions[kind], *given_ones, unit="1", formula=kind)
    shares = [share.share for share in figure.share_of_uncertainty()]
    assert all(0 <= share <= 1 for share in shares)
    if shares and np.ptp(figure.draws) > 0:
        assert sum(shares) == pytest.approx(1.0)


def test_shares_do_not_hang_on_the_unit():
    a, b = _normal("a", 1.0, 0.2), _normal("b", 2.0, 0.3)
    small = derive("x", lambda x, y: x * y, a, b, unit="1", formula="a x b")
    large = derive("x", lambda x, y: 1e200 * x * y, a, b, unit="1", formula="a x b")
    assert list(_by_name(small).values()) == pytest.approx(list(_by_name(large).values()), abs=1e-9)
