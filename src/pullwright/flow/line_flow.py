"""The steady-state arithmetic of a whole line, in one place: screens, prints, commands and the other rooms ask here."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.cases import Cases
from pullwright.flow.crews import CrewLoad, People, people_of
from pullwright.flow.givens import Givens
from pullwright.flow.indicators import LineIndicators, StationIndicators, line_indicators, station_indicators
from pullwright.flow.ladder import Ladder, ladder_of
from pullwright.flow.line_cases import cases_of
from pullwright.flow.rates import Rates, rates_of
from pullwright.flow.rolled import rolled_throughput_yield
from pullwright.flow.stations import StationLoad, stations_of
from pullwright.flow.stock import Stock, stocks_of
from pullwright.flow.waiting import Wait, waits_of
from pullwright.line import Line


@dataclass(frozen=True)
class Flow:
    """What the flow arithmetic says of a line.

    `day`: net working time of a working day (s); `takt` (s): that over demand; `made`: share of the demand that the fullest station and the
    fullest crew leave possible (1 where the line keeps up).
    """

    line: Line
    givens: Givens
    day: Figure
    takt: Figure
    rates: Rates
    stations: tuple[StationLoad, ...]
    people: People
    made: Figure
    shipped: Figure
    waits: tuple[Wait, ...]
    stocks: tuple[Stock, ...]
    ladder: Ladder
    rolled_throughput_yield: Figure

    @property
    def bottleneck(self) -> StationLoad | CrewLoad:
        """The fullest station or crew."""
        return max(self._loaded, key=lambda one: one.load.value)

    @property
    def _loaded(self) -> list[StationLoad | CrewLoad]:
        # Where no people are given, as many as are needed are assumed: they cannot be what is short.
        return [*self.stations, *(() if self.people.assumed else self.people.crews)]

    @property
    def keeps_up(self) -> bool:
        """Can the line make what customers pull?"""
        return self.bottleneck.load.value <= 1 + 1e-9

    def overloads(self) -> tuple[StationLoad | CrewLoad, ...]:
        """Stations and crews that are loaded above what they have, the fullest first."""
        found = [one for one in self._loaded if one.load.value > 1 + 1e-9]
        return tuple(sorted(found, key=lambda one: -one.load.value))

    def verdict(self) -> str:
        """Say in one sentence whether the line keeps up, and what is fullest.

        A line that cannot make its demand is not a broken file: it is a finding.
        """
        wanted, fullest = _a_day(self.rates.demand), self.bottleneck
        if self.keeps_up:
            if fullest.load.interval()[1] > 1:
                return (
                    f"This line can make its {wanted} a day, but that is not sure: "
                    f"{fullest.name} is the fullest, loaded to {fullest.load.text()}."
                )
            return f"This line can make its {wanted} a day: {fullest.name} is the fullest, loaded to {fullest.load.short()}."
        others = self.overloads()[1:]
        if not np.isfinite(fullest.load.value):
            return f"This line cannot make {wanted} a day: {fullest.name} has work and no working time. It can make nothing."
        loads = [f"{fullest.name} is loaded to {fullest.load.short()}"]
        loads += [f"{one.name} to {one.load.short()}" for one in others[:_MOST_NAMED]]
        loads += [f"{len(others) - _MOST_NAMED} more above 100 %"] if len(others) > _MOST_NAMED else []
        said = loads[0] if len(loads) == 1 else f"{', '.join(loads[:-1])} and {loads[-1]}"
        return f"This line cannot make {wanted} a day: {said}. It can make {_a_day(self.shipped)}."

    @cached_property
    def indicators(self) -> tuple[StationIndicators, ...]:
        """ISO 22400-2, station by station."""
        return tuple(station_indicators(station, self.made) for station in self.stations)

    @cached_property
    def line_indicators(self) -> LineIndicators:
        """ISO 22400-2 for the line."""
        touch = derive(
            "touch time in days",
            lambda t, d: t / d,
            self.ladder.touch,
            self.day,
            unit="wd",
            formula="touch time / net working time of a day",
        )
        return line_indicators(
            self.rates, self.people, self.ladder.lead_days, touch, self.made, self.rolled_throughput_yield, self.day
        )

    @cached_property
    def cases(self) -> Cases:
        """Best, practical worst and worst case of the main flow with the stock that it holds between its first and last step."""
        return cases_of(self.line, self.rates, self.stations, self.stocks, self.made, self.day)

    def figures(self) -> dict[str, Figure]:
        """Give the figures that people ask for by name, in the order in which they are read."""
        named = [
            self.takt,
            self.rates.demand,
            self.shipped,
            self.made,
            self.ladder.lead,
            self.ladder.lead_days,
            self.ladder.longest,
            self.ladder.touch,
            self.ladder.value,
            self.ladder.efficiency,
            self.rolled_throughput_yield,
        ]
        for station in self.stations:
            named += [
                station.load,
                station.content,
                station.time,
                station.cv2,
                *station.segments.values(),
                *((station.up,) if station.up else ()),
            ]
        for crew in self.people.crews:
            named += [crew.load, crew.work]
        for stock in self.stocks:
            named += [
                stock.held,
                stock.needed,
                stock.beyond,
                stock.lasts,
                *((stock.made_ahead,) if stock.made_ahead else ()),
            ]
        for wait in self.waits:
            named += [wait.queue, wait.lot, wait.total, wait.pieces, wait.arrival_cv2, wait.departure_cv2]
        for chain in self.ladder.chains:
            named += [chain.lead, chain.touch, chain.value, *(rung.time for rung in chain.rungs)]
        for each in self.indicators:
            named += each.all()
        whole = self.line_indicators
        named += [whole.worker_efficiency, whole.process_ratio, whole.throughput]
        three = self.cases
        named += [three.critical_wip] + [
            figure
            for case in (three.best, three.practical_worst, three.worst)
            for figure in (case.throughput, case.cycle)
        ]
        return {figure.name: figure for figure in named}


_MOST_NAMED = 3


def _a_day(rate: Figure) -> str:
    """A rate without its unit: the sentence says "a day" itself."""
    return rate.parts().value


def flow_of(line: Line, givens: Givens | None = None) -> Flow:
    """Work out the flow of a line at the rate that customers pull; `givens`: its numbers as figures, where they were made already.

    A line that cannot keep up is worked out too: loads are those of the demand, stock and accounts those of what it can make.
    """
    givens = Givens(line) if givens is None else givens
    rates = rates_of(givens)
    day = givens.day_seconds()
    takt = derive(
        "takt time", lambda t, d: t / d, day, rates.demand, unit="s", formula="net working time of a day / demand"
    )
    stations = stations_of(givens, rates, day)
    people = people_of(givens, rates)
    # People who are only assumed limit nothing.
    crews = () if people.assumed else people.crews
    loads = [*(station.load for station in stations), *(crew.load for crew in crews)]
    made = derive(
        "share of the demand that can be made",
        lambda *u: 1 / np.maximum(np.maximum.reduce(list(u)), 1.0),
        *loads,
        unit="share",
        formula="1 / highest load, at most 1",
    )
    shipped = derive(
        "pieces shipped a day",
        lambda d, m: d * m,
        rates.demand,
        made,
        unit="pieces/wd",
        formula="demand x share of it that can be made",
    )
    waits = waits_of(givens, rates, stations, day, made)
    stocks = stocks_of(givens, rates, waits, day, made)
    ladder = ladder_of(givens, rates, stocks, day)
    return Flow(
        line,
        givens,
        day,
        takt,
        rates,
        stations,
        people,
        made,
        shipped,
        waits,
        stocks,
        ladder,
        rolled_throughput_yield(rates),
    )
