"""How long does a case take from its first begin to its last end, cases that are not through yet counted as such?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .measured import Measured

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class LeadTime:
    """Lead time of all cases or of one product, in working days (`worked`) and in calendar days (`calendar`).

    `percentiles` pair a share with a lead time and its interval ("half of the cases within ..."): shares 0.5, 0.8, 0.9,
    0.95; nan where the log is too short to say. `method` is "order statistics" where every case was seen from begin to end and "Kaplan-Meier" where
    some are still open. `finished`, `open`: cases seen to the end, and seen from their begin but not through yet;
    `touch_share`: touch time by lead time, both by the clock, over the finished cases.
    """

    name: str
    finished: int
    open: int
    mean_worked: Measured
    mean_calendar: Measured
    worked: tuple[tuple[float, Measured], ...]
    calendar: tuple[tuple[float, Measured], ...]
    touch_share: float
    method: str


@dataclass(frozen=True)
class LeadTimes:
    """Lead times of all cases, by product, and by week of completion.

    `begun_before` cases were under way when the log begins: their lead time is unknown and they stand in no number.
    `weeks` has: week (its Monday), finished, median_worked (days), mean_worked, touch_share. `cases` has one row a case:
    case, product, start, end, worked_days, calendar_days, state ("finished", "open", "begun before"), row. `trend` is
    the rank correlation of lead time with the moment of completion, `trend_p` its p-value (nan where too few).
    """

    all: LeadTime
    products: tuple[LeadTime, ...]
    begun_before: int
    weeks: pl.DataFrame
    cases: pl.DataFrame
    trend: float
    trend_p: float
    rows: tuple[int, ...]
    found: str
