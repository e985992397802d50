"""Figures that are given, not worked out: typed, judged, read off at the line, or counted.

Draws hang on the name alone: two given figures of one computation that share a study must be the same object, and two
quantities must have two names. The same name in two options gives common draws, which is what a comparison wants.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import isfinite, sqrt

import numpy as np

from pullwright.figure.draws import N_DRAWS, Draws, chi, constant, jeffreys_beta, shuffled, student_t, triangular
from pullwright.figure.faults import FigureError
from pullwright.figure.number import Evidence, Figure
from pullwright.figure.source import Reading, Source
from pullwright.figure.units import unit_named

_KEPT = 200  # plain numbers are kept as readings up to here; a log of a million rows is better named by its file


def given(name: str, value: float, unit: str, source: Source, *, note: str = "") -> Figure:
    """What is taken as known for certain?

    Parameters: `value` in `unit`; `source`, where it is written. Result: a figure with one draw.
    Errors: `FigureError` for NaN or a unit that is not in the table.

    >>> given("takt time", 60.0, "s", Source("line file", "demand")).text()
    '60 s'
    """
    return Figure(name, float(value), unit, constant(value), "", (), source, note)


def judged(
    name: str, low: float, likely: float, high: float, unit: str, source: Source, *, draws: int = N_DRAWS
) -> Figure:
    """How much is it, as far as a person can say: at least, most likely, at most?

    Parameters: `low`, `likely`, `high` in `unit`; `draws`, how many draws.
    Result: a figure of value `likely` with triangular draws on [low, high].
    Errors: `FigureError` unless low <= likely <= high, all finite.
    Source: triangular distribution for expert judgement, common practice.

    >>> judged("honing", 40.0, 45.0, 60.0, "s", Source("line file", "steps.hone.machine")).text()
    '45 s (42 to 56)'
    """
    if not all(isfinite(number) for number in (low, likely, high)) or not low <= likely <= high:
        raise FigureError(
            f"{name}: low {low:g}, likely {likely:g}, high {high:g} {unit} was read; "
            "the three rise from low to high and are finite: put them in order"
        )
    if low == high:
        return given(name, likely, unit, source)
    rows = shuffled(name, triangular(low, likely, high, draws))
    return Figure(name, float(likely), unit, rows, "", (), source, _evidence=Evidence("judged", 1))


def from_readings(
    name: str, readings: Sequence[Reading | float], unit: str, source: Source, *, draws: int = N_DRAWS
) -> Figure:
    """What is the mean, as well as these readings tell it?

    Parameters: `readings` as `Reading` (in the same unit) or plain numbers in `unit`.
    Result: a figure whose value is the mean, with draws from Student's t about it, scaled by the standard error; where
    the quantity cannot be negative (a time) or above one (a share), and no reading is, draws are kept within that.
    One reading, or readings that are all alike, give a certain figure with a note that says so.
    Errors: `FigureError` for no readings, readings that are not finite, or in another unit.
    Source: Student (1908); JCGM 101:2008, 6.4.9.2.

    >>> from_readings("honing", [44.1, 45.3, 46.0, 43.8, 45.8], "s", Source("study", "study T-014")).text()
    '45.0 s (44.0 to 46.0)'
    """
    values, source = _read(name, readings, unit, source)
    mean = float(values.mean())
    if values.size == 1:
        note = "one reading only: how sure it is cannot be told"
        return Figure(name, mean, unit, constant(mean), "", (), source, note, _evidence=Evidence("readings", 1))
    error = float(values.std(ddof=1)) / sqrt(values.size)
    if not error > abs(mean) * 1e-12:
        return given(name, mean, unit, source, note=f"all {values.size} readings are alike")
    limits = unit_named(unit)
    above = (limits.lowest - mean) / error if values.min() >= limits.lowest else -np.inf
    below = (limits.highest - mean) / error if values.max() <= limits.highest else np.inf
    # Bounds far outside the draws are dropped, so that one table serves all studies of one size.
    freedom = values.size - 1
    table = student_t(freedom, draws)
    if above >= table[0] or below <= table[-1]:
        table = student_t(freedom, draws, above, below)
    rows = shuffled(name, mean + error * table)
    return Figure(name, mean, unit, rows, "", (), source, _evidence=Evidence("readings", values.size))


def variation_from_readings(
    name: str, readings: Sequence[Reading | float], source: Source, *, unit: str = "", draws: int = N_DRAWS
) -> Figure:
    """How much does it vary from piece to piece: the cv (standard deviation / mean), and how well is that known?

    Variation is a property of the work, and more readings do not shrink it; they shrink the draws of this figure,
    which say how well the cv itself is known.
    Parameters: `readings` as `Reading` or plain numbers above zero; `name` must differ from the mean's; `unit`, if
    given, is the unit the readings must have.
    Result: a figure in unit "1"; draws are cv * sqrt(freedom / chi-square), the mean taken as known.
    Errors: `FigureError` for fewer than two readings or a mean that is not above zero.
    Source: chi-square law of the variance of normal readings; JCGM 101:2008 treats the mean, ISO 2854 the variance
    (from memory).

    >>> variation_from_readings("honing, cv", [44.1, 45.3, 46.0, 43.8, 45.8], Source("study", "study T-014")).text()
    '0.022 (0.014 to 0.053)'
    """
    values, source = _read(name, readings, unit, source)
    mean = float(values.mean())
    if values.size < 2 or mean <= 0:
        raise FigureError(
            f"{name}: {values.size} readings with mean {mean:g} were read; "
            "variation needs two readings or more with a mean above zero: take more readings"
        )
    cv = float(values.std(ddof=1)) / mean
    if cv <= 1e-12:
        return given(name, 0.0, "1", source, note=f"all {values.size} readings are alike")
    rows = shuffled(name, cv * sqrt(values.size - 1) / chi(values.size - 1, draws))
    return Figure(name, cv, "1", rows, "", (), source, _evidence=Evidence("readings", values.size))


def from_counts(
    name: str, good: float, of: float, unit: str = "share", source: Source | None = None, *, draws: int = N_DRAWS
) -> Figure:
    """What share is it, as well as this count tells it?

    Parameters: `good` pieces counted `of` so many looked at; `source` must be given.
    Result: a figure of value good / of, with draws from Beta(good + 1/2, of - good + 1/2).
    Errors: `FigureError` unless 0 <= good <= of with of above zero, or without a source.
    Source: Jeffreys (1946); Brown, Cai & DasGupta (2001), Statistical Science 16, section 4.

    >>> from_counts("first pass yield", 96, 100, source=Source("count", "check of week 12")).text()
    '96.0 % (91.7 to 98.3)'
    """
    if source is None:
        raise FigureError(f"{name}: a count of {good:g} of {of:g} came without a source; say where it was counted")
    if not (isfinite(good) and isfinite(of) and 0 <= good <= of and of > 0):
        raise FigureError(
            f"{name}: {good:g} of {of:g} was read; allowed is 0 up to all of at least one piece looked at"
        )
    rows = shuffled(name, jeffreys_beta(float(good), float(of - good), draws))
    return Figure(name, good / of, unit, rows, "", (), source, _evidence=Evidence("pieces", of))


def from_draws(
    name: str, value: float, draws: Draws, unit: str, source: Source, *, readings: int = 0, note: str = ""
) -> Figure:
    """How is a figure made whose draws come out of a method of its own (a fit, a bootstrap)?

    Parameters: `value` and equally likely `draws`, shape (n,), in `unit`; `readings`, how many readings stand behind.
    Figures drawn together keep their dependence as long as their draws are in the same order.
    Errors: `FigureError` for draws that are not one row of numbers.

    >>> from_draws("shape", 2.0, np.linspace(1.5, 2.5, 1000), "1", Source("computed", "Weibull fit")).text()
    '2.00 (1.55 to 2.45)'
    """
    rows = np.array(draws, dtype=np.float64)
    behind = readings or len(source.readings)
    evidence = Evidence("readings", behind) if behind else None
    return Figure(name, float(value), unit, rows, "", (), source, note, _evidence=evidence)


def _read(name: str, readings: Sequence[Reading | float], unit: str, source: Source) -> tuple[Draws, Source]:
    kept = tuple(one for one in readings if isinstance(one, Reading))
    for one in kept:
        if unit and one.unit != unit:
            raise FigureError(
                f"{name}: a reading of {one.value:g} in {one.unit!r} ({one.where or 'no place given'}) "
                f"among readings in {unit!r}; turn all into one unit"
            )
    values = np.array([one.value if isinstance(one, Reading) else one for one in readings], dtype=np.float64)
    if values.size == 0:
        raise FigureError(f"{name}: no reading was given; take one, or say what you judge with judged(...)")
    if not np.isfinite(values).all():
        raise FigureError(f"{name}: {values[~np.isfinite(values)][0]} was read; every reading is a finite number")
    if not source.readings and values.size <= _KEPT:
        kept = kept if len(kept) == values.size else tuple(Reading(float(value), unit) for value in values)
        source = replace(source, readings=kept)
    elif kept and not source.readings:
        source = replace(source, readings=kept)
    return values, source
