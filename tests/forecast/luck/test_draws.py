"""Random numbers and shapes: the laws that they must follow, held against scipy; streams that do not hang on one another."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from pullwright.forecast.luck.elementary import exponentials, logarithms, normal, normals
from pullwright.forecast.luck.shapes import KINDS, Shape, fill_times, shape_of
from pullwright.forecast.luck.streams import fill_uniform, key_of, stream_of, uniform

MANY = 200_000
EPS = np.finfo(float).eps


def drawn(shape: Shape, count: int = MANY, stream: int = 12345, first: int = 0) -> np.ndarray:
    out = np.empty(count)
    fill_times(
        shape.kind, shape.mean, shape.a, shape.b, shape.c, np.asarray(shape.readings, dtype=float), np.uint64(stream), first,
        out, np.empty(count), np.empty(count, np.int64),
    )  # fmt: skip
    return out


def evenly(count: int, stream: int = 7, first: int = 0) -> np.ndarray:
    out = np.empty(count)
    fill_uniform(np.uint64(stream), first, out)
    return out


def test_exponentials_and_logarithms_are_right_to_two_units_in_the_last_place():
    rng = np.random.default_rng(1)
    x = rng.uniform(-700, 700, 50_000)
    row = x.copy()
    exponentials(row)
    np.testing.assert_allclose(row, np.exp(x), rtol=2 * EPS)
    x = np.concatenate([np.exp(rng.uniform(-600, 600, 50_000)), rng.uniform(0.5, 2.0, 50_000), [1.0]])
    row = x.copy()
    logarithms(row)
    np.testing.assert_allclose(row, np.log(x), rtol=2 * EPS)


def test_the_normal_law_is_right_far_into_its_tails():
    rng = np.random.default_rng(2)
    u = np.concatenate(
        [rng.random(50_000), 10.0 ** rng.uniform(-300, -1, 20_000), 1 - 10.0 ** rng.uniform(-15, -1, 5_000)]
    )
    row = u.copy()
    normals(row, np.empty_like(u), np.empty(u.size, np.int64))
    np.testing.assert_allclose(row, special.ndtri(u), rtol=8 * EPS, atol=8 * EPS)
    assert [normal(one) for one in u[::997]] == list(row[::997])


@given(st.integers(0, 2**63), st.integers(0, 10**12), st.integers(1, 300))
def test_a_number_of_a_stream_is_the_same_wherever_the_row_begins(stream, first, count):
    row = evenly(count, stream, first)
    assert [uniform(np.uint64(stream), first + k) for k in range(count)] == list(row)
    assert row.min() > 0
    assert row.max() < 1


def test_streams_of_seeds_runs_and_purposes_next_to_one_another_are_all_different():
    saw, hone = key_of("step", "saw"), key_of("step", "hone")
    keys = [
        stream_of(np.uint64(seed), np.uint64(run), key)
        for seed in range(20)
        for run in range(50)
        for key in (saw, hone)
    ]
    assert len({int(key) for key in keys}) == 2000
    rows = np.array([evenly(2000, int(key)) for key in keys[:200]])
    apart = np.corrcoef(rows)[np.triu_indices(200, 1)]
    # 19,900 correlations of independent rows: standard deviation 1 / sqrt(2000), the largest of them below 5 of those.
    assert abs(apart.std() * np.sqrt(2000) - 1) < 0.03
    assert abs(apart).max() < 5 / np.sqrt(2000)


@pytest.mark.parametrize("stream", [0, 1, 2**63])
def test_numbers_are_even_in_one_two_and_three_dimensions_and_bit_by_bit(stream):
    u = evenly(600_000, stream)
    assert stats.kstest(u, "uniform").pvalue > 1e-3
    for wide, cells in ((1, 4096), (2, 64), (3, 16)):
        points = (u.reshape(-1, wide) * cells).astype(int)
        hits = np.bincount(points @ cells ** np.arange(wide), minlength=cells**wide)
        assert stats.chisquare(hits).pvalue > 1e-3
    bits = (u * 2**40).astype(np.int64)
    ones = np.array([(bits >> k & 1).sum() for k in range(40)])
    assert abs(ones - u.size / 2).max() < 5 * np.sqrt(u.size / 4)
    # Runs up and down (Wald & Wolfowitz 1940): about the mean of a row of coin tosses.
    above = u > 0.5
    runs = 1 + np.count_nonzero(above[1:] != above[:-1])
    assert abs(runs - u.size / 2) < 5 * np.sqrt(u.size / 4)


def test_gaps_between_birthdays_have_the_law_of_poisson():
    """Marsaglia's birthday spacings: m birthdays in a year of n days have about Poisson(m³ / 4 n) equal gaps."""
    m, n, years = 512, 2**24, 400
    days = (evenly(m * years, 99).reshape(years, m) * n).astype(np.int64)
    gaps = np.sort(np.diff(np.sort(days, axis=1), axis=1), axis=1)
    equal = (np.diff(gaps, axis=1) == 0).sum(axis=1)
    seen = np.bincount(np.minimum(equal, 6), minlength=7)
    law = stats.poisson(m**3 / (4 * n))
    due = np.append(law.pmf(range(6)), law.sf(5)) * years
    assert stats.chisquare(seen, due).pvalue > 1e-3


