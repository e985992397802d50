"""Shifts of single stations and crews, on the axis of the line's working day: one shift after another, each as long as it is on average."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.laying.source import Source


def shifts(of: Source) -> dict[str, np.ndarray]:
    """Who is there at the start of the day, and who comes or goes later in it."""
    line = of.line
    ends = _ends(of)
    day = ends[-1][2] if ends else 0.0
    changes: list[tuple[float, int, int, int]] = []
    closed, there = [], []
    for s, station in enumerate(line.stations):
        closed.append(_follow(changes, ends, day, station.shifts, 0, s, -1))
    for c, crew in enumerate(line.people):
        there.append(crew.number - crew.number * _follow(changes, ends, day, crew.shifts, 1, c, crew.number))
    changes.sort()
    return {
        "crew_number": np.array(there or [0]),
        "station_closed": np.array(closed),
        "change": np.array([one[1:] for one in changes], np.int64).reshape(-1, 3),
        "change_at": np.array([one[0] for one in changes], float),
    }


def _ends(of: Source) -> list[tuple[str, float, float]]:
    """Name, begin and end (s since the begin of the day) of each shift that works, as long as it is on an average working day."""
    calendar = of.line.work_calendar
    share, at = 1 / len(calendar.working_weekdays), 0.0
    found = []
    for shift in sorted(calendar.shifts, key=lambda one: one.start):
        seconds = shift.hours().working * len(shift.days) * share
        if seconds > 0:
            found.append((shift.name, at, at + seconds))
            at += seconds
    return found


def _follow(
    changes: list[tuple[float, int, int, int]], ends: list[tuple[str, float, float]], day: float,
    names: tuple[str, ...] | None, kind: int, index: int, by: int,
) -> int:  # fmt: skip
    """Note when one comes (`by` more) and goes (`by` fewer); 1 if it is not there when the day begins."""
    if names is None:
        return 0
    here = [name in names for name, _, _ in ends]
    for k, (_, _, end) in enumerate(ends):
        then = here[(k + 1) % len(here)]
        if here[k] != then:
            changes.append((day if k == len(ends) - 1 else end, kind, index, by if then else -by))
    return 0 if not here or here[0] else 1
