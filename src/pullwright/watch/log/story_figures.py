"""The numbers of a shop's story as figures: each says how sure it is, and its why ends at rows of the log."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Protocol

import numpy as np

from pullwright.figure import Figure, Reading, Source, from_draws, given, unit_named
from pullwright.figure.draws import N_DRAWS, Draws, midpoints, shuffled
from pullwright.watch.log.decide import Decided
from pullwright.watch.log.story.measured import MOST_ROWS, Measured

if TYPE_CHECKING:
    from pullwright.watch.log.story.bottleneck import Bottlenecks
    from pullwright.watch.log.story.breakdowns import Breakdowns
    from pullwright.watch.log.story.demand import Demand
    from pullwright.watch.log.story.effective import EffectiveTimes
    from pullwright.watch.log.story.lead import LeadTimes
    from pullwright.watch.log.story.stations import Stations
    from pullwright.watch.log.story.steps import Steps
    from pullwright.watch.log.story.wip import Wip
    from pullwright.watch.log.story.yields import Yields

_HALF = 1.6448536269514722
"""The normal quantile of 0.95: an interval that holds nine times in ten reaches so many standard deviations either way."""
METHOD = (
    "draws of a normal law whose halves reach the ends of the interval; see the docs of event logs for the interval"
)


class Told(Protocol):
    """The chapters of a story that hold numbers."""

    @property
    def lead(self) -> LeadTimes: ...
    @property
    def steps(self) -> Steps: ...
    @property
    def effective(self) -> EffectiveTimes: ...
    @property
    def stations(self) -> Stations: ...
    @property
    def yields(self) -> Yields: ...
    @property
    def breakdowns(self) -> Breakdowns: ...
    @property
    def demand(self) -> Demand: ...
    @property
    def wip(self) -> Wip: ...
    @property
    def bottlenecks(self) -> Bottlenecks: ...


@dataclass(frozen=True)
class StoryFigures:
    """Every number of a story by its name ("steps / hone bore / touch time of a visit").

    `decided` is the log that the story was made from: it gives the bookings behind a number.
    """

    story: Told
    decided: Decided

    @cached_property
    def every(self) -> dict[str, Figure]:
        """All figures by name, in the order in which the story tells them; numbers that the log does not give are left out."""
        found = {}
        for name, number, unit in self._numbers():
            figure = self._figure(name, number, unit)
            if figure is not None:
                found[name] = figure
        return found

    def get(self, *path: str) -> Figure | None:
        """The figure at a path of names; None where the log does not give it."""
        return self.every.get(" / ".join(path))

    def _figure(self, name: str, number: Measured, unit: str) -> Figure | None:
        if not number.known:
            return None
        source = self._source(number)
        if not number.low < number.high:
            note = "too few readings to say how sure it is" if number.low != number.low else ""
            return given(name, number.value, unit, source, note=note)
        rows = shuffled(name, drawn(number, *_limits(unit)))
        return from_draws(name, number.value, rows, unit, source, readings=number.count)

    def _source(self, number: Measured) -> Source:
        file, many = self.decided.source.file, "row" if number.count == 1 else "rows"
        text = f"{number.count:,} {many} of {file}" if number.count else f"all of {file}"
        more = ", the first of them here" if number.count > len(number.rows) > 0 else ""
        return Source("reading", text + more, readings=tuple(self._readings(number.rows)))

    def _readings(self, rows: Iterable[int]) -> Iterator[Reading]:
        for row in rows:
            if row in self._bookings:
                seconds, when = self._bookings[row]
                yield Reading(seconds, "s", when=when, where=f"row {row} of {self.decided.source.file}")

    @cached_property
    def _bookings(self) -> dict[int, tuple[float, str]]:
        """How long and when, for every row that a number of the story names."""
        import polars as pl

        wanted = sorted({row for _, number, _ in self._numbers() for row in number.rows})
        table = self.decided.events.table.lazy().filter(pl.col("row").is_in(wanted))
        seconds = (pl.col("end") - pl.col("start")).dt.total_microseconds() / 1e6
        when = (pl.col("start") + pl.duration(seconds=pl.col("clock"))).dt.strftime("%Y-%m-%d %H:%M")
        found = table.select("row", seconds.alias("seconds"), when.alias("when")).collect()
        return {row: (span, when) for row, span, when in found.iter_rows() if span is not None}

    def _numbers(self) -> Iterator[tuple[str, Measured, str]]:
        for chapter in CHAPTERS:
            yield from chapter(self.story)


def drawn(number: Measured, lowest: float = -np.inf, highest: float = np.inf) -> Draws:
    """Draws of a number that lies in its interval nine times in ten, in increasing order, shape (N_DRAWS,).

    Parameters: `number` with an interval; `lowest` and `highest`, what the quantity itself cannot pass.

    >>> rows = drawn(Measured(10.0, 8.0, 13.0, 40))
    >>> round(float(np.quantile(rows, 0.05)), 1), round(float(np.quantile(rows, 0.95)), 1)
    (8.0, 13.0)
    """
    from scipy.special import ndtri

    z = ndtri(midpoints(N_DRAWS))
    below, above = max(number.value - number.low, 0.0), max(number.high - number.value, 0.0)
    rows: Draws = np.clip(number.value + np.where(z < 0, z * below, z * above) / _HALF, lowest, highest)
    return rows


def _limits(unit: str) -> tuple[float, float]:
    limits = unit_named(unit)
    return limits.lowest, limits.highest


def _plain(value: float, rows: tuple[int, ...], count: int = 0) -> Measured:
    return Measured(value, float("nan"), float("nan"), count or len(rows), rows[:MOST_ROWS])


Numbers = Iterator[tuple[str, Measured, str]]


def _lead(story: Told) -> Numbers:
    lead = story.lead
    for one in (lead.all, *lead.products):
        name = "lead time" if one is lead.all else f"products / {one.name} / lead time"
        yield f"{name} / mean", one.mean_worked, "wd"
        yield f"{name} / mean in calendar days", one.mean_calendar, "cal d"
        for share, days in one.worked:
            yield f"{name} / {share:.0%} are through within", days, "wd"
        for share, days in one.calendar:
            yield f"{name} / {share:.0%} are through within, in calendar days", days, "cal d"
        yield f"{name} / share of it that is work", _plain(one.touch_share, one.mean_worked.rows, one.finished), "share"


def _steps(story: Told) -> Numbers:
    for step in story.steps.steps:
        name = f"steps / {step.step}"
        yield f"{name} / work of a visit", step.touch, "s"
        yield f"{name} / work on a piece", step.per_piece, "s"
        yield f"{name} / waiting before it", step.waiting, "s"
        yield f"{name} / waiting before it in working time", step.waiting_worked, "s"
        yield f"{name} / set-up", step.setup, "s"
        yield f"{name} / lot", step.lot, "pieces"


def _effective(story: Told) -> Numbers:
    for where, rows in (("stations", story.effective.stations), ("steps", story.effective.steps)):
        for one in rows:
            yield f"{where} / {one.name} / effective time of a lot", one.lot, "s"
            yield f"{where} / {one.name} / effective time of a piece", one.piece, "s"
            yield f"{where} / {one.name} / cv of the effective time", one.cv, "1"


def _stations(story: Told) -> Numbers:
    for station in story.stations.stations:
        name = f"stations / {station.station}"
        yield (
            f"{name} / share of working time at work",
            _plain(station.utilisation, station.rows, station.bookings),
            "share",
        )
        yield f"{name} / time booked", _plain(station.booked, station.rows, station.bookings), "s"


def _yields(story: Told) -> Numbers:
    for step in story.yields.steps:
        name = f"steps / {step.step}"
        yield f"{name} / good at the first pass", step.first_pass, "share"
        yield f"{name} / scrapped", step.scrap, "share"
        yield f"{name} / held", step.held, "share"
        yield f"{name} / done again", step.rework, "share"
    yield "good at the first pass all the way", story.yields.rolled, "share"
    yield "scrapped", story.yields.scrap, "share"


def _breakdowns(story: Told) -> Numbers:
    for station in story.breakdowns.stations:
        name = f"stations / {station.station}"
        yield f"{name} / repair", station.repair, "s"
        yield f"{name} / running between breakdowns", station.between, "s"


def _demand(story: Told) -> Numbers:
    unit = "pieces/wd" if story.demand.unit == "pieces" else "units/wd"
    for product in story.demand.products:
        yield f"products / {product.product} / finished a day", product.finished, unit
        yield f"products / {product.product} / begun a day", product.begun, unit


def _wip(story: Told) -> Numbers:
    wip = story.wip
    yield "work in process", _plain(wip.mean_cases, wip.rows), "units"
    yield "work in process in pieces", _plain(wip.mean_pieces, wip.rows), "pieces"
    yield "rate times lead time, by work in process", _plain(wip.little.ratio, wip.rows), "1"


CHAPTERS: tuple[Callable[[Told], Numbers], ...] = (
    _lead, _steps, _effective, _stations, _yields, _breakdowns, _demand, _wip,
)  # fmt: skip
"""The chapters whose numbers become figures, in the order in which they are told."""
