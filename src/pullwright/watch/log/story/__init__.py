"""The story of a shop out of its event log: one file a chapter."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pullwright.watch.log.decide import Decided
from pullwright.watch.log.events import Events
from pullwright.watch.log.laid import Flags, Laid
from pullwright.watch.log.odd_window import cut_off
from pullwright.watch.log.story.bottleneck import Bottlenecks, bottlenecks_of
from pullwright.watch.log.story.breakdowns import Breakdowns, breakdowns_of
from pullwright.watch.log.story.calendar import FoundCalendar
from pullwright.watch.log.story.demand import Demand, demand_of
from pullwright.watch.log.story.effective import EffectiveTimes, effective_of
from pullwright.watch.log.story.lead import LeadTimes, lead_of
from pullwright.watch.log.story.people import People, people_of
from pullwright.watch.log.story.stations import Stations, stations_of
from pullwright.watch.log.story.steps import Steps, steps_of
from pullwright.watch.log.story.visits import Shop
from pullwright.watch.log.story.watch_next import WatchNext, watch_next_of
from pullwright.watch.log.story.way import Way, way_of
from pullwright.watch.log.story.wip import Wip, wip_of
from pullwright.watch.log.story.yields import Yields, yields_of

__all__ = ["Story", "story"]


def story(decided: Decided) -> Story:
    """What happened in the shop, as the decided events of its log tell it? Each chapter is worked out when it is first asked for."""
    return Story(decided)


@dataclass(frozen=True)
class Story:
    """The chapters of one log. Moments are those of the clock on the wall."""

    decided: Decided

    @cached_property
    def shop(self) -> Shop:
        """The log laid out."""
        events = _on_the_wall(self.decided.events)
        same = self.decided.looked if events is self.decided.events else None
        return Shop(same.laid, same) if same else Shop(Laid(events))

    @cached_property
    def _cut(self) -> tuple[Flags, Flags]:
        """Which orders were begun before the log, and which are not through at its end; in the order of the visits."""
        shop = self.shop
        log = shop.looked
        cases = shop.visits.case[shop.visits.begins]
        before, still = (shop.laid.case.codes[cut_off(log, at_the_end=end)] for end in (False, True))
        return np.isin(cases, before), np.isin(cases, still)

    @cached_property
    def calendar(self) -> FoundCalendar:
        """When the shop works."""
        return self.shop.calendar

    @cached_property
    def way(self) -> Way:
        """The ways through."""
        return way_of(self.shop.visits)

    @cached_property
    def steps(self) -> Steps:
        """Work, waiting, set-ups and lots of each step."""
        return steps_of(self.shop, self.way)

    @cached_property
    def stations(self) -> Stations:
        """Load of each station."""
        return stations_of(self.shop)

    @cached_property
    def effective(self) -> EffectiveTimes:
        """Effective process times."""
        return effective_of(self.shop, self.stations)

    @cached_property
    def lead(self) -> LeadTimes:
        """Lead times."""
        return lead_of(self.shop, *self._cut)

    @cached_property
    def wip(self) -> Wip:
        """What is in the shop."""
        return wip_of(self.shop, self.way, *self._cut)

    @cached_property
    def bottlenecks(self) -> Bottlenecks:
        """Which station held things up."""
        return bottlenecks_of(self.shop)

    @cached_property
    def yields(self) -> Yields:
        """Scrap and rework."""
        return yields_of(self.shop, self.way)

    @cached_property
    def breakdowns(self) -> Breakdowns:
        """Breakdowns."""
        return breakdowns_of(self.shop)

    @cached_property
    def demand(self) -> Demand:
        """How much a day."""
        return demand_of(self.shop, *self._cut)

    @cached_property
    def people(self) -> People:
        """How many people at once."""
        return people_of(self.shop)

    @cached_property
    def watch_next(self) -> WatchNext:
        """What rests on little."""
        read = max(self.decided.source.table.height, 1)
        return watch_next_of(self, 1 - self.decided.events.table.height / read)

    def tell(self, workers: int = 2) -> Story:
        """Work out every chapter, several at a time where there is more than one core; the same numbers either way."""
        from concurrent.futures import ThreadPoolExecutor

        # What most chapters rest on first, so that nobody waits for it twice.
        _ = self.calendar, self.shop.visits, self.way, self._cut
        with ThreadPoolExecutor(max(workers, 1)) as pool:
            for work in [pool.submit(getattr, self, name) for name in CHAPTERS]:
                work.result()
        return self

    @property
    def found(self) -> str:
        """The whole story in two sentences."""
        if not self.shop.visits.size:
            return "Nothing in this log can be told: no row has an order, a step, a start and an end."
        main = self.bottlenecks.main
        return self.lead.found.split(". ")[0].rstrip(".") + (f"; {main} held things up most often." if main else ".")


CHAPTERS = (
    "stations", "steps", "effective", "bottlenecks", "lead", "people", "wip", "demand", "yields", "breakdowns", "watch_next",
)  # fmt: skip
"""The chapters beside the calendar and the way, the longest ones first."""


def _on_the_wall(events: Events) -> Events:
    """Events at the times that the clock on the wall showed when they began."""
    import polars as pl

    table = events.table
    if not (table["clock"].fill_null(0) != 0).any():
        return events
    by = pl.duration(seconds=pl.col("clock").fill_null(0))
    return Events(
        table.with_columns(pl.col("start") + by, pl.col("end") + by, clock=pl.lit(0, pl.Int32)),
        events.file,
        events.has,
        events.read_oddities,
    )
