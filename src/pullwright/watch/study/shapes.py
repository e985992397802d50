"""Which distribution do the times follow, does it fit, and which one goes into a line file, with which cv?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import inf

import numpy as np
from numpy.typing import NDArray

from pullwright.line.distributions import WIDEST_TRIANGLE, Distribution
from pullwright.watch.study.families import BY_KEY, FAMILIES, Family, Rows
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.spread import mean_of, standard_deviation

LEAST = 8
"""Fewer readings than this say nothing of a shape."""
NORMAL_BELOW = 1 / 3
"""A normal law is tried only where its mean is three standard deviations from 0: times are not negative."""
RESAMPLES = 199
CHANCE = 0.05
AS_GOOD = 2.0
"""Within so much AICc of the best, a shape explains the readings as well (Burnham & Anderson 2002)."""
_STEPS = (60.0, 30.0, 10.0, 5.0, 1.0, 0.5, 0.1, 0.05, 0.01, 0.005, 0.001)


@dataclass(frozen=True, slots=True)
class Goodness:
    """Does a fitted distribution fit? Anderson-Darling's A² and Kolmogorov-Smirnov's D with their probabilities by chance."""

    anderson_darling: float
    anderson_darling_chance: float
    kolmogorov_smirnov: float
    kolmogorov_smirnov_chance: float
    resamples: int

    @property
    def fits(self) -> bool:
        """Would readings that really follow this distribution lie as far off now and then (one time in twenty or more)?"""
        return self.anderson_darling_chance >= CHANCE


@dataclass(frozen=True, slots=True)
class Fit:
    """One distribution fitted by maximum likelihood: its parameters, and how well it explains the readings (AICc, less is better).

    `mean` in the unit of the readings and `cv` are those of the fitted distribution.
    """

    family: Family
    parameters: tuple[float, ...]
    log_likelihood: float
    aicc: float
    mean: float
    cv: float

    def named(self) -> dict[str, float]:
        """The parameters by name."""
        return dict(zip(self.family.parameters, self.parameters, strict=True))

    def cdf(self, times: Sequence[float]) -> tuple[float, ...]:
        """Which share of all times is as short as each of these, or shorter?"""
        shares = self.family.cdf(np.array([self.parameters]), np.array([times], dtype=np.float64))
        return tuple(shares[0].tolist())


@dataclass(frozen=True)
class Shape:
    """How the times are distributed: every family that was tried, the best first; tests only when they are asked for.

    `constant` where all readings are alike, and then `fits` is empty. `seed` of the resampling was handed in.
    """

    times: tuple[float, ...]
    fits: tuple[Fit, ...]
    constant: bool
    cv: float
    seed: int = 0
    resamples: int = RESAMPLES
    _tested: dict[str, Goodness] = field(default_factory=dict, repr=False, compare=False)

    @property
    def best(self) -> Fit | None:
        """The family that explains the readings best; None where all are alike."""
        return self.fits[0] if self.fits else None

    def goodness(self, fit: Fit) -> Goodness:
        """Does this one fit? Tested once and kept."""
        key = fit.family.key
        if key not in self._tested:
            self._tested[key] = goodness_of(fit, self.times, resamples=self.resamples, seed=self.seed)
        return self._tested[key]

    @cached_property
    def as_good(self) -> tuple[Fit, ...]:
        """The families that explain the readings as well as the best, the best among them."""
        return tuple(fit for fit in self.fits if fit.aicc <= self.fits[0].aicc + AS_GOOD)

    @cached_property
    def for_line(self) -> tuple[Distribution, float | None]:
        """Which `distribution` and which `cv` does a line file say? Those of the best family that it knows and that fits; its readings
        themselves ("empirical", without a cv) where none does.
        """
        if self.constant:
            return "constant", None
        for fit in self.fits:
            known = fit.family.line
            if (
                known is None
                or (known == "triangular" and self.cv > WIDEST_TRIANGLE)
                or fit.aicc > self._known_best + AS_GOOD
            ):
                continue
            if self.goodness(fit).fits:
                return known, None if known == "exponential" else self.cv
        return "empirical", None

    @cached_property
    def _known_best(self) -> float:
        return min((fit.aicc for fit in self.fits if fit.family.line), default=inf)

    @cached_property
    def sentence(self) -> str:
        """In words: the best family, whether it fits, and what goes into the line file."""
        if self.constant:
            return "all readings are alike: constant"
        best = self.fits[0]
        test = self.goodness(best)
        alike = [fit.family.words for fit in self.as_good[1:4]]
        also = f" ({_or(alike)} would do as well)" if alike else ""
        said = "fits" if test.fits else "is the best of those tried and does not fit"
        shape, cv = self.for_line
        write = shape if cv is None else f"{shape} with a cv of {cv:.2g}"
        return f"{best.family.words}{also} {said} (p = {test.anderson_darling_chance:.2g}); for the line file: {write}"


def shape_of(times: Sequence[float], *, seed: int = 0, resamples: int = RESAMPLES) -> Shape:
    """Which distribution do these times follow?

    Parameters: eight readings or more, above 0, in one unit; `seed` and number of `resamples` of the test of goodness.
    Result: every family fitted by maximum likelihood, in the order of AICc (Hurvich & Tsai 1989); see `Shape`.
    Errors: `StudyError` for fewer readings, or for one that is not above 0.

    >>> rng = np.random.default_rng(3)
    >>> shape = shape_of(rng.lognormal(3.0, 0.5, 60).tolist())
    >>> shape.best.family.key, shape.for_line[0]
    ('lognormal', 'lognormal')
    """
    x = np.array(times, dtype=np.float64)
    if x.size < LEAST:
        raise StudyError(f"{x.size} readings", "show no shape", f"{LEAST} readings or more", "take a few cycles more")
    if not np.isfinite(x).all() or x.min() <= 0:
        raise StudyError(f"a reading of {x.min():g} s", "is no time", "times above 0 s", "")
    cv = standard_deviation(times) / mean_of(times)
    if cv < 1e-9:
        return Shape(tuple(x.tolist()), (), constant=True, cv=0.0)
    tried = (family for family in FAMILIES if family.key != "normal" or cv < NORMAL_BELOW)
    fits = [one for family in tried if (one := _fit(family, x)) is not None]
    return Shape(tuple(x.tolist()), tuple(sorted(fits, key=lambda fit: fit.aicc)), False, cv, seed, resamples)


def fit_of(key: str, times: Sequence[float]) -> Fit:
    """This family (a key of `families.BY_KEY`), fitted by maximum likelihood.

    >>> fit_of("exponential", [1.0, 2.0, 3.0, 4.0, 1.0, 2.0, 3.0, 4.0]).parameters
    (2.5,)
    """
    fit = _fit(BY_KEY[key], np.array(times, dtype=np.float64))
    assert fit is not None
    return fit


def _fit(family: Family, x: NDArray[np.float64]) -> Fit | None:
    parameters = family.fit(x[None, :])
    likelihood = float(family.log_likelihood(parameters, x[None, :])[0])
    known, n = len(family.parameters), x.size
    if not np.isfinite(likelihood) or n <= known + 1:
        return None
    aicc = -2 * likelihood + 2 * known + 2 * known * (known + 1) / (n - known - 1)
    return Fit(family, tuple(parameters[0].tolist()), likelihood, aicc, *family.moments(parameters[0]))


def resolution_of(times: Sequence[float]) -> float:
    """To which step was the watch read: 1 s, half a second, a tenth? 0 where no step of a watch is seen.

    >>> resolution_of([41.0, 44.0, 39.0]), resolution_of([41.2, 44.0, 39.7]), resolution_of([1 / 3, 0.7123])
    (1.0, 0.1, 0.0)
    """
    x = np.array(times, dtype=np.float64)
    for step in _STEPS:
        if np.abs(x / step - np.round(x / step)).max() < 1e-6:
            return step
    return 0.0


def statistics_of(shares: Rows) -> tuple[Rows, Rows]:
    """Anderson-Darling's A² and Kolmogorov-Smirnov's D of rows of F(x), shape (samples, readings) in, two of (samples,) out.

    Source: Anderson & Darling (1954), JASA 49; Stephens (1974), JASA 69.
    """
    n = shares.shape[1]
    f = np.clip(np.sort(shares, axis=1), 1e-15, 1 - 1e-15)
    rank = np.arange(1, n + 1)
    a2 = -n - ((2 * rank - 1) * (np.log(f) + np.log1p(-f[:, ::-1]))).sum(axis=1) / n
    d = np.maximum((rank / n - f).max(axis=1), (f - (rank - 1) / n).max(axis=1))
    return a2, d


def goodness_of(fit: Fit, times: Sequence[float], *, resamples: int = RESAMPLES, seed: int = 0) -> Goodness:
    """Could these times come from the fitted distribution?

    The tables of both statistics hold for a distribution that was known beforehand. Here it was fitted to the same times, which makes
    it look too good: so samples are drawn from it, read off the same watch (rounded to the same step), fitted anew, and the statistic
    is held against theirs (parametric bootstrap). A true model is then refused at 5 % in about 5 % of the cases.
    Parameters: `resamples` drawn with `seed`. Source: Stute, Gonzáles Manteiga & Presedo Quindimil (1993), Metrika 40; Lilliefors (1967).

    >>> times = np.random.default_rng(1).exponential(20.0, 40).tolist()
    >>> goodness_of(fit_of("exponential", times), times).fits, goodness_of(fit_of("normal", times), times).fits
    (True, False)
    """
    family, n = fit.family, len(times)
    parameters = np.array([fit.parameters])
    here = statistics_of(family.cdf(parameters, np.array([times], dtype=np.float64)))
    drawn = family.sample(parameters[0], (resamples, n), np.random.default_rng(seed))
    step = resolution_of(times)
    if step:
        drawn = np.round(drawn / step) * step
    if family.key != "normal":
        drawn = np.maximum(drawn, step / 2 if step else 1e-12)
    with np.errstate(all="ignore"):
        there = statistics_of(family.cdf(family.fit(drawn), drawn))
    a2, d = (
        (1 + int(np.count_nonzero(far >= near[0]))) / (resamples + 1) for near, far in zip(here, there, strict=True)
    )
    return Goodness(float(here[0][0]), a2, float(here[1][0]), d, resamples)


def _or(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"
