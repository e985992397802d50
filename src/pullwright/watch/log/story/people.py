"""How many people are at work at the same time, hour by hour? They are counted, never named."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .measured import Measured

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True)
class People:
    """People with a booking going on, on working days. `hours` has: hour, mean, most. `distinct` in the whole log;
    `a_day`: different people on a working day; `at_once`: mean in working time. All nan where the log names nobody."""

    says: bool
    distinct: int
    a_day: Measured
    at_once: float
    most_at_once: int
    stations_a_day: float
    hours: pl.DataFrame
    found: str
