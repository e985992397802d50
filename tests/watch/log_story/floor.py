"""Events made by hand or by a small floor that works a known calendar: what the story is checked against."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

import numpy as np
import polars as pl

from pullwright.line.calendar import WorkCalendar
from pullwright.watch.log.decide import decide
from pullwright.watch.log.events import COLUMNS, Events
from pullwright.watch.log.story import Story, story
from tests.watch.log_story.made_rows import MONDAY, TYPES


def events(rows: Iterable[dict[str, Any]], *, file: str = "shop.csv") -> Events:
    """Events from plain rows: `start` and `end` are moments, or hours after Monday 2 March 2026, 00:00."""
    full = []
    for k, row in enumerate(rows):
        base = {"row": k + 2, "clock": 0, "kind": "run", "rework": False, "station": row.get("activity")}
        one = {name: row.get(name, base.get(name)) for name in COLUMNS}
        for name in ("start", "end"):
            if isinstance(one[name], (int, float)):
                one[name] = MONDAY + dt.timedelta(hours=one[name])
        full.append(one)
    has = {name for row in full for name in COLUMNS if row[name] is not None} - {"row", "clock"}
    if not any(row["rework"] for row in full):
        has -= {"rework"}
    return Events(pl.DataFrame(full, schema=TYPES), file, frozenset(has))


def row(case: str, step: str, start: float, end: float, **more: Any) -> dict[str, Any]:
    """One booking, in hours after Monday 00:00."""
    return {"case": case, "activity": step, "start": start, "end": end, **more}


def told(rows: Iterable[dict[str, Any]], **decisions: str) -> Story:
    """The story of plain rows."""
    return story(decide(events(rows), {key.replace("_", " "): choice for key, choice in decisions.items()}))


def on_the_clock(calendar: WorkCalendar, worked: np.ndarray, first: dt.datetime = MONDAY) -> np.ndarray:
    """The moments at which so many seconds have been worked since `first`, as datetime64[us]."""
    last = first + dt.timedelta(days=30)
    while calendar.between(first, last) <= worked.max(initial=0):
        last += dt.timedelta(days=30)
    stretches = list(calendar.intervals(first, last))
    begins = np.array([begin for begin, _ in stretches], "datetime64[us]")
    lasts = np.array([(end - begin).total_seconds() for begin, end in stretches])
    before = np.append(0.0, np.cumsum(lasts))
    place = np.clip(np.searchsorted(before, worked, side="right") - 1, 0, lasts.size - 1)
    return begins[place] + ((worked - before[place]) * 1e6).astype("timedelta64[us]")


def table(columns: dict[str, Any], *, file: str = "floor.csv") -> Events:
    """Events from whole columns; those that are not given are empty."""
    size = len(columns["start"])
    given = {
        "row": np.arange(2, size + 2),
        "clock": [0] * size,
        "kind": ["run"] * size,
        "rework": [False] * size,
        **columns,
    }
    full = pl.DataFrame({name: pl.Series(name, given[name], strict=False).cast(TYPES[name]) if name in given else pl.Series(name, [None] * size, TYPES[name]) for name in COLUMNS})  # fmt: skip
    return Events(full, file, frozenset(set(columns) - {"row", "clock"}))


def busy_floor(calendar: WorkCalendar, *, days: int, stations: int = 6, mean: float = 1500.0, seed: int = 1) -> Events:
    """Stations that work one job after another, all through the working time of some days."""
    rng = np.random.default_rng(seed)
    total = calendar.between(MONDAY, MONDAY + dt.timedelta(days=days))
    many = int(total / mean) + 5
    edges = np.cumsum(rng.gamma(2.0, mean / 2, (stations, many)), axis=1)
    start, end = np.hstack([np.zeros((stations, 1)), edges[:, :-1]]).ravel(), edges.ravel()
    kept = end < total
    start, end, station = start[kept], end[kept], np.repeat(np.arange(stations), many)[kept]
    order = np.argsort(start, kind="stable")
    names = [f"M{code}" for code in station[order]]
    moments = (
        on_the_clock(calendar, at[order]).astype("datetime64[s]").astype("datetime64[us]") for at in (start, end)
    )
    return table(
        {"case": [f"A{k // 5}" for k in range(len(names))], "activity": names, "station": names, "start": next(moments), "end": next(moments)}
    )  # fmt: skip
