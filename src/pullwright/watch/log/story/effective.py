"""Effective process times: how long does a lot hold a station, as the line sees it, outages, set-ups and pauses included?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.watch.log.laid import Floats, Ints, edges_of, order_within, run_lengths
from pullwright.watch.log.story.measured import MOST_ROWS, Measured, percent
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

    A visit begins to count when its order is there and a machine is free: for one machine EPT = done - max(arrival, done
    of the one before) (Jacobs, Etman, van Campen & Rooda 2003, from memory). For several machines that the log does not
    tell apart, a visit counts from its arrival while a machine is free, otherwise from the next time one comes free.
    """
    visits = shop.visits
    some = np.flatnonzero(visits.station >= 0)
    machines = {one.station: one.machines for one in stations.stations}
    names, step_names = shop.laid.station.names, shop.laid.step.names
    worked = (
        (shop.worked(visits.arrival[some]), shop.worked(visits.start[some]), shop.worked(visits.end[some]))
        if some.size
        else (np.zeros(0),) * 3
    )
    arrival = np.where(visits.is_first[some], worked[1], worked[0])
    times = np.full(some.size, np.nan)
    station = visits.station[some]
    by_done = order_within(station, (worked[2] * 1e6).astype(np.int64))
    begins = edges_of(station[by_done])
    for first, length in zip(begins.tolist(), run_lengths(begins, by_done.size).tolist(), strict=True):
        at = by_done[first : first + length]
        count = machines.get(names[int(station[at[0]])], 1)
        times[at] = single(arrival[at], worked[2][at]) if count == 1 else several(arrival[at], worked[2][at], count)
    touch = np.where(
        worked[2] > worked[1], np.minimum(visits.run[some] + visits.setup[some], worked[2] - worked[1]), 0.0
    )
    inside = np.where((times > 0) & (worked[2] > worked[1]), times, np.nan)

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

    of_stations = rows_of(station.astype(np.int64), names, machines)
    return EffectiveTimes(
        of_stations, rows_of(visits.step[some].astype(np.int64), step_names, None),
        tuple(visits.row[some[:MOST_ROWS]].tolist()), _sentence(of_stations),
    )  # fmt: skip


def single(arrival: Floats, done: Floats) -> Floats:
    """Effective process times of one machine, visits in the order in which they are done.

    >>> single(np.array([0.0, 1.0, 9.0]), np.array([4.0, 7.0, 10.0]))
    array([4., 3., 1.])
    """
    before = np.append(-np.inf, np.maximum.accumulate(done)[:-1]) if done.size else done
    times: Floats = done - np.maximum(arrival, before)
    return times


def several(arrival: Floats, done: Floats, machines: int) -> Floats:
    """Effective process times of `machines` equal machines that are not told apart, visits in the order in which they are done.

    >>> several(np.array([0.0, 0.0, 1.0]), np.array([4.0, 6.0, 9.0]), 2)
    array([4., 6., 5.])
    """
    from pullwright.watch.log.story.machines import effective_times

    order = np.argsort(arrival, kind="stable")
    times: Floats = effective_times(arrival, done, order, machines)
    return times


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