LAWS = {
    "exponential": (1.0, lambda s: stats.expon(scale=s.mean)),
    "lognormal": (0.35, lambda s: stats.lognorm(s.b, scale=np.exp(s.a))),
    "gamma": (0.8, lambda s: stats.gamma(s.a, scale=s.mean / s.a)),
    "weibull": (0.6, lambda s: stats.weibull_min(1 / s.a, scale=s.b)),
    "triangular": (0.3, lambda s: stats.triang((s.b - s.a) / (s.c - s.a), s.a, s.c - s.a)),
}


@pytest.mark.parametrize("family", LAWS)
@pytest.mark.parametrize("wider", [1.0, 1.9])
def test_draws_follow_their_law_with_the_mean_and_cv_that_were_asked_for(family, wider):
    cv = LAWS[family][0] * (wider if family != "exponential" else 1.0)
    shape = shape_of(family, 45.0, cv)
    law = LAWS[family][1](shape)
    assert law.mean() == pytest.approx(45.0, rel=1e-9)
    assert law.std() / law.mean() == pytest.approx(cv, rel=1e-9)
    sample = drawn(shape)
    assert stats.kstest(sample, law.cdf).pvalue > 1e-3
    assert stats.cramervonmises(sample, law.cdf).pvalue > 1e-3
    assert (sample > 0).all()


def test_readings_are_drawn_equally_often_and_scaled_to_the_mean():
    sample = drawn(shape_of("empirical", 30.0, 0.0, (10.0, 20.0, 30.0)))
    values, counts = np.unique(sample, return_counts=True)
    assert values.tolist() == [15.0, 30.0, 45.0]
    assert stats.chisquare(counts).pvalue > 1e-3


@pytest.mark.parametrize("family", [*KINDS])
def test_draws_are_the_same_wherever_a_row_begins(family):
    shape = shape_of(family, 45.0, 0.4, (40.0, 50.0))
    assert list(drawn(shape, 70, first=30)) == list(drawn(shape, 100)[30:])


@pytest.mark.parametrize("family", [family for family in KINDS if family not in ("empirical", "exponential")])
def test_what_does_not_vary_is_constant(family):
    assert set(drawn(shape_of(family, 45.0, 0.0), 10)) == {45.0}
    assert set(drawn(shape_of(family, 0.0, 0.5), 10)) == {0.0}


@pytest.mark.parametrize(
    ("family", "mean", "cv", "said"),
    [
        ("lognormal", -1.0, 0.2, "0 or more"),
        ("gamma", 1.0, float("inf"), "have an end"),
        ("triangular", 1.0, 0.8, "at most 0.707"),
        ("empirical", 1.0, 0.0, "without readings"),
    ],
)
def test_shapes_that_there_are_not_are_refused(family, mean, cv, said):
    with pytest.raises(ValueError, match=said):
        shape_of(family, mean, cv)
