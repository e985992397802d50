"""Lead times that are not over, shares and breakdown rates of a log, against general-purpose libraries."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.watch.log.story.breakdowns import exponential
from pullwright.watch.log.story.measuring import mean, ratios, share
from pullwright.watch.log.story.survival import percentiles, survival


def censored(seed: int, size: int = 60) -> tuple[np.ndarray, np.ndarray]:
    """Times in whole days, so that several are equal, and which of them are over."""
    rng = np.random.default_rng(seed)
    times, over = np.ceil(rng.gamma(2.0, 5.0, size)), rng.random(size) < 0.7
    over[times == times.max()] = False  # else the curve ends at 0, where the bands of the library do not exist
    return times, over


@pytest.mark.parametrize("seed", range(4))
def test_survival_is_that_of_scipy_and_statsmodels(seed: int) -> None:
    """scipy.stats.ecdf with CensoredData; statsmodels SurvfuncRight, with Greenwood's variance."""
    from scipy.stats import CensoredData, ecdf
    from statsmodels.duration.survfunc import SurvfuncRight

    times, over = censored(seed)
    order = np.lexsort((~over, times))
    at, left, greenwood = survival(times[order], over[order])
    theirs = ecdf(CensoredData(uncensored=times[over], right=times[~over])).sf
    other = SurvfuncRight(times, over.astype(int))

    assert left == pytest.approx(theirs.evaluate(at))
    here = np.searchsorted(at, other.surv_times)
    assert left[here] == pytest.approx(other.surv_prob)
    assert (left * np.sqrt(greenwood))[here] == pytest.approx(other.surv_prob_se)


@pytest.mark.parametrize("seed", range(4))
def test_percentiles_with_some_still_open_are_those_of_statsmodels(seed: int) -> None:
    """SurvfuncRight.quantile, and quantile_ci with log(-log) bands (Brookmeyer & Crowley 1982)."""
    from statsmodels.duration.survfunc import SurvfuncRight

    times, over = censored(seed)
    other = SurvfuncRight(times, over.astype(int))
    for part, found in percentiles(times, over, (0.3, 0.5, 0.8), np.arange(times.size)):
        assert found.value == other.quantile(part)
        low, high = other.quantile_ci(part, alpha=0.1, method="cloglog")
        # Theirs names the times whose band holds the share; ours the first time at which each band has passed it.
        grid = np.append(np.unique(times), np.inf)
        assert abs(int(np.searchsorted(grid, found.low)) - int(np.searchsorted(grid, low))) <= 1
        assert (
            np.isnan(found.high) or abs(int(np.searchsorted(grid, found.high)) - int(np.searchsorted(grid, high))) <= 1
        )


def test_intervals_of_order_statistics_hold_as_often_as_they_say() -> None:
    """David & Nagaraja, Order Statistics, 7.1: at least nine times in ten, whatever the law. 400 samples: 0.9 - 3 x 0.015."""
    rng = np.random.default_rng(1)
    held = 0
    for _ in range(400):
        ((_, half),) = percentiles(rng.exponential(1.0, 41), np.ones(41, bool), [0.5], np.arange(41))
        held += half.low <= np.log(2) <= half.high
    assert 0.855 <= held / 400 <= 0.99


def test_intervals_with_some_still_open_hold_as_often_as_they_say() -> None:
    rng = np.random.default_rng(2)
    held = 0
    for _ in range(300):
        lasts, until = rng.exponential(1.0, 80), rng.exponential(2.5, 80)
        ((_, half),) = percentiles(np.minimum(lasts, until), lasts <= until, [0.5], np.arange(80))
        held += half.low <= np.log(2) <= half.high
    assert 0.84 <= held / 300 <= 0.97


@pytest.mark.parametrize(("found", "of"), [(0, 1), (0, 30), (3, 100), (50, 50), (7_000, 100_000)])
def test_shares_have_the_interval_of_statsmodels(found: int, of: int) -> None:
    from statsmodels.stats.proportion import proportion_confint

    one = share(found, of)

    assert (one.low, one.high) == pytest.approx(proportion_confint(found, of, alpha=0.1, method="wilson"), abs=1e-12)


@pytest.mark.parametrize("count", [1, 5, 40])
def test_mean_times_between_breakdowns_have_the_interval_of_the_chi_square_law(count: int) -> None:
    """2 T / chi-square of 2 n degrees of freedom (Epstein & Sobel 1953, from memory), with scipy's quantiles."""
    from scipy.stats import chi2

    one = exponential(3_600.0, count, ())

    assert one.value == 3_600 / count
    assert (one.low, one.high) == pytest.approx(tuple(7_200 / chi2.ppf([0.95, 0.05], 2 * count)))


def test_a_mean_has_students_interval() -> None:
    """scipy.stats.ttest_1samp(...).confidence_interval(0.9)."""
    from scipy.stats import ttest_1samp

    values = np.array([61.0, 64.5, 59.8, 70.2, 66.6])
    one, theirs = mean(values, np.arange(5)), ttest_1samp(values, 0).confidence_interval(0.9)

    assert (one.low, one.high) == pytest.approx((theirs.low, theirs.high))


def test_a_time_per_piece_has_the_interval_of_a_ratio() -> None:
    """Cochran, Sampling Techniques, 6.13: the ratio is the slope of a line through 0 weighted by 1 / x; its spread by residuals."""
    pieces, seconds = np.array([5.0, 8.0, 12.0, 20.0]), np.array([54.0, 79.0, 130.0, 196.0])
    (one,) = ratios(np.zeros(4, np.int64), seconds, pieces, 1, np.arange(4))
    left = seconds - one.value * pieces

    assert one.value == seconds.sum() / pieces.sum()
    error = np.sqrt((left**2).sum() / 3 / 4) / pieces.mean()
    assert one.high - one.value == pytest.approx(2.3533634 * error, rel=1e-6)  # Student, 3 degrees of freedom, 0.95
