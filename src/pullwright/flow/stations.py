"""How full is each station: its load, its effective process time, and its bar against takt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.givens import Givens
from pullwright.flow.process_time import AtStation, Outages, effective_time, outages_of, started_there, station_time
from pullwright.flow.rates import Rates, StepRates
from pullwright.flow.station_work import work_by_purpose
from pullwright.line.kinds import KindKey


@dataclass(frozen=True, slots=True)
class StationLoad:
    """One station at the rate that customers pull.

    `work`: its time in a working day by what it is for (s/wd); `rate`: pieces started there (pieces/wd); `time` and `cv2`: effective
    process time of a piece (s) and its squared cv; `load`: work against what its machines have (share); `content`: its work for one
    shipped unit, shared by its machines (s), to be held against takt, in `segments`; `up`: availability.
    """

    index: int
    name: str
    steps: tuple[AtStation, ...]
    machines: Figure
    available: Figure
    up: Figure | None
    work: dict[KindKey, Figure]
    rate: Figure
    time: Figure
    cv2: Figure
    load: Figure
    content: Figure
    segments: dict[KindKey, Figure]


def stations_of(givens: Givens, rates: Rates, takt_day: Figure) -> tuple[StationLoad, ...]:
    """How full is every station that has work? In the order of the file; stations without a step are left out."""
    line = givens.line
    index = {station.name: s for s, station in enumerate(line.stations)}
    outages = {s: outages_of(givens, s) for s in range(len(line.stations))}
    at: dict[int, list[AtStation]] = {}

    def add(s: int, step: StepRates, share: Figure | None, times: Figure | None) -> None:
        name = line.stations[s].name
        mean, variance = effective_time(step, name, times, outages[s])
        at.setdefault(s, []).append(AtStation(step, share, times, started_there(step, name, share), mean, variance))

    for step in rates.steps:
        given = line.steps[step.index]
        shares = [givens.figure(("steps", step.index, "also_at", k, "share")) for k in range(len(given.also_at))]
        main = None
        if shares:
            main = derive(
                f"share at its own station / {step.name}",
                lambda *s: np.maximum(1 - sum(s), 0.0),
                *shares,
                unit="share",
                formula="1 - shares done elsewhere",
            )
        add(index[given.station], step, main, None)
        for k, (other, share) in enumerate(zip(given.also_at, shares, strict=True)):
            slower = None if other.times is None else givens.figure(("steps", step.index, "also_at", k, "times"))
            add(index[other.station], step, share, slower)
    return tuple(
        _station(givens, rates, s, tuple(at[s]), outages[s], takt_day) for s in range(len(line.stations)) if s in at
    )


def _station(
    givens: Givens, rates: Rates, s: int, steps: tuple[AtStation, ...], outages: Outages | None, takt_day: Figure
) -> StationLoad:
    station = givens.line.stations[s]
    machines = givens.number(("stations", s, "machines"), station.machines, "machines")
    available = givens.day_seconds(station.shifts)
    up = None if outages is None else outages.up
    work = work_by_purpose(station.name, steps, up)
    total = derive(
        f"work a day / {station.name}",
        lambda *w: sum(w),
        *work.values(),
        unit="s/wd",
        formula="sum over what it is for",
    )
    rate = steps[0].started
    if len(steps) > 1:
        rate = derive(
            f"pieces a day / {station.name}",
            lambda *r: sum(r),
            *(at.started for at in steps),
            unit="pieces/wd",
            formula="pieces started there by all its steps",
        )
    time, cv2 = station_time(station.name, steps)
    load = derive(
        f"load / {station.name}",
        full,
        total,
        machines,
        available,
        unit="share",
        formula="work a day / (machines x net working time of a day)",
    )
    segments = {
        kind: derive(
            f"bar / {station.name} / {kind}", lambda w, d, m, day, a: full(w * day, d * m, a), figure, rates.demand, machines, takt_day, available,
            unit="s", formula="work a day / (demand x machines), scaled to the line's working time",
        )
        for kind, figure in work.items()
    }  # fmt: skip
    content = derive(
        f"bar / {station.name}", lambda *k: sum(k), *segments.values(), unit="s", formula="sum over what it is for"
    )
    return StationLoad(s, station.name, steps, machines, available, up, work, rate, time, cv2, load, content, segments)


def full(work: Any, number: Any, time: Any) -> Any:
    """Load of so many machines or people with so much time each; without any time, work makes them endlessly full.

    >>> float(full(6.0, 2, 4.0)), float(full(6.0, 2, 0.0)), float(full(0.0, 2, 0.0))
    (0.75, inf, 0.0)
    """
    return np.where(np.asarray(work) > 0, _over(work, number * time), 0.0)


def _over(part: Any, whole: Any) -> Any:
    with np.errstate(all="ignore"):
        return np.where(np.asarray(part) > 0, np.divide(part, whole), 0.0)
