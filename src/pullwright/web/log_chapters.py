"""The chapters of a log's story as a page tells them: a sentence, pictures, tables of figures, rows in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pullwright.draw.charts import Bar, Level, Steps, bars, spread, steps_over_time, weeks_by_station
from pullwright.figure import Figure, number_text, percent
from pullwright.line.words import WEEKDAYS
from pullwright.line.worktime import clock
from pullwright.web.charted import Charted, charted
from pullwright.web.inked import inked
from pullwright.web.opened_log import OpenedLog, Telling
from pullwright.web.pieces import Piece, Row, Shown, Table
from pullwright.web.way import Way

MOST_SHOWN = 12
"""Stations, steps or ways that a picture shows; the tables show all of them, `MOST_ROWS` at the most."""
MOST_ROWS = 60
RARE = 0.02
"""Steps that fewer of the orders go through are left out of the tables; all of them stand among all figures."""


class WordTable(Piece):
    """A table of words and plain numbers; `rows_of` names the source rows behind each row, as addresses."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    links: tuple[str, ...] = ()


class Chapter(Piece):
    """One chapter: its id, title and question, the sentence that it found, its pictures and tables, and notes."""

    key: str
    title: str
    question: str
    found: str
    charts: tuple[Charted, ...] = ()
    tables: tuple[Table, ...] = ()
    words: tuple[WordTable, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Teller:
    """Tells the chapters of one log."""

    log: OpenedLog
    telling: Telling

    @cached_property
    def way(self) -> Way:
        """The way to the why of its figures."""
        return Way(self.log.base)

    def chapters(self) -> tuple[Chapter, ...]:
        """All chapters, in the order in which a foreman would ask."""
        return tuple(make(self) for make in CHAPTERS)

    @cached_property
    def usual(self) -> frozenset[str]:
        """Steps that are no rarity."""
        return frozenset(one.step for one in self.telling.story.way.order if one.share >= RARE)

    @property
    def rare(self) -> tuple[str, ...]:
        """What is said of the steps that are left out."""
        left = len(self.telling.story.way.order) - len(self.usual)
        if not left:
            return ()
        many = "1 step that hardly any order goes" if left == 1 else f"{left} steps that hardly any order goes"
        return (f"{many} through {'is' if left == 1 else 'are'} left out of the tables; all figures have everything.",)

    def shown(self, *path: str, words: str = "") -> Shown | None:
        """The figure at a path of names, with the way to its why."""
        return self.ink(self.telling.figures.get(*path), words)

    def ink(self, figure: Figure | None, words: str = "") -> Shown | None:
        """A figure with the way to its why."""
        return None if figure is None else inked(figure, why=self.way.why(figure.name), words=words)

    def rows_link(self, rows: Iterable[int]) -> str:
        """The address that shows source rows; empty where there are none."""
        named = ",".join(str(row) for row in list(rows)[:40])
        return f"{self.log.part('rows')}?rows={named}" if named else ""


def _lead(tell: Teller) -> Chapter:
    lead = tell.telling.story.lead
    done = lead.cases.filter(lead.cases["state"] == "finished")["worked_days"].drop_nulls().to_numpy()
    charts = []
    if done.size:
        chart = spread(
            done, title="Lead time of what is through, in working days", unit="d", what="cases",
            percentiles=(0.5, 0.9, 0.95), prefix="lead",
        )  # fmt: skip
        charts.append(charted(chart))
    table = Table(
        caption="Lead time in working days, from the first begin to the last end",
        columns=("on average", "half within", "9 in 10 within", "share that is work"),
        rows=tuple(_lead_row(tell, name, name or "all") for name in ("", *(one.name for one in lead.products[:MOST_ROWS]))),
    )  # fmt: skip
    notes = []
    if lead.all.open:
        notes.append(
            f"The picture shows the {lead.all.finished:,} that are through; the sentence counts the {lead.all.open:,} that are still open, too."
        )
    if lead.begun_before:
        notes.append(
            f"{lead.begun_before} were under way when the log begins; their lead time is unknown and stands in no number."
        )
    return Chapter(
        key="lead", title="Lead time", question="How long does it take to get through?", found=lead.found,
        charts=tuple(charts), tables=(table,), notes=tuple(notes),
    )  # fmt: skip


def _lead_row(tell: Teller, product: str, words: str) -> Row:
    name = ("products", product, "lead time") if product else ("lead time",)
    parts = ("mean", "50% are through within", "90% are through within", "share of it that is work")
    return Row(words=words, figures=tuple(tell.shown(*name, part) for part in parts))


def _way(tell: Teller) -> Chapter:
    way = tell.telling.story.way
    variants = WordTable(
        caption="The commonest ways through",
        columns=("way", "took it", "of all"),
        rows=tuple((" → ".join(one.steps), f"{one.cases:,}", percent(one.share)) for one in way.variants[:MOST_SHOWN]),
        links=tuple(tell.rows_link(one.rows) for one in way.variants[:MOST_SHOWN]),
    )
    order = WordTable(
        caption="The steps in their usual order",
        columns=("step", "goes through it", "begins with it", "ends with it", "comes back to it"),
        rows=tuple(
            (one.step, percent(one.share), *(percent(part) if part else "" for part in (one.first, one.last, one.again)))
            for one in way.order[:MOST_ROWS]
            if one.step in tell.usual
        ),
        links=tuple(tell.rows_link(one.rows) for one in way.order[:MOST_ROWS] if one.step in tell.usual),
    )  # fmt: skip
    loops = WordTable(
        caption="Back to a step that was done before",
        columns=("from", "back to", "cases", "times"),
        rows=tuple((one.after, one.step, f"{one.cases:,}", f"{one.times:,}") for one in way.repeats[:MOST_SHOWN]),
        links=tuple(tell.rows_link(one.rows) for one in way.repeats[:MOST_SHOWN]),
    )
    return Chapter(
        key="way", title="The way through", question="Which steps does an order go through, and in which order?",
        found=way.found, notes=tell.rare, words=tuple(table for table in (variants, order, loops) if table.rows),
    )  # fmt: skip


def _steps(tell: Teller) -> Chapter:
    steps = tell.telling.story.steps
    waits = [
        (one.step, one.waiting.value * one.waiting.count)
        for one in steps.steps
        if one.waiting.known and one.waiting.value > 0
    ]
    total = sum(amount for _, amount in waits)
    charts = []
    if total > 0:
        largest = sorted(waits, key=lambda one: -one[1])[:MOST_SHOWN]
        chart = bars(
            [Bar(name, amount / total) for name, amount in largest],
            title="Where the waiting is: share of all waiting before each step", unit="share", prefix="waiting",
        )  # fmt: skip
        charts.append(charted(chart))
    table = Table(
        caption="Steps in their usual order: one visit of one order",
        columns=("work of a visit", "work on a piece", "waiting before it", "set-up", "lot"),
        rows=tuple(
            Row(
                words=one.step,
                question=f"{one.visits:,} visits",
                figures=tuple(
                    tell.shown("steps", one.step, part)
                    for part in ("work of a visit", "work on a piece", "waiting before it", "set-up", "lot")
                ),
            )
            for one in steps.steps[:MOST_ROWS]
            if one.step in tell.usual
        ),
    )
    return Chapter(
        key="steps", title="Work and waiting", question="How long is each step worked on, and how long does it lie before it?",
        found=steps.found, charts=tuple(charts), tables=(table,), notes=tell.rare,
    )  # fmt: skip


def _stations(tell: Teller) -> Chapter:
    stations, effective = tell.telling.story.stations, tell.telling.story.effective
    busiest = [one for one in stations.stations if one.utilisation == one.utilisation][:MOST_SHOWN]
    charts = []
    if busiest:
        chart = bars(
            [Bar(one.station, max(one.utilisation, 0.0)) for one in busiest],
            title="Share of the working time in which something is booked", unit="share", prefix="busy",
        )  # fmt: skip
        charts.append(charted(chart))
    known = {one.name: one for one in effective.stations}
    table = Table(
        caption="Stations, the busiest first",
        columns=("at work", "effective time of a lot", "its cv", "of a piece"),
        rows=tuple(
            Row(
                words=one.station,
                question=f"{one.bookings:,} bookings, usually {one.at_once} at once"
                if one.at_once > 1
                else f"{one.bookings:,} bookings",
                figures=(
                    tell.shown("stations", one.station, "share of working time at work"),
                    tell.shown("stations", one.station, "effective time of a lot"),
                    tell.shown("stations", one.station, "cv of the effective time"),
                    tell.shown("stations", one.station, "effective time of a piece"),
                ),
            )
            for one in stations.stations[:MOST_ROWS]
            if one.station in known or one.bookings
        ),
    )
    return Chapter(
        key="stations", title="Stations", question="How full is each, and how long does it really hold a lot?",
        found=stations.found, charts=tuple(charts), tables=(table,), notes=(effective.found,),
    )  # fmt: skip


def _bottleneck(tell: Teller) -> Chapter:
    found = tell.telling.story.bottlenecks
    charts = []
    weekly = found.weekly
    if weekly.height:
        names = found.stations["station"].cast(str).to_list()[:MOST_SHOWN]
        weeks = sorted({str(week) for week in weekly["week"].to_list()})[-106:]
        at = {
            (str(station), str(week)): share
            for station, week, share in weekly.select("station", "week", "share").iter_rows()
        }
        values = np.array([[at.get((name, week), np.nan) for week in weeks] for name in names], dtype=float)
        chart = weeks_by_station(
            names, [_week(week) for week in weeks], values,
            title="Share of each week in which the station was the bottleneck of the moment", prefix="held",
        )  # fmt: skip
        charts.append(charted(chart))
    weeks_table = WordTable(
        caption="Week by week",
        columns=("week from", "bottleneck", "share of the time", "next", "most waiting before"),
        rows=tuple(
            (one.week, one.station, percent(one.share), f"{one.second} ({percent(one.second_share)})" if one.second else "", one.waiting_station)
            for one in found.weeks[:MOST_ROWS]
        ),
        links=tuple(tell.rows_link(one.rows) for one in found.weeks[:MOST_ROWS]),
    )  # fmt: skip
    return Chapter(
        key="bottleneck", title="Bottleneck", question="Which station held things up, and in which week?",
        found=found.found, charts=tuple(charts), words=(weeks_table,) if weeks_table.rows else (),
    )  # fmt: skip


def _wip(tell: Teller) -> Chapter:
    wip = tell.telling.story.wip
    charts = []
    if wip.days.height:
        days = wip.days["day"].cast(str).to_numpy().astype("datetime64[D]")
        chart = steps_over_time(
            [Steps("in the shop", days, wip.days["cases"].to_numpy(), until=days[-1] + np.timedelta64(1, "D"))],
            title="Orders in the shop, day by day", levels=(Level("mean", wip.mean_cases),), prefix="wip",
        )  # fmt: skip
        charts.append(charted(chart))
    figures = tuple(
        Row(words=words, figures=(tell.shown(name),))
        for words, name in (
            ("in the shop on average", "work in process"),
            ("in pieces", "work in process in pieces"),
            ("rate x lead time, by what was in the shop", "rate times lead time, by work in process"),
        )
        if tell.telling.figures.get(name)
    )
    table = Table(caption="What is in the shop, and whether the log agrees with itself", columns=("",), rows=figures)
    return Chapter(
        key="wip", title="What is in the shop", question="How much is under way, and do rate and lead time agree with it?",
        found=wip.found, charts=tuple(charts), tables=(table,) if figures else (), notes=(wip.little.cause,) if wip.little.cause else (),
    )  # fmt: skip


def _yields(tell: Teller) -> Chapter:
    yields = tell.telling.story.yields
    scrapped = [one for one in yields.steps if one.scrap.known and one.scrap.value > 0]
    charts = []
    if scrapped:
        worst = sorted(scrapped, key=lambda one: -one.scrap.value)[:MOST_SHOWN]
        chart = bars(
            [Bar(one.step, one.scrap.value, _or_none(one.scrap.low), _or_none(one.scrap.high)) for one in worst],
            title="Scrapped, share of the pieces of each step", unit="share", prefix="scrap",
        )  # fmt: skip
        charts.append(charted(chart))
    table = Table(
        caption="What comes out good",
        columns=("good at the first pass", "scrapped", "held", "done again"),
        rows=tuple(
            Row(
                words=one.step,
                figures=tuple(
                    tell.shown("steps", one.step, part)
                    for part in ("good at the first pass", "scrapped", "held", "done again")
                ),
            )
            for one in yields.steps[:MOST_ROWS]
            if one.step in tell.usual
        ),
        total=Row(
            words="all the way",
            figures=(tell.shown("good at the first pass all the way"), tell.shown("scrapped"), None, None),
        ),
    )
    return Chapter(
        key="yields", title="Scrap and rework", question="What is not right the first time, and where?",
        found=yields.found, charts=tuple(charts), tables=(table,) if yields.steps else (),
    )  # fmt: skip


def _breakdowns(tell: Teller) -> Chapter:
    breakdowns = tell.telling.story.breakdowns
    table = Table(
        caption="Breakdowns, most time lost first",
        columns=("repair", "running between"),
        rows=tuple(
            Row(
                words=one.station,
                question=f"{one.count:,} breakdowns" if one.count != 1 else "1 breakdown",
                figures=tuple(tell.shown("stations", one.station, part) for part in ("repair", "running between breakdowns")),
            )
            for one in breakdowns.stations[:MOST_ROWS]
        ),
    )  # fmt: skip
    return Chapter(
        key="breakdowns", title="Breakdowns", question="What stands still, how often and how long?",
        found=breakdowns.found, tables=(table,) if table.rows else (),
    )  # fmt: skip


def _demand(tell: Teller) -> Chapter:
    demand = tell.telling.story.demand
    table = Table(
        caption="A working day",
        columns=("finished", "begun"),
        rows=tuple(
            Row(
                words=one.product,
                question=f"{one.cases_finished:,} orders finished, {percent(one.share)} of all; cv from day to day {number_text(one.cv_finished, 1)}"
                if one.cv_finished == one.cv_finished
                else "",
                figures=tuple(tell.shown("products", one.product, part) for part in ("finished a day", "begun a day")),
            )
            for one in demand.products[:MOST_ROWS]
        ),
    )
    return Chapter(
        key="demand", title="What goes out", question="How many a day, of what, and how evenly?",
        found=demand.found, tables=(table,) if table.rows else (),
    )  # fmt: skip


def _calendar(tell: Teller) -> Chapter:
    found = tell.telling.story.calendar
    charts = []
    busy = found.busy_hours()
    if busy.any():
        chart = weeks_by_station(
            [day[:3].capitalize() for day in WEEKDAYS], [f"{hour:02d}" for hour in range(24)], busy,
            title="When bookings begin and end: each hour of the week, as a share of the busiest one", prefix="clock",
        )  # fmt: skip
        charts.append(charted(chart))
    shifts = WordTable(
        caption="Shifts as the bookings show them",
        columns=("shift", "from", "to", "days", "breaks", "seen on"),
        rows=tuple(
            (one.name, clock(one.start), clock(one.end), ", ".join(WEEKDAYS[day][:3] for day in one.days),
             ", ".join(f"{clock(gap.start)}–{clock(gap.end)}" for gap in one.breaks), f"{one.days_seen} days")
            for one in found.shifts
        ),
    )  # fmt: skip
    return Chapter(
        key="calendar", title="Working time", question="When does the shop work?", found=found.found,
        charts=tuple(charts), words=(shifts,) if shifts.rows else (), notes=found.doubts,
    )  # fmt: skip


def _people(tell: Teller) -> Chapter:
    people = tell.telling.story.people
    charts = []
    if people.says and people.hours.height:
        hours = people.hours.sort("hour")
        at, mean = hours["hour"].to_numpy().astype(float), hours["mean"].to_numpy()
        chart = steps_over_time(
            [Steps("people at work", at, mean, until=float(at[-1]) + 1)],
            title="People with a booking going on, by the hour of the day", unit="people", across="hour of the day", prefix="people",
        )  # fmt: skip
        charts.append(charted(chart))
    return Chapter(
        key="people", title="People", question="How many are at work at the same time? They are counted, never named.",
        found=people.found, charts=tuple(charts),
    )  # fmt: skip


def _watch_next(tell: Teller) -> Chapter:
    found = tell.telling.story.watch_next
    table = WordTable(
        caption="What rests on little",
        columns=("what", "why", "what to do"),
        rows=tuple((one.what, one.why, one.do) for one in found.items[:MOST_SHOWN]),
        links=tuple(tell.rows_link(one.rows) for one in found.items[:MOST_SHOWN]),
    )
    return Chapter(
        key="next", title="What to watch next", question="Which of these numbers rest on little?", found=found.found,
        words=(table,) if table.rows else (),
    )  # fmt: skip


CHAPTERS: tuple[Callable[[Teller], Chapter], ...] = (
    _lead, _bottleneck, _steps, _stations, _way, _wip, _yields, _breakdowns, _demand, _calendar, _people, _watch_next,
)  # fmt: skip


def _or_none(value: float) -> float | None:
    return value if value == value else None


def _week(monday: str) -> str:
    """The Monday of a week as a heading: "5 Mar"."""
    day = dt.date.fromisoformat(monday[:10])
    return f"{day.day} {day:%b}"


def every_name(chapters: Iterable[Chapter]) -> Iterator[str]:
    """Every figure that the chapters show."""
    for chapter in chapters:
        for table in chapter.tables:
            for row in table.rows:
                yield from (shown.name for shown in row.figures if shown)
