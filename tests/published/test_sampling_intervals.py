"""Wilson's interval and the chi-square of strata against a general-purpose library; the textbooks' number of looks recomputed."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

from pullwright.watch.sample.clusters import wilson
from pullwright.watch.sample.differ import differ_by
from pullwright.watch.sample.enough import looks_needed
from pullwright.watch.sample.looks import Look, Tour


@pytest.mark.parametrize("level", [0.8, 0.9, 0.95, 0.99])
def test_wilson_agrees_with_statsmodels_over_a_grid(level: float) -> None:
    """statsmodels.stats.proportion.proportion_confint, method "wilson"."""
    from statsmodels.stats.proportion import proportion_confint

    for of in (1, 2, 7, 40, 270, 100_000):
        for found in sorted({0, 1, of // 7, of // 3, of // 2, of - 1, of}):
            theirs = proportion_confint(found, of, alpha=1 - level, method="wilson")
            assert wilson(found, of, level) == pytest.approx(theirs, abs=1e-12)


def test_number_of_looks_of_the_work_study_textbook() -> None:
    """n = 4 p (100 - p) / L^2 at 95 %, p and L in per cent: ILO, Introduction to Work Study (from memory). 4 x 25 x 75 / 25 = 300."""
    assert looks_needed(0.25, 0.05, z=2.0) == 4 * 25 * 75 // 5**2 == 300


def test_number_of_looks_agrees_with_statsmodels() -> None:
    from statsmodels.stats.proportion import samplesize_confint_proportion

    for share in (0.05, 0.25, 0.5):
        for half in (0.01, 0.03, 0.1):
            theirs = samplesize_confint_proportion(share, half, alpha=0.05)
            assert looks_needed(share, half) == int(np.ceil(theirs))


def test_chi_square_of_strata_agrees_with_scipy() -> None:
    """scipy.stats.chi2_contingency without correction, on a table of 3 stations by 2 kinds."""
    from scipy.stats import chi2_contingency

    table = {"saw": (12, 28), "press": (20, 20), "kiln": (9, 31)}
    looks = [
        Look(f"{name}{kind}{k}", k % 10, name, datetime(2026, 3, 17, 9), kind)
        for name, numbers in table.items()
        for kind, many in zip(("waiting", "value"), numbers, strict=True)
        for k in range(many)
    ]

    ours = differ_by(Tour("March", (), tuple(looks)), "station", shuffles=99)  # type: ignore[arg-type]
    theirs = chi2_contingency(np.array(list(table.values())), correction=False)

    assert ours.chi_square == pytest.approx(theirs.statistic)
    assert ours.freedom == theirs.dof
    assert ours.plain == pytest.approx(theirs.pvalue)
