"""How long a piece really keeps a station: each step there with putting right, breakdowns and set-ups folded in, then all its steps together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive, derive_many
from pullwright.flow import effective
from pullwright.flow.givens import Givens
from pullwright.flow.rates import StepRates

Pair = tuple[Figure, Figure]


@dataclass(frozen=True, slots=True)
class Outages:
    """Breakdowns of a station: running time between two (s), time to repair (s) and its cv, and the availability that they leave."""

    between: Figure
    repair: Figure
    cv: Figure
    up: Figure


@dataclass(frozen=True, slots=True)
class AtStation:
    """A step as it is done at one station: its share of the pieces there, and how much longer it takes there (1 at its own).

    `started`: pieces started there in a working day (pieces/wd); `mean` (s) and `variance` (s²) are those of the effective process time of
    one piece.
    """

    step: StepRates
    share: Figure | None
    times: Figure | None
    started: Figure
    mean: Figure
    variance: Figure


def outages_of(givens: Givens, s: int) -> Outages | None:
    """How often does station `s` stand still, and for how long? None where no breakdowns are given.

    Time between breakdowns counted by the clock is taken like running time: a machine that always runs cannot tell the two apart.
    """
    station = givens.line.stations[s]
    if station.breakdowns is None:
        return None
    path = ("stations", s, "breakdowns")
    between, repair = givens.figure((*path, "between")), givens.figure((*path, "repair"))
    up = derive(
        f"availability / {station.name}",
        effective.availability,
        between,
        repair,
        unit="share",
        formula="time between breakdowns / (time between breakdowns + time to repair)",
    )
    return Outages(between, repair, givens.cv((*path, "repair"), station.breakdowns.repair, "repair cv"), up)


def started_there(step: StepRates, station: str, share: Figure | None) -> Figure:
    """How many pieces of a step are started at one station in a working day?"""
    if share is None:
        return step.started
    return derive(
        f"pieces started a day at the station / {station} / {step.name}",
        lambda r, s: r * s,
        step.started,
        share,
        unit="pieces/wd",
        formula="pieces started a day x share there",
    )


def effective_time(step: StepRates, station: str, times: Figure | None, outages: Outages | None) -> Pair:
    """Effective mean (s) and variance (s²) of one piece of a step at a station (Hopp & Spearman, Factory Physics, chapter 8).

    Putting right on the spot takes as much longer elsewhere as the step does; set-ups, done with the machine at rest, are not interrupted.
    """
    inputs, words = [step.mean, step.variance], "cycle time"
    if step.repair is not None:
        inputs += [step.repair.share, step.repair.time, step.repair.cv]
        words = f"({words} + share put right x time of putting right)"
    if times is not None:
        inputs.append(times)
        words += " x how much longer it takes there"
    if outages is not None:
        inputs += [outages.between, outages.repair, outages.cv]
        words += " / availability"
    if step.set_up is not None:
        inputs += [step.set_up.time, step.set_up.cv, step.set_up.lot]
        words += " + set-up time / lot"

    def time(*values: Any) -> tuple[Any, Any]:
        rest = iter(values)
        mean, variance = next(rest), next(rest)
        if step.repair is not None:
            share, repair, cv = next(rest), next(rest), next(rest)
            mean, variance = effective.with_repairs(mean, variance, share, repair, (cv * repair) ** 2)
        if times is not None:
            factor = next(rest)
            mean, variance = mean * factor, variance * factor**2
        if outages is not None:
            between, repair, cv = next(rest), next(rest), next(rest)
            mean, variance = effective.with_outages(mean, variance, between, repair, cv**2)
        if step.set_up is not None:
            set_up, cv, lot = next(rest), next(rest), next(rest)
            mean, variance = effective.with_set_ups(mean, variance, set_up, (cv * set_up) ** 2, lot)
        return mean, variance

    name = f"{station} / {step.name}"
    return derive_many(
        (f"effective process time / {name}", f"variance of the effective process time / {name}"), time, *inputs, units=("s", "s2"),
        formulas=(words, "the same for the variance (Hopp & Spearman, ch. 8)"),
    )  # type: ignore[return-value]  # fmt: skip


def station_time(name: str, steps: Sequence[AtStation]) -> Pair:
    """Effective process time (s) of a piece at a station and its squared cv, over all its steps."""
    inputs = [figure for at in steps for figure in (at.started, at.mean, at.variance)]
    single = len(steps) == 1

    def mix(*values: Any) -> tuple[Any, Any]:
        mean, variance = mixed(values[0::3], values[1::3], values[2::3])
        return mean, np.where(mean > 0, variance / np.maximum(mean, 1e-12) ** 2, 0.0)

    return derive_many(
        (f"effective process time / {name}", f"cv² of the effective process time / {name}"), mix, *inputs, units=("s", "1"),
        formulas=(
            "that of its only step" if single else "mean over its steps, weighted by their pieces",
            "variance / mean² of the time of a piece" + ("" if single else ", whichever step it is there for"),
        ),
    )  # type: ignore[return-value]  # fmt: skip


def mixed(rates: Sequence[Any], means: Sequence[Any], variances: Sequence[Any]) -> tuple[Any, Any]:
    """Mean and variance of what comes at these rates; where nothing comes at all, as if all came alike.

    >>> mean, variance = mixed([1.0, 3.0], [10.0, 20.0], [0.0, 0.0])
    >>> float(mean), float(variance)
    (17.5, 18.75)
    """
    total = sum(rates)
    none = np.asarray(total) <= 0
    shares = [np.where(none, 1 / len(rates), rate / np.where(none, 1.0, total)) for rate in rates]
    mean, variance = effective.mixture(shares, list(means), list(variances))
    return mean, variance
