"""How loaded is each station: hours booked, utilisation of the calendar, how many at once?"""

from __future__ import annotations

from dataclasses import dataclass


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
