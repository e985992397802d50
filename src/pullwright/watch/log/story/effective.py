"""Effective process times: how long does a lot hold a station, as the line sees it, outages, set-ups and pauses included?"""

from __future__ import annotations

from dataclasses import dataclass

from .measured import Measured


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
