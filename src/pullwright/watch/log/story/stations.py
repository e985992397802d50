"""How loaded is each station: hours booked, utilisation of the calendar, how many at once?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.figure import percent
from pullwright.watch.log.laid import Floats, Ints, distinct, first_rows, tallied
from pullwright.watch.log.story.levels import MOST_LEVEL, time_at_levels, unions_in_order
from pullwright.watch.log.story.measured import MOST_ROWS
from pullwright.watch.log.story.visits import DOWN, RUN, SETUP, Shop


@dataclass(frozen=True, slots=True)
class StationLoad:
    """One station. Times are seconds.

    `booked`: spans of its bookings added up; `covered`: time with at least one of them going on; `run`, `setup`, `down`:
    booked by kind; `covered_worked`: covered time inside the calendar; `utilisation`: that by the working time of the
    window; `at_once`: usually so many at the same time while it works (median by time), `most_at_once` 19 times in 20;
    `machines`: how many equal machines or places that speaks for; `outside`: share of booked time outside the calendar.
    """

    station: str
    bookings: int
    cases: int
    booked: float
    covered: float
    run: float
    setup: float
    down: float
    covered_worked: float
    utilisation: float
    at_once: int
    most_at_once: int
    machines: int
    outside: float
    steps: tuple[tuple[str, float], ...]
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Stations:
    """All stations, the busiest first; `working_seconds` is the working time of the window."""

    stations: tuple[StationLoad, ...]
    working_seconds: float
    rows: tuple[int, ...]
    found: str

    def of(self, station: str) -> StationLoad:
        """The row of one station. Raises KeyError where the log has no such station."""
        for row in self.stations:
            if row.station == station:
                return row
        raise KeyError(
            f"the log has no station {station!r} (it has: {', '.join(row.station for row in self.stations[:10])})"
        )


MACHINES_AT = 0.9
"""So many machines as are enough in this share of the time in which a station works: what goes beyond is bookings left on."""


def stations_of(shop: Shop) -> Stations:
    """How loaded is each station, and how many are worked on at once there?"""
    laid = shop.laid
    size = laid.station.size
    some = np.flatnonzero(laid.station.codes >= 0)
    codes, start, end = laid.station.codes[some], laid.start[some], laid.end[some]
    seconds, kind = (end - start) / 1e6, laid.kind[some]
    count = np.bincount(codes, minlength=size)
    booked = np.bincount(codes, seconds, size)
    by_kind = [np.bincount(codes[kind == one], seconds[kind == one], size) for one in (RUN, SETUP, DOWN)]
    order = shop.by_station
    group, begin, until = unions_in_order(order, laid.station.codes, laid.start, laid.end)
    covered = np.bincount(group, (until - begin) / 1e6, size)
    covered_worked = np.bincount(group, shop.worked(until) - shop.worked(begin), size) if group.size else np.zeros(size)
    working = shop.working_seconds
    levels = time_at_levels(laid.station.codes, laid.start, laid.end, size, order)
    at_once, most, machines = (_level(levels, share) for share in (0.5, 0.95, MACHINES_AT))
    outside = _outside(shop, some, booked)
    cases = _cases(shop, some, size)
    steps, rows = _steps(shop, some), first_rows(codes, laid.row[some], size, MOST_ROWS)
    loads = [
        StationLoad(
            name, int(count[k]), int(cases[k]), float(booked[k]), float(covered[k]), float(by_kind[0][k]), float(by_kind[1][k]), float(by_kind[2][k]),
            float(covered_worked[k]), float(covered_worked[k] / working) if working > 0 else float("nan"), int(at_once[k]),
            int(most[k]), int(machines[k]), float(outside[k]), steps.get(k, ()), rows[k],
        )
        for k, name in enumerate(laid.station.names)
        if count[k]
    ]  # fmt: skip
    loads.sort(key=lambda one: (-one.utilisation if one.utilisation == one.utilisation else 0.0, one.station))
    return Stations(tuple(loads), working, tuple(laid.row[some[:MOST_ROWS]].tolist()), _sentence(loads))


def _level(levels: Floats, share: float) -> Floats:
    """The number at once that is not passed in this share of the time at work; 1 where nothing takes time."""
    total = levels.sum(axis=1, keepdims=True)
    reached = np.cumsum(levels, axis=1) >= share * total
    return np.where(total[:, 0] > 0, np.clip(np.argmax(reached, axis=1), 1, MOST_LEVEL), 1)


def _outside(shop: Shop, some: Ints, booked: Floats) -> Floats:
    """The share of booked time that lies outside the calendar."""
    if not some.size:
        return np.zeros(booked.size)
    inside = (shop.worked_end[some] - shop.worked_start[some]) / 1e6
    worked = np.bincount(shop.laid.station.codes[some], inside, booked.size)
    return np.where(booked > 0, np.clip(1 - worked / np.maximum(booked, 1e-9), 0, 1), 0.0)


def _cases(shop: Shop, some: Ints, size: int) -> Ints:
    laid = shop.laid
    known = some[laid.case.codes[some] >= 0]
    pairs, _ = distinct(laid.station.codes[known].astype(np.int64) * (laid.case.size + 1) + laid.case.codes[known])
    return np.bincount(pairs // (laid.case.size + 1), minlength=size)


def _steps(shop: Shop, some: Ints) -> dict[int, tuple[tuple[str, float], ...]]:
    laid, names = shop.laid, shop.laid.step.names
    known = some[laid.step.codes[some] >= 0]
    keys = laid.station.codes[known].astype(np.int64) * max(laid.step.size, 1) + laid.step.codes[known]
    pairs, counts = tallied(keys, laid.station.size * max(laid.step.size, 1))
    found: dict[int, list[tuple[str, float]]] = {}
    for pair, count in zip(pairs.tolist(), counts.tolist(), strict=True):
        found.setdefault(pair // max(laid.step.size, 1), []).append(
            (names[pair % max(laid.step.size, 1)], float(count))
        )
    return {
        station: tuple((name, count / sum(c for _, c in rows)) for name, count in sorted(rows, key=lambda one: -one[1]))
        for station, rows in found.items()
    }


def _sentence(loads: list[StationLoad]) -> str:
    known = [one for one in loads if one.utilisation == one.utilisation]
    if not known:
        return "The log does not say how loaded any station is."
    top = known[0]
    said = f"{top.station} is busiest: something is booked there in {percent(top.utilisation)} of the working time"
    if len(known) > 1:
        said += f", then {known[1].station} with {percent(known[1].utilisation)}"
    several = sum(1 for one in known if one.machines > 1)
    if several:
        said += f". At {several} of {len(loads)} stations several bookings go on at once"
    return said + "."
