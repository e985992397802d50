"""What many runs tell: how likely something is, and how much is enough in all but a few of them, each with how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, inf, isfinite, log

import numpy as np
from numpy.typing import NDArray

from pullwright.figure import N_DRAWS, Figure, Source, from_counts, from_draws
from pullwright.figure.draws import midpoints, shuffled
from pullwright.watch.sample.clusters import LEVEL, wilson

Floats = NDArray[np.float64]


def in_runs(many: int) -> str:
    """So many runs, in words."""
    return "1 run" if many == 1 else f"{many:,} runs"


@dataclass(frozen=True)
class Chance:
    """Something that happened in `found` `of` the runs. `low` to `high`: Wilson's interval at `level`; the figure's draws are Jeffreys'."""

    found: int
    of: int
    low: float
    high: float
    level: float
    figure: Figure


def chance_of(name: str, happened: NDArray[np.bool_], *, level: float = LEVEL) -> Chance:
    """How likely is something, as well as so many runs tell it?

    Parameters: `happened` (R,), run by run; `level` of the interval. Source: Wilson (1927), J. Am. Stat. Assoc. 22.

    >>> chance = chance_of("runs dry", np.array([True] * 4 + [False] * 96))
    >>> chance.figure.value, round(chance.low, 4), round(chance.high, 4)
    (0.04, 0.0157, 0.0984)
    """
    found, of = int(np.count_nonzero(happened)), int(happened.size)
    low, high = wilson(found, of, level)
    source = Source("computed", f"{found:,} of {in_runs(of)}")
    return Chance(found, of, low, high, level, from_counts(name, found, of, "share", source))


@dataclass(frozen=True)
class Enough:
    """What is enough in all runs but a share of `wished`: `value` by these runs, and `low` to `high`, between which the true one lies at `level`.

    `high` is inf where the runs are too few to promise anything; `runs_needed` are enough. `words` say it.
    """

    value: float
    low: float
    high: float
    wished: float
    level: float
    runs: int
    runs_needed: int
    figure: Figure

    @property
    def promised(self) -> bool:
        """Are there runs enough to say how much is surely enough?"""
        return isfinite(self.high)

    @property
    def words(self) -> str:
        """What can be said, in a sentence."""
        sure = f"{100 * self.level:.3g} % probability"
        if self.promised:
            return f"{in_runs(self.runs)}; with {sure} the true amount lies in the interval."
        return (
            f"{in_runs(self.runs)} {'is' if self.runs == 1 else 'are'} too few to promise a share of {self.wished:.3g} with {sure}: the true amount may be larger than any that was seen. "
            f"Run {self.runs_needed:,} or more."
        )


def enough(name: str, amounts: Floats, unit: str, *, wished: float, level: float = LEVEL, least: float = 0.0) -> Enough:
    """How much is enough, so that more is asked for in a share of `wished` of the runs at most?

    Parameters: `amounts` (R,) that each run asks for, in `unit`; `least`, below which none can lie.
    Result: the smallest amount of a run that suffices for so many of them (the 1 - wished quantile), with a distribution-free interval: the
    number of runs below the true quantile is binomial, so two of the amounts in their order hold it between them.
    Errors: ValueError for a share or level outside 0 to 1, or without runs.
    Source: David & Nagaraja (2003), Order Statistics, section 7.1 (from memory); with r = 0 the success-run theorem n = ln(1 - C) / ln R.

    >>> found = enough("capital", np.arange(1.0, 101.0), "money", wished=0.1)
    >>> found.value, found.low, found.high, found.promised
    (90.0, 84.0, 96.0, True)
    >>> enough("capital", np.arange(1.0, 31.0), "money", wished=0.05).words
    '30 runs are too few to promise a share of 0.05 with 95 % probability: the true amount may be larger than any that was seen. Run 72 or more.'
    """
    if not (0 < wished < 1 and 0 < level < 1):
        raise ValueError(
            f"a wished share of {wished:g} at level {level:g} was read; both lie between 0 and 1, such as 0.05 and 0.95"
        )
    if amounts.size == 0:
        raise ValueError(f"{name}: no run was read; give one or more")
    from scipy.special import bdtr

    n, share, aside = int(amounts.size), 1 - wished, (1 - level) / 2
    ordered = np.sort(amounts)
    below = bdtr(np.arange(n + 1.0), n, share)  # chance that so many runs or fewer lie below the true quantile
    # X_(l) is above it with the chance of fewer than l below it; X_(u) is below it with the chance of u or more.
    lower = int(np.searchsorted(below, aside, side="right"))
    upper = int(np.searchsorted(below, 1 - aside, side="left")) + 1
    value = float(ordered[max(ceil(n * share - 1e-9), 1) - 1])
    ranks = np.searchsorted(below, midpoints(N_DRAWS), side="left")
    draws = np.append(ordered, inf)[ranks]
    source = Source("computed", f"the amount that is enough in all but {wished:.3g} of {in_runs(n)}")
    return Enough(
        value,
        float(ordered[lower - 1]) if lower > 0 else least,
        float(ordered[upper - 1]) if upper <= n else inf,
        wished,
        level,
        n,
        ceil(log(aside) / log(share)),
        from_draws(name, value, shuffled(name, draws), unit, source),
    )


@dataclass(frozen=True)
class Bands:
    """What lies below which in a share of `levels` of the runs, day by day: `values` (L, days)."""

    levels: tuple[float, ...]
    values: Floats


def bands_of(by_run: Floats, levels: tuple[float, ...] = (0.05, 0.5, 0.95)) -> Bands:
    """How far apart do the runs lie on each day? `by_run` (R, days). Quantiles between two runs are read off a straight line."""
    return Bands(levels, np.quantile(by_run, levels, axis=0))
