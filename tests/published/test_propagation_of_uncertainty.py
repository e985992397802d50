"""Propagation of uncertainty against closed forms (JCGM 101:2008, clause 9, from memory and recomputed here).

Every tolerance is four standard errors of the Monte Carlo estimate with 200 000 draws. The draws of one given figure
are quantiles and scatter less than plain random numbers, so four standard errors are on the safe side.
"""

from math import exp, sqrt

import numpy as np
import pytest
from scipy import stats

from pullwright.figure import Source, derive, from_draws, from_readings, judged
from pullwright.figure.draws import midpoints, shuffled

COUNT = 200_000
JCGM = Source("published", "JCGM 101:2008, clause 9")


def _drawn(name, law, value):
    return from_draws(name, value, shuffled(name, law.ppf(midpoints(COUNT))), "1", JCGM)


def _sum(figures):
    return derive("Y", lambda *rows: sum(rows), *figures, unit="1", formula="X1 + X2 + X3 + X4")


def _sd_error(deviation, kurtosis):
    return 4 * deviation * sqrt((kurtosis - 1) / (4 * COUNT))


def _quantile_error(law, chance):
    return 4 * sqrt(chance * (1 - chance) / COUNT) / law.pdf(law.ppf(chance))


def test_four_normal_inputs_add_to_a_normal_of_deviation_2():
    """JCGM 101:2008, 9.2.2: y = 0, u(y) = 2.0, 95 % interval [-3.92, 3.92]."""
    y = _sum([_drawn(f"X{number}", stats.norm(), 0.0) for number in range(1, 5)])
    law = stats.norm(0, 2)
    low, high = y.interval(0.95)
    assert y.value == 0.0
    assert y.draws.std() == pytest.approx(2.0, abs=_sd_error(2.0, 3.0))
    assert high == pytest.approx(1.959964 * 2, abs=_quantile_error(law, 0.975))
    assert low == pytest.approx(-3.92, abs=_quantile_error(law, 0.025))


def test_four_rectangular_inputs_add_to_the_tabled_interval():
    """JCGM 101:2008, 9.2.3: y = 0, u(y) = 2.0, 95 % interval [-3.88, 3.88].

    The sum of four rectangular inputs of unit deviation follows a cubic spline; its upper tail is
    (4 - z)^4 / 4! for a sum z of unit rectangulars above 3, so its 97.5 % point is 4 - (24 * 0.025)^(1/4).
    """
    half = sqrt(3)
    y = _sum([_drawn(f"X{number}", stats.uniform(-half, 2 * half), 0.0) for number in range(1, 5)])
    exact = ((4 - (24 * 0.025) ** 0.25) - 2) * 2 * half
    assert exact == pytest.approx(3.88, abs=0.005)
    density = (24 * 0.025) ** 0.75 / 6 / (2 * half)
    error = 4 * sqrt(0.025 * 0.975 / COUNT) / density
    low, high = y.interval(0.95)
    assert y.draws.std() == pytest.approx(2.0, abs=_sd_error(2.0, 2.7))
    assert high == pytest.approx(exact, abs=error)
    assert low == pytest.approx(-exact, abs=error)


def test_one_wide_rectangular_input_among_narrow_ones_keeps_its_shape():
    """JCGM 101:2008, 9.2.4: three unit rectangulars and one of deviation 10: u(y) = 10.1, 95 % interval [-17.0, 17.0]."""
    half = sqrt(3)
    figures = [_drawn(f"X{number}", stats.uniform(-half, 2 * half), 0.0) for number in range(1, 4)]
    figures.append(_drawn("X4", stats.uniform(-10 * half, 20 * half), 0.0))
    y = _sum(figures)
    exact = _upper_point_of_smeared(10 * half, half)
    assert exact == pytest.approx(17.0, abs=0.05)
    low, high = y.interval(0.95)
    error = 4 * sqrt(0.025 * 0.975 / COUNT) * 20 * half * 2  # the density there is above half that of the wide one
    assert high == pytest.approx(exact, abs=error)
    assert low == pytest.approx(-exact, abs=error)
    assert y.draws.std() == pytest.approx(sqrt(103), abs=_sd_error(sqrt(103), 1.8))


def _upper_point_of_smeared(wide, narrow):
    """The 97.5 % point of the sum, by numerical convolution of the three narrow rectangulars with the wide one."""
    step = narrow / 400
    one = np.full(800, 1 / 800)
    three = np.convolve(np.convolve(one, one), one)
    shifts = (np.arange(three.size) - (three.size - 1) / 2) * step
    points = np.linspace(0.9 * wide, wide + 3 * narrow, 4001)
    reached = np.array([three @ np.clip((point - shifts + wide) / (2 * wide), 0, 1) for point in points])
    return float(np.interp(0.975, reached, points))


