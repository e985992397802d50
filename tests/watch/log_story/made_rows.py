"""Small made event tables, and everything that is told about them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

import polars as pl

from pullwright.watch.log.decide import Decided, decide
from pullwright.watch.log.events import COLUMNS, Events
from pullwright.watch.log.story import Story, story
from pullwright.watch.log.story_figures import StoryFigures

TYPES = {
    "row": pl.UInt32, "case": pl.Categorical, "activity": pl.Categorical, "station": pl.Categorical, "start": pl.Datetime("us"),
    "end": pl.Datetime("us"), "clock": pl.Int32, "span": pl.Float64, "kind": pl.Categorical, "product": pl.Categorical,
    "person": pl.Categorical, "asked": pl.Float64, "good": pl.Float64, "scrap": pl.Float64, "held": pl.Float64, "rework": pl.Boolean,
}  # fmt: skip
MONDAY = dt.datetime(2026, 3, 2)
CHAPTERS = (
    "calendar", "way", "steps", "stations", "effective", "lead", "wip", "bottlenecks", "yields", "breakdowns", "demand",
    "people", "watch_next", "found",
)  # fmt: skip


def at(minutes: float, day: float = 0) -> dt.datetime:
    """So many minutes after 08:00 of the day-th day after Monday, 2 March 2026."""
    return MONDAY + dt.timedelta(days=day, hours=8, minutes=minutes)


def booking(case: str | None, step: str | None, start: float | None, end: float | None, day: float = 0, **more: Any) -> dict[str, Any]:  # fmt: skip
    """One row; start and end in minutes after eight."""
    times = {"start": None if start is None else at(start, day), "end": None if end is None else at(end, day)}
    return {"case": case, "activity": step, "station": step, **times, **more}


def log_of(rows: Iterable[dict[str, Any]], *, file: str = "shop.csv", has: Iterable[str] = ()) -> Events:
    """Events of plain rows; the first one stands in row 2, as under a header. `has` adds roles whose columns are empty."""
    full = [{"row": k + 2, "clock": 0, "kind": "run", "rework": False, **row} for k, row in enumerate(rows)]
    named = {name for row in full for name in row if row[name] is not None} - {"row", "clock"}
    if not any(row["kind"] != "run" for row in full):
        named -= {"kind"}
    table = pl.DataFrame([{name: row.get(name) for name in COLUMNS} for row in full], schema=TYPES)
    return Events(table, file, frozenset(named | set(has)))


def told(events: Events) -> dict[str, Any]:
    """Every chapter of the story of a log, all of them asked for."""
    found: Story = story(decide(events))
    return {chapter: getattr(found, chapter) for chapter in CHAPTERS}


def figures_of(decided: Decided) -> StoryFigures:
    """The figures of the story of a decided log."""
    return StoryFigures(story(decided), decided)
