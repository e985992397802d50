"""Time study beside published examples and a general-purpose library; what is from memory is recomputed."""

from __future__ import annotations

import csv
import os
from math import ceil, log2
from pathlib import Path

import numpy as np
import pytest
from scipy import optimize, stats

from pullwright.watch.study.drift import trend_of
from pullwright.watch.study.enough import readings_needed, readings_needed_ilo
from pullwright.watch.study.families import BY_KEY
from pullwright.watch.study.learning import cumulative_average, unit_time
from pullwright.watch.study.outliers import grubbs_critical
from pullwright.watch.study.shapes import fit_of
from pullwright.watch.study.spread import lag_one, mean_of, standard_deviation

DATA = Path(os.environ.get("PULLWRIGHT_SHARED_DATA", str(Path(__file__).parents[3] / "shared" / "data")))
MICHELSO = DATA / "checks" / "nist_univariate" / "michelso.csv"


def test_number_of_readings_of_the_ilo() -> None:
    """ILO, Introduction to Work Study: readings 7, 6, 7, 7, 6 give 8.81, so 9 (from memory); 40² · 6 / 33² recomputed."""
    number = readings_needed_ilo([7, 6, 7, 7, 6])

    assert number == pytest.approx(1600 * 6 / 33**2, rel=1e-6)
    assert int(number * 100) / 100 == 8.81
    assert ceil(number) == 9


@pytest.mark.parametrize("cv", [0.03, 0.1, 0.3, 0.8])
@pytest.mark.parametrize(("within", "level"), [(0.05, 0.95), (0.1, 0.9), (0.02, 0.99)])
def test_number_of_readings_by_student_beside_a_direct_search(cv: float, within: float, level: float) -> None:
    n = np.arange(2, 20000)
    direct = n[stats.t.ppf((1 + level) / 2, n - 1) * cv / np.sqrt(n) <= within][0]

    assert readings_needed(cv, within, level) == direct


@pytest.mark.skipif(not MICHELSO.exists(), reason="the shared open data are not beside the checkout")
def test_nist_michelso() -> None:
    """NIST StRD, univariate, Michelso: certified values (from memory, reproduced from the data)."""
    with MICHELSO.open(encoding="utf-8") as file:
        values = [float(row["y"]) for row in csv.DictReader(file)]

    assert mean_of(values) == pytest.approx(299.852400000000, rel=1e-14)
    assert standard_deviation(values) == pytest.approx(0.0790105478190518, rel=1e-13)
    assert lag_one(values) == pytest.approx(0.535199668621283, rel=1e-12)


@pytest.mark.parametrize(
    ("first", "offsets", "mean", "digits"),
    [(1.2, (1.1, 1.3), 1.2, 1e-14), (1000000.2, (1000000.1, 1000000.3), 1000000.2, 1e-9), (10000000.2, (10000000.1, 10000000.3), 10000000.2, 1e-8)],
)  # fmt: skip
def test_nist_numacc(first: float, offsets: tuple[float, float], mean: float, digits: float) -> None:
    """NIST StRD, NumAcc2 to 4 (from memory): 1001 values, standard deviation 0.1, lag-1 autocorrelation -0.999.

    `digits` is what the doubles nearest to the values carry: at 10 million they are rounded to 1e-9.
    """
    values = [first, *(offsets * 500)]

    assert mean_of(values) == pytest.approx(mean, rel=1e-15)
    assert standard_deviation(values) == pytest.approx(0.1, rel=digits)
    assert lag_one(values) == pytest.approx(-0.999, rel=max(digits, 1e-12))


# Two-sided, 5 %: Grubbs (1969), Technometrics 11 (from memory).
GRUBBS = {3: 1.1543, 5: 1.7150, 10: 2.2900, 20: 2.7082, 30: 2.9085}


@pytest.mark.parametrize(("readings", "critical"), GRUBBS.items())
def test_critical_values_of_grubbs(readings: int, critical: float) -> None:
    assert grubbs_critical(readings) == pytest.approx(critical, abs=6e-4)


