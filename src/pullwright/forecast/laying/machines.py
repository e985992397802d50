"""Machines and their breakdowns."""

from __future__ import annotations

import numpy as np

from pullwright.flow.givens import Path
from pullwright.forecast.errors import CannotRun
from pullwright.forecast.events.rows import BY_CLOCK, BY_RUNNING
from pullwright.forecast.laying.source import Source
from pullwright.forecast.luck.shapes import shape_of
from pullwright.forecast.plant import NEVER


def machines(of: Source) -> dict[str, np.ndarray]:
    """The machines of each station, each with a breakdown stream of its own."""
    station: list[int] = []
    between: list[int] = []
    repair: list[int] = []
    counted: list[int] = []
    span: list[tuple[int, int]] = []
    for s, one in enumerate(of.line.stations):
        begin = len(station)
        for m in range(one.machines):
            station.append(s)
            if one.breakdowns is None:
                between.append(NEVER)
                repair.append(NEVER)
                counted.append(0)
                continue
            path: Path = ("stations", s, "breakdowns")
            mean = of.value((*path, "between"))
            if mean < 1:
                raise CannotRun(f"{one.name} breaks down every {mean:g} s; give a second or more")
            between.append(of.stream(shape_of("exponential", mean, 1.0), "between", one.name, str(m)))
            repair.append(of.time((*path, "repair"), one.breakdowns.repair, "repair cv", "repair", one.name, str(m)))
            counted.append(BY_CLOCK if one.breakdowns.counted_by == "clock" else BY_RUNNING)
        span.append((begin, len(station)))
    return {
        "machine_station": np.array(station),
        "machine_between": np.array(between),
        "machine_repair": np.array(repair),
        "machine_counted": np.array(counted),
        "station_machine": np.array(span),
    }