def test_a_product_of_lognormals_is_lognormal():
    """ln Y is normal with the sums of means and variances, so that every quantile and the mean are known."""
    a = _drawn("a", stats.lognorm(0.3, scale=exp(1.0)), exp(1.0))
    b = _drawn("b", stats.lognorm(0.4, scale=exp(-0.5)), exp(-0.5))
    y = derive("Y", lambda p, q: p * q, a, b, unit="1", formula="a x b")
    law = stats.lognorm(0.5, scale=exp(0.5))
    assert y.value == pytest.approx(exp(0.5))  # the product of the medians, not the mean exp(0.625)
    for chance, end in zip((0.05, 0.95), y.interval(0.9), strict=True):
        assert end == pytest.approx(law.ppf(chance), abs=_quantile_error(law, chance))
    assert y.draws.mean() == pytest.approx(exp(0.5 + 0.125), abs=4 * law.std() / sqrt(COUNT))
    assert np.log(y.draws).std() == pytest.approx(0.5, abs=_sd_error(0.5, 3.0))


def test_a_ratio_of_rectangulars_has_its_closed_quantile():
    """U / V of two rectangulars on (0, 1) lies below t with the chance t / 2 for t <= 1, and 1 - 1 / (2 t) above."""
    u, v = (_drawn(name, stats.uniform(), 0.5) for name in "uv")
    y = derive("Y", lambda p, q: p / q, u, v, unit="1", formula="u / v")
    for level in (0.5, 0.9):
        low, high = y.interval(level)
        tail = (1 - level) / 2
        spread = 4 * sqrt(tail * (1 - tail) / COUNT)
        assert low == pytest.approx(2 * tail, abs=spread * 2)
        assert high == pytest.approx(1 / (2 * tail), abs=spread / (2 * tail**2))


def test_a_mean_of_readings_has_the_t_interval():
    """JCGM 101:2008, 6.4.9: a series of n readings gives the scaled and shifted t with n - 1 degrees of freedom."""
    readings = [10.2, 9.7, 10.9, 10.1]
    figure = from_readings("x", readings, "1", JCGM, draws=COUNT)
    error = np.std(readings, ddof=1) / 2
    low, high = figure.interval(0.95)
    assert high == pytest.approx(np.mean(readings) + 3.182446 * error, rel=1e-4)  # t for 3 degrees, 97.5 %
    assert low == pytest.approx(np.mean(readings) - 3.182446 * error, rel=1e-4)


def test_a_sum_of_judgements_has_the_sum_of_the_triangular_moments():
    """The triangular law has mean (l + m + h) / 3 and variance (l² + m² + h² - lm - lh - mh) / 18."""
    ends = [(40.0, 45.0, 60.0), (1.0, 1.0, 7.0), (10.0, 20.0, 20.0)]
    figures = [judged(f"step {n}", *three, "s", JCGM, draws=COUNT) for n, three in enumerate(ends)]
    y = derive("Y", lambda *rows: sum(rows), *figures, unit="s", formula="sum")
    mean = sum(sum(three) / 3 for three in ends)
    variance = sum((a * a + b * b + c * c - a * b - a * c - b * c) / 18 for a, b, c in ends)
    assert y.value == 66.0
    assert y.draws.mean() == pytest.approx(mean, abs=4 * sqrt(variance / COUNT))
    assert y.draws.std() == pytest.approx(sqrt(variance), abs=_sd_error(sqrt(variance), 3.0))


def test_a_thousand_draws_hold_what_the_screen_shows():
    """With 1000 draws a 90 % end scatters by sqrt(0.05 * 0.95 / 1000) / density: 2 % of the width (1 sigma)."""
    ends = []
    for run in range(40):
        figures = [
            from_draws(name, 0.0, shuffled(name, stats.norm.ppf(midpoints(1000))), "1", JCGM)
            for name in (f"a {run}", f"b {run}")
        ]
        ends.append(derive("Y", lambda p, q: p + q, *figures, unit="1", formula="a + b").interval()[1])
    law = stats.norm(0, sqrt(2))
    plain = sqrt(0.05 * 0.95 / 1000) / law.pdf(law.ppf(0.95))
    assert np.mean(ends) == pytest.approx(law.ppf(0.95), abs=4 * plain / sqrt(40))
    assert np.std(ends) < 1.3 * plain
    assert plain / (2 * law.ppf(0.95)) == pytest.approx(0.0203, rel=0.01)
