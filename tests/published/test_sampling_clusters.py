"""The variance of a share with whole rounds drawn at random: Cochran (1977), sections 2.11 and 3.12, against other ways to it."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.watch.sample.clusters import ratio_variance, weighted_share

RNG = np.random.default_rng(20)
OF = RNG.integers(6, 15, 60).astype(float)
FOUND = RNG.binomial(OF.astype(int), RNG.beta(2, 5, 60)).astype(float)


def test_ratio_variance_agrees_with_the_jackknife_over_rounds() -> None:
    """Delete one round at a time: (R - 1) / R x sum (p_i - mean)^2. The two agree to the order 1 / R."""
    left = (FOUND.sum() - FOUND) / (OF.sum() - OF)
    jackknife = (OF.size - 1) / OF.size * ((left - left.mean()) ** 2).sum()

    assert ratio_variance(FOUND, OF) == pytest.approx(jackknife, rel=0.05)


def test_ratio_variance_agrees_with_a_bootstrap_over_rounds() -> None:
    """20 000 resamples know a variance to about 1 % (relative error sqrt(2 / B)); 60 rounds leave a bias of 1 / R beside it."""
    drawn = np.random.default_rng(1).integers(0, OF.size, (20_000, OF.size))
    shares = FOUND[drawn].sum(axis=1) / OF[drawn].sum(axis=1)

    assert ratio_variance(FOUND, OF) == pytest.approx(shares.var(), rel=0.06)


def test_rounds_of_one_size_give_the_variance_of_a_mean_of_rounds() -> None:
    """With equal rounds the ratio is the mean of the rounds' shares, whose variance is s^2 / R exactly."""
    found = np.array([1.0, 4.0, 2.0, 0.0, 3.0])

    assert ratio_variance(found, np.full(5, 8.0)) == pytest.approx((found / 8).var(ddof=1) / 5)


def test_ratio_variance_agrees_with_cluster_robust_least_squares() -> None:
    """statsmodels OLS of looks on a constant with cov_type "cluster": the same sum, with its own small-sample factor taken out."""
    import statsmodels.api as sm

    looks = np.concatenate([np.repeat([1.0, 0.0], [int(a), int(m - a)]) for a, m in zip(FOUND, OF, strict=True)])
    groups = np.repeat(np.arange(OF.size), OF.astype(int))
    fit = sm.OLS(looks, np.ones(looks.size)).fit(
        cov_type="cluster", cov_kwds={"groups": groups, "use_correction": False}
    )

    assert ratio_variance(FOUND, OF) == pytest.approx(float(fit.cov_params()[0, 0]) * OF.size / (OF.size - 1))


def test_post_stratified_variance_agrees_with_the_jackknife() -> None:
    rng = np.random.default_rng(8)
    of = rng.integers(2, 6, (50, 3)).astype(float)
    found = rng.binomial(of.astype(int), [0.2, 0.4, 0.7]).astype(float)
    weights = (0.5, 0.3, 0.2)
    left = [weighted_share(np.delete(found, k, 0), np.delete(of, k, 0), weights)[0] for k in range(50)]
    jackknife = 49 / 50 * ((np.array(left) - np.mean(left)) ** 2).sum()

    share, variance = weighted_share(found, of, weights)

    assert share == pytest.approx(sum(w * f / m for w, f, m in zip(weights, found.sum(0), of.sum(0), strict=True)))
    assert variance == pytest.approx(jackknife, rel=0.08)
