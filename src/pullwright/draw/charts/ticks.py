"""Round numbers and whole hours, days and months along an axis."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.draw.charts.chart import ChartError

EPOCH = datetime(1970, 1, 1)
"""Where the seconds of an axis of time count from, in the clock of the works."""
_FINEST = 1e-12
_SPANS = (60, 300, 600, 1800, 3600, 7200, 14400, 28800, 43200, *(86400 * days for days in (1, 2, 7, 14)))
_MONTHS = (1, 2, 3, 6, 12, 24, 60, 120)


@dataclass(frozen=True, slots=True)
class Along:
    """Places along an axis as numbers; `time` says that they are seconds since `EPOCH`."""

    at: NDArray[np.float64]
    time: bool


def along(places: Sequence[Any] | NDArray[Any]) -> Along:
    """Read places along an axis: numbers, moments (in their own clock; aware ones in that of this machine) or datetime64.

    ChartError for anything that is no number or moment, or is without end.

    >>> along([datetime(1970, 1, 1, 1)]).at.tolist(), along([1, 2]).time
    ([3600.0], False)
    """
    array = np.asarray(places)
    if np.issubdtype(array.dtype, np.datetime64):
        if np.isnat(array).any():
            raise ChartError("a moment that is none (NaT) was read along the axis; leave it out, and say so")
        return Along(array.astype("datetime64[us]").astype(np.int64) / 1e6, True)
    if array.size and isinstance(array.flat[0], datetime):
        return Along(np.array([_seconds(moment) for moment in places], dtype=np.float64), True)
    return Along(numbers(places, "along the axis"), False)


def numbers(values: Sequence[Any] | NDArray[Any], what: str) -> NDArray[np.float64]:
    """Return values as one row of floats; ChartError when one is no number or has no end."""
    try:
        array = np.asarray(values, dtype=np.float64).reshape(-1)
    except (TypeError, ValueError) as error:
        raise ChartError(f"something that is no number was read {what}: {error}") from None
    if not np.isfinite(array).all():
        raise ChartError(f"a value without end, or none at all, was read {what}; leave it out, and say so")
    return array


def _seconds(moment: datetime) -> float:
    local = moment.astimezone().replace(tzinfo=None) if moment.tzinfo else moment
    return (local - EPOCH).total_seconds()


def round_ticks(low: float, high: float, most: int, *, whole: bool = False) -> list[float]:
    """Return round numbers from low to high, at most so many, with steps of 1, 2, 2.5 or 5 times a power of ten.

    `whole` keeps to whole numbers, where things are counted.

    >>> round_ticks(0, 97, 5)
    [0.0, 20.0, 40.0, 60.0, 80.0]
    >>> round_ticks(0, 4, 9, whole=True)
    [0.0, 1.0, 2.0, 3.0, 4.0]
    """
    span = high - low
    if not span > _FINEST * max(abs(low), abs(high), 1e-300):
        return [low]
    power = 10.0 ** math.floor(math.log10(span / most))
    steps = [factor * power * ten for ten in (1, 10) for factor in (1, 2, 2.5, 5)]
    if whole:
        steps = [1.0, *(step for step in steps if step > 1 and step % 1 == 0)]
    step = next((one for one in steps if _count(low, high, one) <= most), steps[-1])
    first = math.ceil(low / step - 1e-9)
    return [round(place * step, 12) for place in range(first, first + _count(low, high, step))]


def _count(low: float, high: float, step: float) -> int:
    return math.floor(high / step + 1e-9) - math.ceil(low / step - 1e-9) + 1


def time_ticks(low: float, high: float, most: int) -> list[tuple[float, str]]:
    """Return whole minutes, hours, days or months from low to high (seconds since EPOCH) with their words.

    >>> time_ticks(0, 86400 * 3, 4)
    [(0.0, '1 Jan'), (86400.0, '2 Jan'), (172800.0, '3 Jan'), (259200.0, '4 Jan')]
    """
    for span in _SPANS:
        if (high - low) / span <= most:
            # Weeks begin on Monday; 1 January 1970 was a Thursday.
            shift = 4 * 86400 if span % (7 * 86400) == 0 else 0
            first = math.ceil((low - shift) / span - 1e-9) * span + shift
            found = [first + place * span for place in range(int((high - first) / span + 1e-9) + 1)]
            return [(float(at), _day_words(at) if span >= 86400 else _clock_words(at)) for at in found]
    start = moment_at(low)
    for months in _MONTHS:
        ticks = _months(start, moment_at(high), months)
        if len(ticks) <= most:
            return ticks
    return ticks[:: math.ceil(len(ticks) / most)]


def _months(start: datetime, end: datetime, step: int) -> list[tuple[float, str]]:
    number = start.year * 12 + start.month - 1
    number = math.ceil(number / step) * step
    ticks: list[tuple[float, str]] = []
    while number // 12 <= end.year:
        at = datetime(number // 12, number % 12 + 1, 1)
        if start <= at <= end:
            ticks.append((_seconds(at), f"{at:%b} {at.year}" if at.month == 1 or not ticks else f"{at:%b}"))
        number += step
    return ticks


def moment_at(seconds: float) -> datetime:
    """Return the moment at a place of an axis of time."""
    return EPOCH + timedelta(seconds=float(seconds))


def _day_words(at: float) -> str:
    day = moment_at(at)
    return f"{day.day} {day:%b}"


def _clock_words(at: float) -> str:
    when = moment_at(at)
    return _day_words(at) if when.hour == when.minute == 0 else f"{when:%H:%M}"


def moment_words(seconds: float) -> str:
    """Return a moment of an axis of time in words.

    >>> moment_words(3600)
    '1 Jan 1970, 01:00'
    """
    when = moment_at(seconds)
    return f"{when.day} {when:%b %Y, %H:%M}"


def number_words(value: float, unit: str = "", digits: int = 4) -> str:
    """Return a number as a chart says it: so many digits that count, no exponent, a share in per cent.

    >>> number_words(0.25, "share"), number_words(1234.56, "s"), number_words(-0.00012), number_words(12_345_678.9)
    ('25 %', '1,235 s', '-0.00012', '12,345,679')
    """
    if unit == "share":
        value, unit = value * 100, "%"
    size = abs(value)
    places = 0 if size == 0 else min(max(digits - 1 - math.floor(math.log10(size)), 0), 12)
    text = f"{value:,.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{'0' if text == '-0' else text} {unit}".strip()
