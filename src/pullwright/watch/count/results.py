"""What the counts say: mean stock and where it goes, metres walked in a day, shares of pieces that were not right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from pullwright.figure import Figure, Reading, Source, derive, from_counts, from_readings, given, percent
from pullwright.watch.count.sheet import CountSheet, DefectCount, StockCount, WayWalked
from pullwright.watch.sample.clusters import LEVEL, t_quantile, wilson


@dataclass(frozen=True, slots=True)
class StockSaid:
    """One place: the mean of its counts as a figure (pieces), and how fast it grows in pieces a calendar day with its interval.

    `trend` is None with fewer than three counts on different moments; the interval then cannot be told.
    """

    place: str
    counts: int
    mean: Figure
    trend: float | None
    trend_interval: tuple[float, float] | None
    said: str


@dataclass(frozen=True, slots=True)
class WaySaid:
    """One way there and back (m), the trips of a mean day, and the metres walked in it; None where nobody counted trips."""

    way: str
    distance: Figure
    walked: Figure | None
    said: str


@dataclass(frozen=True, slots=True)
class DefectsSaid:
    """One step: pieces looked at and not right, the share as a figure with Wilson's interval, and what was wrong, most first."""

    step: str
    looked_at: int
    wrong: int
    again: int
    share: Figure
    interval: tuple[float, float]
    pareto: tuple[tuple[str, int, float], ...]
    """What was wrong, how many, and the share of all so far."""
    said: str


def _when(one: StockCount | WayWalked | DefectCount) -> str:
    return f"{one.at:%Y-%m-%d %H:%M}"


def stock_said(sheet: CountSheet, level: float = LEVEL) -> tuple[StockSaid, ...]:
    """How much lies where on average, and does it grow?

    The mean's draws are those of its readings (Student); the trend is a straight line by least squares through counts and
    moments, its interval by Student's t.
    """
    places: dict[str, list[StockCount]] = {}
    for one in sheet.stocks:
        places.setdefault(one.place, []).append(one)
    return tuple(_stock(place, some, sheet.name, level) for place, some in places.items())


def _stock(place: str, some: Sequence[StockCount], name: str, level: float) -> StockSaid:
    readings = [Reading(one.pieces, "pieces", _when(one), one.who, one.where) for one in some]
    counts = f"{len(some)} count{'s' * (len(some) != 1)}"
    mean = from_readings(f"stock {place}", readings, "pieces", Source("count", f"{name}, {counts} {place}"))
    said = f"{mean.text()} lay {place}, from {counts}"
    trend, ends = trend_of([one.at.timestamp() / 86_400 for one in some], [one.pieces for one in some], level)
    if trend is not None and ends is not None:
        low, high = ends
        if low > 0 or high < 0:
            said += f"; it {'grows' if trend > 0 else 'shrinks'} by {abs(trend):.3g} pieces a calendar day"
        else:
            said += "; that it grows or shrinks is not shown"
    return StockSaid(place, len(some), mean, trend, ends, said + ".")


def trend_of(
    days: Sequence[float], pieces: Sequence[float], level: float = LEVEL
) -> tuple[float | None, tuple[float, float] | None]:
    """Slope of a straight line (pieces a day) and its interval; (None, None) with fewer than three counts or one moment.

    >>> slope, ends = trend_of([0, 1, 2, 3], [10, 12, 13, 16])
    >>> round(slope, 2), [round(end, 2) for end in ends]
    (1.9, [0.76, 3.04])
    """
    x, y = np.asarray(days, dtype=float), np.asarray(pieces, dtype=float)
    square = float(((x - x.mean()) ** 2).sum()) if x.size else 0.0
    if x.size < 3 or square <= 0:
        return None, None
    slope = float(((x - x.mean()) * (y - y.mean())).sum()) / square
    left = y - y.mean() - slope * (x - x.mean())
    error = sqrt(float((left**2).sum()) / (x.size - 2) / square)
    half = t_quantile(x.size - 2, level) * error
    return slope, (slope - half, slope + half)


