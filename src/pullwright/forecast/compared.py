"""An option beside today: what does it change, how sure is that, and how much of the luck did the common runs take out of it?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import inf, isclose

import numpy as np

from pullwright.figure import Source, parts
from pullwright.forecast.answers.interval import Floats, Interval
from pullwright.forecast.answers.pairs import paired
from pullwright.forecast.forecast import Forecast
from pullwright.forecast.outcome import Outcome, outcome_from
from pullwright.forecast.when_asked import WhenAsked


@dataclass(frozen=True)
class Difference:
    """One number of both, and the `difference`, option less today, as an answer of its own.

    Of the difference: `low` to `high` holds how one stretch of days differs, on the same luck and the same draw of the inputs; `mean_low` to
    `mean_high` how well the mean difference is known. `sure`: that interval lies on one side of 0. `took`: share of the variance that the
    common luck took away (1: all; below 0: it added some).
    """

    name: str
    today: Outcome
    option: Outcome
    difference: Outcome
    took: float

    @property
    def sure(self) -> bool:
        """Is it more than chance?"""
        return self.difference.mean_low > 0 or self.difference.mean_high < 0

    def text(self, currency: str = "EUR") -> str:
        """How does it read: the difference with the interval of its mean; shares differ by points."""
        value, interval = self.shown(currency)
        return f"{value} ({interval})" if interval else value

    def shown(self, currency: str = "EUR") -> tuple[str, str]:
        """The same, the interval apart."""
        one = self.difference
        read = parts(one.value, one.mean_low, one.mean_high, one.unit, currency)
        unit = "points" if one.unit == "share" else read.unit
        return f"{read.value} {unit}".strip(), read.interval


@dataclass(frozen=True)
class Compared:
    """Two forecasts on the same luck: `differences` by name; `only_today` and `only_option`, names that the other one does not answer."""

    today: Forecast
    option: Forecast
    differences: Mapping[str, Difference]
    only_today: tuple[str, ...]
    only_option: tuple[str, ...]

    def __getitem__(self, name: str) -> Difference:
        """The difference of this name. Errors: UnknownOutcome where neither of them, or only one, answers it."""
        return self.differences[self.today[self.option[name].name].name]


def compared(today: Forecast, option: Forecast) -> Compared:
    """What does an option change, beside the line as it is?

    Parameters: two forecasts with the same days, seed, level and numbers of runs and draws, such as `forecast_of(option, like=today)` makes; where one of
    them has more runs, the first ones of it are taken for the interval.
    Result: see `Compared`. Runs of the same number have the same luck: what differs between them is the option.
    Errors: ValueError where they were not run alike.
    """
    for words, one, other in (
        ("working days", today.days, option.days),
        ("days of warm-up", today.warm, option.warm),
        ("seeds", today.seed, option.seed),
        ("levels", today.level, option.level),
    ):
        if one != other:
            raise ValueError(
                f"today was run with {words} of {one:g} and the option with {other:g}: they cannot be compared; make the option with `like=today`"
            )
    mine, theirs = today.outcomes, option.outcomes
    return Compared(
        today,
        option,
        WhenAsked(
            tuple(name for name in mine if name in theirs),
            lambda name: _difference(mine[name], theirs[name], today, option),
        ),
        tuple(name for name in mine if name not in theirs),
        tuple(name for name in theirs if name not in mine),
    )


def _difference(a: Outcome, b: Outcome, today: Forecast, option: Forecast) -> Difference:
    runs = min(a.by_run.size, b.by_run.size)
    both = np.isfinite(a.by_run[:runs]) & np.isfinite(b.by_run[:runs])
    # What differs in the last places only, by the order in which it was added up, does not differ.
    value = 0.0 if isclose(a.value, b.value, rel_tol=1e-12) or a.value == b.value else b.value - a.value
    off, took = inf, 0.0
    if both.any():
        pair = paired(a.by_run[:runs][both], b.by_run[:runs][both], a.level)
        off, took = pair.difference.half_width, pair.took
    made = outcome_from(
        f"difference / {a.name}", a.unit, Interval(value, value - off, value + off, a.level, runs), _less(b.each[:runs], a.each[:runs]),
        _less(b.by_run[:runs], a.by_run[:runs]), _draws(a, b), signed=True,
        formula="of the option - of today, run by run on the same luck", source=Source("computed", f"{option.made_by}, and the same of today"),
        inputs=lambda: (replace(b.figure, name=f"{b.name} / option"), replace(a.figure, name=f"{a.name} / today")),
    )  # fmt: skip
    return Difference(a.name, a, b, made, took)


def _less(b: Floats, a: Floats) -> Floats:
    """b - a, NaN where both never came to an end."""
    with np.errstate(invalid="ignore"):
        found: Floats = b - a
    return found


def _draws(a: Outcome, b: Outcome) -> Floats | None:
    """The differences draw by draw, where both were run with the same draws of the inputs."""
    if a.by_draw is None or b.by_draw is None or a.by_draw.shape != b.by_draw.shape:
        return None
    found = _less(b.by_draw, a.by_draw)
    return None if np.isnan(found).any() else found