# Unit multipliers of the 80 % curve, as printed in tables of learning curves (from memory): 0.8^log2(n).
EIGHTY = {1: 1.0, 2: 0.8, 3: 0.7021, 4: 0.64, 5: 0.5956, 6: 0.5617, 8: 0.512, 10: 0.4765, 20: 0.3812}


@pytest.mark.parametrize(("cycle", "multiplier"), EIGHTY.items())
def test_unit_multipliers_of_the_eighty_per_cent_curve(cycle: int, multiplier: float) -> None:
    assert unit_time(1.0, 0.8, cycle) == pytest.approx(multiplier, abs=6e-5)
    assert unit_time(1.0, 0.8, cycle) == pytest.approx(0.8 ** log2(cycle), rel=1e-12)


def test_both_forms_of_the_curve_add_up() -> None:
    for form in ("unit", "cumulative average"):
        units = [unit_time(1.0, 0.85, n, form) for n in range(1, 13)]  # type: ignore[arg-type]
        assert cumulative_average(1.0, 0.85, 12, form) == pytest.approx(sum(units) / 12)  # type: ignore[arg-type]


TIMES = np.random.default_rng(11).gamma(8, 5, 40)


@pytest.mark.parametrize(
    ("key", "law", "fixed"),
    [
        ("normal", stats.norm, {}),
        ("lognormal", stats.lognorm, {"floc": 0}),
        ("gamma", stats.gamma, {"floc": 0}),
        ("weibull", stats.weibull_min, {"floc": 0}),
        ("exponential", stats.expon, {"floc": 0}),
    ],
)
def test_fits_beside_a_general_library(key: str, law: stats.rv_continuous, fixed: dict[str, float]) -> None:
    theirs = law.fit(TIMES, **fixed)
    ours = fit_of(key, TIMES.tolist())

    assert ours.log_likelihood == pytest.approx(float(law.logpdf(TIMES, *theirs).sum()), abs=1e-4)
    assert ours.cdf([30.0, 45.0]) == pytest.approx(law.cdf([30.0, 45.0], *theirs), abs=2e-4)
    assert ours.mean == pytest.approx(law.mean(*theirs), rel=1e-3)
    assert ours.cv == pytest.approx(law.std(*theirs) / law.mean(*theirs), rel=2e-3)


@pytest.mark.parametrize("key", ["triangular", "shifted weibull"])
def test_searched_fits_are_not_beaten_by_a_general_optimiser(key: str) -> None:
    ours = fit_of(key, TIMES.tolist())

    # The likelihood has no bound at the least reading: thresholds keep away from it by the expected gap of n exponential times.
    limit = TIMES.min() - (TIMES.mean() - TIMES.min()) / TIMES.size

    def worse(p: np.ndarray) -> float:
        if key.startswith("shifted") and not 0 <= p[0] <= limit:
            return 1e9
        with np.errstate(all="ignore"):
            value = -float(BY_KEY[key].log_likelihood(p[None, :], TIMES[None, :])[0])
        return value if np.isfinite(value) else 1e9

    best = min(
        optimize.minimize(worse, np.array(ours.parameters) * f, method="Nelder-Mead").fun for f in (1.0, 0.97, 1.03)
    )

    assert -ours.log_likelihood <= best + 0.05


def test_trend_beside_a_general_library() -> None:
    rng = np.random.default_rng(12)
    for values in (rng.normal(size=12), rng.normal(size=30), np.round(rng.normal(size=60), 1)):
        theirs = stats.kendalltau(np.arange(values.size), values, variant="c")
        slope = stats.theilslopes(values, np.arange(values.size))
        ours = trend_of(values.tolist())
        assert ours.slope == pytest.approx(slope.slope)
        assert ours.chance == pytest.approx(theirs.pvalue, abs=0.02)
    exact = stats.kendalltau(np.arange(12), TIMES[:12], method="exact")
    assert trend_of(TIMES[:12].tolist()).chance == pytest.approx(exact.pvalue)
