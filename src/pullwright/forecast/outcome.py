"""One answer of a forecast: the number, how one stretch of days may turn out, how sure the number is, and why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import inf, isfinite
from typing import Any

import numpy as np

from pullwright.figure import Figure, Parts, Source, derive, from_draws, parts
from pullwright.figure.draws import quantiles, shuffled, student_t
from pullwright.figure.units import unit_named
from pullwright.forecast.answers.chance_and_ignorance import Split, drawn_together, split
from pullwright.forecast.answers.interval import Floats, Interval
from pullwright.forecast.answers.slopes import slopes_of
from pullwright.forecast.told import Told

Inputs = Sequence[Figure] | Callable[[], Sequence[Figure]]
"""The figures that an answer rests on, or what gives them when somebody asks why."""


@dataclass(frozen=True)
class Outcome:
    """What a forecast says of one number, in `unit` (a key of the units of figures; "wd" is a working day).

    `value`: with the inputs as they are most likely, the mean over runs (or a percentile over all their pieces).
    `low` to `high`: between which one stretch of the days that were run lies with probability `level`, luck and what is not known of
    the inputs both in it: good days and bad ones.
    `mean_low` to `mean_high`: how well the runs tell the value; more runs narrow it, and nothing else does.
    `split`: what of the spread of one stretch is luck and what is ignorance; None where only the likely inputs were run.
    `figure`: the same number as a figure that answers why, made when somebody asks; its draws are one for each draw of the inputs that was run.
    `each` (R,) is the number of each run, `by_run` (R,) what each says of the value, `by_draw` (K, m) the runs of each draw of the inputs.
    """

    name: str
    unit: str
    value: float
    low: float
    high: float
    level: float
    mean_low: float
    mean_high: float
    split: Split | None
    make_figure: Callable[[], Figure] = field(repr=False, compare=False)
    each: Floats = field(repr=False, compare=False)
    by_run: Floats = field(repr=False, compare=False)
    by_draw: Floats | None = field(repr=False, compare=False)

    @cached_property
    def figure(self) -> Figure:
        """The same number as a figure that answers why."""
        return self.make_figure()

    @property
    def of_chance(self) -> float | None:
        """Share of the spread that is luck, 0 to 1; None where ignorance was not run."""
        return None if self.split is None else self.split.of_chance

    @property
    def of_ignorance(self) -> float | None:
        """Share of the spread that is what we do not know of the inputs."""
        return None if self.split is None else self.split.of_ignorance

    def text(self, currency: str = "EUR") -> str:
        """How does it read: value and, in brackets, how one stretch of days may turn out?"""
        shown = self.shown(currency)
        return shown[0] if not shown[1] else f"{shown[0]} ({shown[1]})"

    def parts(self, currency: str = "EUR") -> Parts:
        """Number, unit and the interval of one stretch, as a drawing takes them: nothing is worked out for that."""
        return parts(self.value, self.low, self.high, self.unit, currency)

    def shown(self, currency: str = "EUR") -> tuple[str, str]:
        """Value with its unit, and the interval of one stretch, apart."""
        read = self.parts(currency)
        return f"{read.value} {read.unit}".strip(), read.interval


def outcome_of(
    told: Told, by_draw: Sequence[Told], *, level: float, source: Source, inputs: Inputs, note: str = ""
) -> Outcome | None:
    """Make an answer out of what the runs at the likely inputs told, and of the runs at each draw of the inputs.

    Result: None where the runs have nothing to say of it (no piece ended, no order was due).
    """
    if told.silent:
        return None
    found = told.interval(level)
    table = None
    if by_draw:
        table = np.array([one.each for one in by_draw])
        table = np.where(np.isnan(table), found.value, table)
    return outcome_from(
        told.name, told.unit, found, told.each, told.by_run, table, formula=told.formula, source=source, inputs=inputs, note=note
    )  # fmt: skip


def outcome_from(
    name: str, unit: str, found: Interval, each: Floats, by_run: Floats, by_draw: Floats | None, *, formula: str, source: Source,
    inputs: Inputs = (), note: str = "", signed: bool = False,
) -> Outcome:  # fmt: skip
    """An answer out of its numbers: the value with the interval that the runs give it, run by run, and draw by draw."""
    said = each[~np.isnan(each)]
    stretches = said if by_draw is None else by_draw.ravel()
    aside = (1 - found.level) / 2
    low, high = quantiles(stretches, aside, 1 - aside) if stretches.size > 1 else (found.value, found.value)
    parted = None
    if by_draw is not None and np.isfinite(by_draw).all():
        parted = split(by_draw)
    limits = (-inf, inf) if signed else within(unit, -inf, inf)
    mean_low, mean_high = max(found.low, limits[0]), min(found.high, limits[1])
    return Outcome(
        name, unit, found.value, low, high, found.level, mean_low, mean_high, parted,
        lambda: _figure(name, unit, found, each, by_run, by_draw, formula, source, tuple(inputs() if callable(inputs) else inputs), note, limits), each, by_run, by_draw,
    )  # fmt: skip


def within(unit: str, low: float, high: float) -> tuple[float, float]:
    """An interval, kept within what the quantity itself can be."""
    limits = unit_named(unit)
    return max(low, limits.lowest), min(high, limits.highest)


def _figure(
    name: str, unit: str, found: Interval, each: Floats, by_run: Floats, by_draw: Floats | None, formula: str, source: Source,
    inputs: tuple[Figure, ...], note: str, limits: tuple[float, float],
) -> Figure:  # fmt: skip
    told = by_run[np.isfinite(by_run)]
    error = float(told.var(ddof=1)) / told.size if told.size > 1 else 0.0
    if by_draw is not None:
        draws = _by_draw(found.value, each, by_draw, error)
    elif error > 0 and isfinite(found.value):
        draws = shuffled(name, found.value + np.sqrt(error) * student_t(told.size - 1))
    else:
        draws = np.array([found.value])
    draws = np.clip(draws, *limits)
    if (draws == draws[0]).all():
        draws = np.array([found.value])
    if (
        by_draw is not None
        and isfinite(found.value)
        and np.isfinite(draws).all()
        and any(one.draws.size == draws.size > 1 for one in inputs)
    ):
        return derive(
            name, _along(found.value, draws, inputs), *inputs, unit=unit, formula=formula, source=source, note=note
        )
    made = from_draws(name, found.value, draws, unit, source, readings=found.runs, note=note)
    return replace(made, formula=formula, inputs=inputs)


def _by_draw(value: float, each: Floats, by_draw: Floats, error: float) -> Floats:
    """One number for each draw of the inputs.

    A percentile over the pieces of all runs is not the mean of the percentiles of the runs: by as much as they differ at the likely inputs, the
    draws are moved.
    """
    said = each[~np.isnan(each)]
    if not (np.isfinite(by_draw).all() and np.isfinite(said).all() and isfinite(value)):
        with np.errstate(all="ignore"):
            middles: Floats = np.sort(by_draw, axis=1)[:, by_draw.shape[1] // 2]
        return middles
    moved: Floats = drawn_together(by_draw, error) + (value - said.mean() if said.size else 0.0)
    return moved


def cut(given: Figure, draws: int) -> Figure:
    """A given figure with the draws that were run: so many of them, the first ones; all of them where none were run one by one."""
    if given.certain or given.draws.size <= draws or draws == 0:
        return given
    return replace(given, draws=given.draws[:draws])


def _along(value: float, draws: Floats, inputs: Sequence[Figure]) -> Callable[..., Any]:
    """The answer as its inputs make it: what the runs said, and a straight line for inputs that are known better than they were when it was run.

    So `watch_next` can say which of them is worth watching.
    """
    slopes = np.zeros(len(inputs))
    known = [k for k, one in enumerate(inputs) if one.draws.size == draws.size]
    slopes[known] = slopes_of(np.array([inputs[k].draws for k in known]), draws)

    def answer(*taken: Any) -> Any:
        if all(np.ndim(one) == 0 for one in taken):
            return value
        return draws + sum(slopes[k] * (taken[k] - inputs[k].draws) for k in known if slopes[k] != 0)

    return answer
