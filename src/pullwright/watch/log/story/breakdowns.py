"""How often does each station break down, and how long until it runs again, where the log says so?"""

from __future__ import annotations

from dataclasses import dataclass

from .measured import Measured


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
