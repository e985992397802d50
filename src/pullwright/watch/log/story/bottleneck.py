"""Which station held things longest, week by week, and how sure is that?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class WeekBottleneck:
    """The bottleneck of one week.

    `share` of that week's working time it was the bottleneck of the moment (its uninterrupted work lasted longest),
    `low` and `high` from day to day; `second` the next one; `clear` where the lead over the second is more than
    luck; `waiting_station` held most waiting before it that week, `agrees` where it is the same.
    """

    week: str
    station: str
    share: float
    low: float
    high: float
    second: str
    second_share: float
    clear: bool
    waiting_station: str
    waiting_share: float
    agrees: bool
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Bottlenecks:
    """The bottleneck week by week, after Roser, Nakano & Tanaka (2002), and the waiting before each station beside it.

    `stations` has one row a station over the whole window: station, share (of working time as bottleneck of the moment),
    sole (of that, without another one taking over), busy (share of working time at work), waiting_share (of all working
    time waited). `weekly` has the same per week. `shifts` counts how often the bottleneck moved.
    """

    weeks: tuple[WeekBottleneck, ...]
    stations: pl.DataFrame
    weekly: pl.DataFrame
    shifts: int
    main: str
    rows: tuple[int, ...]
    found: str
