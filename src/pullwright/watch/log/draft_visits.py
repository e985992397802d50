"""The visits of orders to steps as a drafted line needs them: pieces, seconds of work, set-ups, source rows."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from pullwright.line.calendar import WorkCalendar

    from .events import Events

T = TypeVar("T")


@dataclass(slots=True)
class Visit:
    """One visit of an order to a step: consecutive bookings there. `run` and `setup` are seconds of working time.

    `pieces` is how many were done, None where the log does not say; `again` is true where the order was here before.
    """

    case: str
    step: str
    product: str
    start: dt.datetime
    end: dt.datetime
    rows: list[int] = field(default_factory=list)
    stations: dict[str, float] = field(default_factory=dict)
    run: float = 0.0
    setup: float = 0.0
    setup_rows: list[int] = field(default_factory=list)
    pieces: float | None = None
    scrapped: float = 0.0
    held: float = 0.0
    asked: float = 0.0
    again: bool = False
    marked_again: bool = False

    @property
    def station(self) -> str:
        """Where most of it was done."""
        return max(self.stations, key=lambda name: self.stations[name]) if self.stations else self.step


def visits_of(events: Events, calendar: WorkCalendar) -> list[Visit]:
    """All visits, case by case in the order of their start; rows without a case are left out.

    A booking counts with its working time in `calendar`; one that lies wholly outside counts with its time by the clock.
    """
    import polars as pl

    table = events.table.filter(pl.col("case").is_not_null() & pl.col("activity").is_not_null())
    table = table.filter(pl.col("start").is_not_null() & pl.col("end").is_not_null())
    if not table.height:
        return []
    names = ("case", "activity", "station", "kind", "product")
    table = table.with_columns(pl.col(name).cast(pl.String) for name in names).sort("case", "start", "end", "row")
    clock = pl.duration(seconds=pl.col("clock").fill_null(0))
    table = table.with_columns(pl.col("start") + clock, pl.col("end") + clock)
    worked = calendar.between_many(table["start"].to_numpy(), table["end"].to_numpy())
    by_clock = (table["end"] - table["start"]).dt.total_microseconds().to_numpy() / 1e6
    found: list[Visit] = []
    been: dict[str, set[str]] = defaultdict(set)
    counts = bool({"good", "scrap", "held"} & events.has)
    columns = (*names, "row", "start", "end", "asked", "good", "scrap", "held", "rework")
    for at, row in enumerate(table.select(columns).iter_rows()):
        case, step, station, kind, product, number, start, end, asked, good, scrap, held, rework = row
        if kind == "down":
            continue
        seconds = float(worked[at]) or float(by_clock[at])
        last = found[-1] if found else None
        if last is None or last.case != case or last.step != step:
            last = Visit(case, step, product or "", start, end, again=step in been[case])
            found.append(last)
            been[case].add(step)
        last.end = max(last.end, end)
        last.marked_again |= bool(rework)
        where = station or step
        last.stations.setdefault(where, 0.0)
        if kind == "set-up":
            last.setup += seconds
            last.setup_rows.append(number)
        else:
            last.run += seconds
            last.rows.append(number)
            last.stations[where] += seconds
        last.asked = max(last.asked, asked or 0.0)
        if counts and (good is not None or scrap is not None or held is not None):
            last.pieces = (last.pieces or 0.0) + max(0.0, good or 0.0) + max(0.0, scrap or 0.0) + max(0.0, held or 0.0)
            last.scrapped += max(0.0, scrap or 0.0)
            last.held += max(0.0, held or 0.0)
    return found


def spread_evenly(items: list[T], most: int) -> list[T]:
    """At most so many of them, evenly picked from the first to the last.

    >>> spread_evenly(list(range(10)), 4)
    [0, 3, 6, 9]
    """
    if len(items) <= most:
        return items
    if most < 2:
        return items[:most]
    return [items[round(k * (len(items) - 1) / (most - 1))] for k in range(most)]


def rows_told(rows: Iterable[int], file: str, most: int = 8) -> str:
    """Source rows in words: "rows 2, 3, 9 and 40 more of shop.csv"."""
    some = sorted(set(rows))
    if not some:
        return file
    if len(some) == 1:
        return f"row {some[0]} of {file}"
    if some == list(range(some[0], some[-1] + 1)) and len(some) > 2:
        return f"rows {some[0]} to {some[-1]} of {file}"
    shown = ", ".join(map(str, some[:most]))
    more = f" and {len(some) - most:,} more" if len(some) > most else ""
    return f"rows {shown}{more} of {file}"