def ways_said(sheet: CountSheet) -> tuple[WaySaid, ...]:
    """How far is each way, and how many metres a day are walked on it, there and back?

    The distance is the mean of what was measured; trips are the mean of the days on which somebody counted them.
    """
    ways: dict[str, list[WayWalked]] = {}
    for one in sheet.ways:
        ways.setdefault(f"{one.from_} to {one.to}", []).append(one)
    return tuple(_way(way, some, sheet.name) for way, some in ways.items())


def _way(way: str, some: Sequence[WayWalked], name: str) -> WaySaid:
    metres = [Reading(one.distance_m, "m", _when(one), one.who, one.where) for one in some]
    source = Source("count", f"{name}, {way}")
    distance = from_readings(f"way {way}", metres, "m", source) if len(some) > 1 else given(
        f"way {way}", some[0].distance_m, "m", Source("count", f"{name}, {way}", readings=tuple(metres))
    )  # fmt: skip
    per_day: dict[str, float] = {}
    last: dict[str, WayWalked] = {}
    for one in some:
        if one.trips is not None:
            day = f"{one.at:%Y-%m-%d}"
            per_day[day] = per_day.get(day, 0.0) + one.trips
            last[day] = one
    if not per_day:
        return WaySaid(way, distance, None, f"From {way} it is {distance.text()}; nobody counted the trips.")
    counted = [Reading(number, "1", day, last[day].who, last[day].where) for day, number in per_day.items()]
    trips = from_readings(f"trips a day, {way}", counted, "1", Source("count", f"{name}, trips {way}"))
    walked = derive(
        f"walked a day, {way}", lambda d, t: 2 * d * t, distance, trips, unit="m", formula="2 x distance x trips a day"
    )
    return WaySaid(way, distance, walked, f"From {way} {walked.text()} are walked in a day, there and back.")


def defects_said(sheet: CountSheet, level: float = LEVEL) -> tuple[DefectsSaid, ...]:
    """Which share of the pieces was not right at each step, and what was wrong with them?"""
    steps: dict[str, list[DefectCount]] = {}
    for one in sheet.defects:
        steps.setdefault(one.step, []).append(one)
    return tuple(_defects(step, some, sheet.name, level) for step, some in steps.items())


def pareto_of(some: Sequence[DefectCount]) -> tuple[tuple[str, int, float], ...]:
    """What was wrong, the most frequent first: (words, how many, share of all so far); unnamed ones last among equals."""
    number: dict[str, int] = {}
    for one in some:
        if one.wrong:
            number[one.what or "not said"] = number.get(one.what or "not said", 0) + one.wrong
    whole, so_far = sum(number.values()), 0
    rows = []
    for what, many in sorted(number.items(), key=lambda pair: (-pair[1], pair[0] == "not said", pair[0])):
        so_far += many
        rows.append((what, many, so_far / whole))
    return tuple(rows)


def _defects(step: str, some: Sequence[DefectCount], name: str, level: float) -> DefectsSaid:
    looked_at, wrong, again = (sum(getattr(one, key) for one in some) for key in ("looked_at", "wrong", "again"))
    readings = tuple(
        Reading(float(one.wrong), "pieces", _when(one), one.who, f"{one.where}, of {one.looked_at} looked at")
        for one in some
    )
    share = from_counts(
        f"not right at {step}",
        wrong,
        looked_at,
        "share",
        Source("count", f"{name}, {wrong} of {looked_at} at {step}", readings=readings),
    )
    low, high = wilson(wrong, looked_at, level)
    pareto = pareto_of(some)
    said = f"At {step} {wrong} of {looked_at} pieces were not right: {percent(share.value)} ({percent(low)[:-2]} to {percent(high)})"
    if len(pareto) > 1 or (pareto and pareto[0][0] != "not said"):
        said += f"; most often {pareto[0][0]} ({pareto[0][1]})"
    return DefectsSaid(step, looked_at, wrong, again, share, (low, high), pareto, said + ".")
