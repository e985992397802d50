"""How often does each station break down, and how long until it runs again, where the log says so?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.watch.log.laid import first_rows, order_within
from pullwright.watch.log.story.measured import MOST_ROWS, Measured
from pullwright.watch.log.story.measuring import NONE
from pullwright.watch.log.story.visits import DOWN, Shop


@dataclass(frozen=True, slots=True)
class StationBreakdowns:
    """Breakdowns of one station, in seconds of the clock.

    `repair`: mean time from stop to run; `between`: running time between breakdowns (booked running time by breakdowns);
    `availability`: between / (between + repair). Intervals as for exponential times (chi-square).
    """

    station: str
    count: int
    down: float
    repair: Measured
    repair_cv: float
    between: Measured
    availability: float


@dataclass(frozen=True)
class Breakdowns:
    """Breakdowns by station, most time lost first; `says` is false where the log has no kind of work for them."""

    stations: tuple[StationBreakdowns, ...]
    says: bool
    rows: tuple[int, ...]
    found: str


SAME = 300.0
"""Seconds of working time between two bookings of one breakdown: the edges of a calendar are found to five minutes."""


def breakdowns_of(shop: Shop) -> Breakdowns:
    """How often does each station break down, and how long is it down, where the log says so?

    Bookings with no working time between them are one breakdown: it was booked out over a break or a night.
    """
    laid = shop.laid
    down = np.flatnonzero((laid.kind == DOWN) & (laid.station.codes >= 0))
    says = "kind" in laid.events.has
    if not down.size:
        found = "No breakdown is booked." if says else "The log does not tell breakdowns from other work."
        return Breakdowns((), says, (), found)
    size = laid.station.size
    down = down[order_within(laid.station.codes[down], laid.start[down], laid.end[down])]
    codes, seconds = laid.station.codes[down], (laid.end[down] - laid.start[down]) / 1e6
    begins, ends = shop.worked(laid.start[down]), shop.worked(laid.end[down])
    new = np.ones(down.size, bool)
    new[1:] = (codes[1:] != codes[:-1]) | (begins[1:] >= ends[:-1] + SAME)
    first = np.flatnonzero(new)
    codes, seconds = codes[first], np.add.reduceat(seconds, first)
    running = np.flatnonzero((laid.kind != DOWN) & (laid.station.codes >= 0))
    run = np.bincount(laid.station.codes[running], (laid.end[running] - laid.start[running]) / 1e6, size)
    count, lost = np.bincount(codes, minlength=size), np.bincount(codes, seconds, size)
    rows = first_rows(codes, laid.row[down[first]], size, MOST_ROWS)
    told = []
    for k in np.flatnonzero(count).tolist():
        mine = seconds[codes == k]
        repair = exponential(float(lost[k]), int(count[k]), rows[k])
        between = exponential(float(run[k]), int(count[k]), rows[k])
        cv = float(mine.std(ddof=1) / mine.mean()) if mine.size > 1 and mine.mean() > 0 else float("nan")
        whole = between.value + repair.value
        available = between.value / whole if whole > 0 else float("nan")
        name = laid.station.names[k]
        told.append(StationBreakdowns(name, int(count[k]), float(lost[k]), repair, cv, between, available))
    told.sort(key=lambda one: -one.down)
    worst = told[0]
    many = "1 breakdown is" if codes.size == 1 else f"{codes.size:,} breakdowns are"
    found = f"{many} booked, {lost.sum() / 3600:,.3g} h in all; {worst.station} lost most, {worst.down / 3600:,.3g} h in {worst.count:,}."
    return Breakdowns(tuple(told), says, tuple(laid.row[down[:MOST_ROWS]].tolist()), found)


def exponential(total: float, count: int, rows: tuple[int, ...]) -> Measured:
    """The mean of times that add up to `total`, with the interval of exponential ones: 2 total / chi-square (Epstein & Sobel 1953, from memory).

    >>> one = exponential(1000.0, 10, ())
    >>> one.value, round(one.low, 1), round(one.high, 1)
    (100.0, 63.7, 184.3)
    """
    if not count or not total > 0:
        return NONE
    from scipy.special import chdtri

    freedom = 2 * count
    return Measured(
        total / count,
        float(2 * total / chdtri(freedom, 0.05)),
        float(2 * total / chdtri(freedom, 0.95)),
        count,
        rows[:MOST_ROWS],
    )
