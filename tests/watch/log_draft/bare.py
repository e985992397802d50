"""A story with next to nothing in it, and events from plain rows: what a draft has to get along with."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

import polars as pl

from pullwright.line.calendar import Shift, WorkCalendar
from pullwright.watch.log.decide import Decided
from pullwright.watch.log.events import COLUMNS, Events
from pullwright.watch.log.story.breakdowns import Breakdowns
from pullwright.watch.log.story.calendar import FoundCalendar, FoundShift
from pullwright.watch.log.story.demand import Demand
from pullwright.watch.log.story.lead import LeadTime, LeadTimes
from pullwright.watch.log.story.measured import Measured
from pullwright.watch.log.story.people import People
from pullwright.watch.log.story.stations import Stations
from pullwright.watch.log.story.steps import Steps
from pullwright.watch.log.story.way import Way
from pullwright.watch.log.story.yields import Yields

NAN = float("nan")
UNKNOWN = Measured(NAN, NAN, NAN, 0)
TYPES = {
    "row": pl.UInt32, "case": pl.Categorical, "activity": pl.Categorical, "station": pl.Categorical, "start": pl.Datetime("us"),
    "end": pl.Datetime("us"), "clock": pl.Int32, "span": pl.Float64, "kind": pl.Categorical, "product": pl.Categorical,
    "person": pl.Categorical, "asked": pl.Float64, "good": pl.Float64, "scrap": pl.Float64, "held": pl.Float64, "rework": pl.Boolean,
}  # fmt: skip


def events(rows: Iterable[dict[str, Any]], *, file: str = "shop.csv") -> Events:
    """Events from plain rows; what a row does not say is filled in."""
    full = []
    for k, row in enumerate(rows):
        base = {"row": k + 2, "clock": 0, "kind": "run", "rework": False, "station": row.get("activity")}
        full.append({name: row.get(name, base.get(name)) for name in COLUMNS})
    has = {name for row in full for name in COLUMNS if row[name] is not None} - {"row", "clock"}
    return Events(pl.DataFrame(full, schema=TYPES), file, frozenset(has))


def decided(log: Events) -> Decided:
    """A log of which all is used."""
    return Decided(log, log, pl.DataFrame(), pl.DataFrame(), {})


class BareStory:
    """Chapters that found nothing; the calendar is one shift from 06:00 to 14:00."""

    def __init__(self, first: dt.date = dt.date(2026, 1, 5)) -> None:
        shift = FoundShift("day", 21_600, 50_400, (0, 1, 2, 3, 4), (), 1, 0)
        calendar = WorkCalendar((Shift("day", 21_600, 50_400),))
        self.calendar = FoundCalendar(
            calendar,
            first,
            first,
            (shift,),
            1,
            (),
            (),
            0.0,
            0,
            0.0,
            (),
            300,
            pl.DataFrame(),
            pl.DataFrame(),
            (),
            "Assumed.",
        )
        self.way = Way(0, 0, (), NAN, 0, (), (), (), (), pl.DataFrame(), (), "")
        self.steps = Steps((), 0.0, 0.0, (), "")
        self.stations = Stations((), 0.0, (), "")
        self.breakdowns = Breakdowns((), False, (), "")
        self.yields = Yields((), UNKNOWN, UNKNOWN, 0, 0, False, (), "")
        none = LeadTime("", 0, 0, UNKNOWN, UNKNOWN, (), (), NAN, "")
        cases = pl.DataFrame(schema={"case": pl.String, "state": pl.String})
        self.lead = LeadTimes(none, (), 0, pl.DataFrame(), cases, NAN, NAN, (), "")
        self.demand = Demand((), "cases", 1, pl.DataFrame(), (), "")
        self.people = People(False, 0, UNKNOWN, NAN, 0, NAN, pl.DataFrame(), "")
