"""Effective process times: how long does a lot hold a station, as the line sees it, outages, set-ups and pauses included?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.figure import percent
from pullwright.watch.log.laid import Floats, Ints, edges_of, is_large, key_of, order_within, run_lengths
from pullwright.watch.log.story.measured import MOST_ROWS, Measured
from pullwright.watch.log.story.measuring import cv_of, means, ratios, spreads
from pullwright.watch.log.story.stations import Stations
from pullwright.watch.log.story.visits import Shop


@dataclass(frozen=True, slots=True)
class Effective:
    """Effective process time of a station or a step, in seconds of working time.

    `lot`: mean per visit of a case, `cv`: its coefficient of variation; `piece`: mean per piece. `machines` is how many
    lots are worked on at once. `outside` counts visits that lie wholly outside the working calendar (they have no
    working time and stand in no mean); `unseen` counts visits whose arrival the log does not show (first steps: the
    booked start was taken). `touch_share` is booked touch time by effective time: the rest was outage, set-up, pause
    or waiting for somebody.
    """

    name: str
    lot: Measured
    cv: Measured
    piece: Measured
    machines: int
    outside: int
    unseen: int
    touch_share: float


@dataclass(frozen=True)
class EffectiveTimes:
    """Effective process times by station and by step, after the sample-path method of Jacobs, Etman, van Campen & Rooda (2003)."""

    stations: tuple[Effective, ...]
    steps: tuple[Effective, ...]
    rows: tuple[int, ...]
    found: str

    def of_step(self, step: str) -> Effective:
        """The row of one step. Raises KeyError where there is none."""
        return _named(self.steps, step, "step")

    def of_station(self, station: str) -> Effective:
        """The row of one station. Raises KeyError where there is none."""
        return _named(self.stations, station, "station")


def _named(rows: tuple[Effective, ...], name: str, what: str) -> Effective:
    for row in rows:
        if row.name == name:
            return row
    raise KeyError(f"the log has no {what} {name!r} (it has: {', '.join(row.name for row in rows[:10])})")


def effective_of(shop: Shop, stations: Stations) -> EffectiveTimes:
    """How long does a visit hold its station as the line sees it, in working time, outages and pauses included?

    A visit begins to count when an order is there and a machine is free. With m equal machines that the log does not tell
    apart, the k-th visit that is begun counts from the later of the k-th arrival and the (k - m)-th end, whichever order they
    belong to: so many were there and so many were out of the way. For one machine and no overtaking that is EPT = done -
    max(arrival, done of the one before) (Jacobs, Etman, van Campen & Rooda 2003, from memory).
    """
    visits = shop.visits
    some = np.flatnonzero(visits.station >= 0)
    machines = {one.station: one.machines for one in stations.stations}
    names, step_names = shop.laid.station.names, shop.laid.step.names
    station = visits.station[some]
    clocks = (visits.worked_arrival, visits.worked_start, visits.worked_end)
    arrival, start, end = (at[some] / 1e6 for at in clocks)
    many = np.array([machines.get(name, 1) for name in names] or [1], np.int64)
    times = end - held_from(station, arrival, start, end, many)
    touch = np.where(end > start, np.minimum(visits.run[some] + visits.setup[some], end - start), 0.0)
    inside = np.where((times > 0) & (end > start), times, np.nan)

    def rows_of(codes: Ints, labels: tuple[str, ...], counts: dict[str, int] | None) -> tuple[Effective, ...]:
        size = len(labels)
        lots = means(codes, inside, size, visits.row[some])
        pieces = ratios(codes, inside, visits.pieces[some], size, visits.row[some])
        cvs = spreads(codes, inside, size)
        lost = np.bincount(codes[np.isnan(inside)], minlength=size)
        unseen = np.bincount(codes[visits.is_first[some]], minlength=size)
        held, worked_on = (
            np.bincount(codes, np.nan_to_num(inside), size),
            np.bincount(codes, np.where(np.isnan(inside), 0.0, touch), size),
        )
        seen = np.bincount(codes, minlength=size)
        return tuple(
            Effective(
                label, lots[k], cv_of(float(cvs[k]), lots[k].count, lots[k].rows), pieces[k], (counts or {}).get(label, 1), int(lost[k]),
                int(unseen[k]), float(min(worked_on[k] / held[k], 1.0)) if held[k] > 0 else float("nan"),
            )
            for k, label in enumerate(labels)
            if seen[k]
        )  # fmt: skip

    of_stations = rows_of(station, names, machines)
    return EffectiveTimes(
        of_stations, rows_of(visits.step[some], step_names, None),
        tuple(visits.row[some[:MOST_ROWS]].tolist()), _sentence(of_stations),
    )  # fmt: skip


def held_from(station: NDArray[np.integer], arrival: Floats, start: Floats, done: Floats, machines: Ints) -> Floats:
    """From when on does each visit hold its station? Shape (n,), in the unit of the moments.

    Parameters: station codes, moments of arrival, booked start and end of each visit, shape (n,); `machines` of each
    station. The k-th visit of a station by its start counts from max(k-th arrival, (k - machines)-th end), and not from
    later than its own start, where more are begun than there are machines.

    >>> one = np.zeros(3, np.int64)
    >>> held_from(one, np.array([0.0, 1.0, 9.0]), np.array([0.0, 5.0, 9.0]), np.array([4.0, 7.0, 10.0]), np.array([1]))
    array([0., 4., 9.])
    >>> held_from(one, np.array([0.0, 0.0, 1.0]), np.array([0.0, 0.0, 4.0]), np.array([4.0, 6.0, 9.0]), np.array([2]))
    array([0., 0., 4.])
    """
    if not station.size:
        return np.zeros(0)
    whole = [(at * 1e6).astype(np.int64) for at in (arrival, start, done)]
    low, high = int(min(at.min() for at in whole)), int(max(at.max() for at in whole))
    keys = [key_of(station, at, low, high) for at in whole]
    order = order_within(station, whole[1], whole[0])
    arrived, ended = np.sort(keys[0].values), np.sort(keys[2].values)
    if is_large(order.size):
        from .spans_kernel import held

        codes = station.astype(np.int32, copy=False)
        return held(order, codes, machines, keys[0].moment(arrived), keys[2].moment(ended), low, start)
    group = station[order]
    begins = edges_of(group)
    place = np.arange(order.size) - np.repeat(begins, run_lengths(begins, order.size))
    back = machines[group]
    free = np.where(place >= back, keys[2].moment(ended[np.maximum(np.arange(order.size) - back, 0)]), low)
    counts = np.empty(order.size)
    counts[order] = np.maximum(keys[0].moment(arrived), free) / 1e6
    return np.minimum(counts, start)


def _sentence(rows: tuple[Effective, ...]) -> str:
    known = [one for one in rows if one.lot.known and one.lot.count >= 5]
    if not known:
        return "Too few visits to say how long a station really holds a lot."
    worst = max(known, key=lambda one: one.cv.value if one.cv.known else 0.0)
    if not worst.cv.known:
        return "Every visit holds its station equally long."
    lost = min(known, key=lambda one: one.touch_share)
    said = f"{worst.name} is the most uneven: what a lot holds it varies by {percent(worst.cv.value)} of its mean."
    if lost.touch_share == lost.touch_share and lost.touch_share < 0.9:
        said += f" At {lost.name} only {percent(lost.touch_share)} of the time that a lot holds it is booked; the rest is outage, pause, or waiting for somebody."
    return said
