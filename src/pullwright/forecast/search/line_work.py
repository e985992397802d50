"""What the runs of a line turned to a setting come to: the one place where a search meets the kernels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from pullwright.forecast.errors import CannotRun, TooMuch
from pullwright.forecast.events import rows as r
from pullwright.forecast.layout import Layout, layout_of
from pullwright.forecast.search.errors import CannotTurn
from pullwright.forecast.search.knob import Knob, turned
from pullwright.forecast.search.measures import Measure, Seen
from pullwright.forecast.search.trial import Row, Setting
from pullwright.forecast.search.turned_line import TurnedLine
from pullwright.line import Line

KEPT = 32
"""Laid out lines that are kept for the next batch of their runs."""
ROOM = 4
"""There is room for so many times the orders and pieces that customers pull on average in a run."""


@dataclass(frozen=True)
class Column:
    """A measure of one product (an index; None for all), with the working days that it has to be on time."""

    measure: Measure
    product: int | None = None
    within: float | None = None


@dataclass
class LineWork:
    """Runs of a line at settings of its knobs, measured in columns. `days` working days each, of which the first `warm` are not counted."""

    line: Line
    knobs: tuple[Knob, ...]
    columns: tuple[Column, ...]
    warm: int
    days: int
    seed: int
    _laid: dict[Setting, TurnedLine] = field(default_factory=dict, repr=False)

    def __getstate__(self) -> dict[str, Any]:
        return {**self.__dict__, "_laid": {}}

    def __call__(self, setting: Setting, numbers: Sequence[int]) -> list[Row | str]:
        """One row for each number of a run; a text where the line cannot be run like that."""
        try:
            line = self._turned(setting)
        except (CannotRun, CannotTurn) as error:
            return [str(error) for _ in numbers]
        return [self._row(line, number) for number in numbers]

    def _row(self, line: TurnedLine, number: int) -> Row | str:
        from pullwright.forecast.runs import runs_of

        layout = line.layout
        pulled = sum(layout.day / mean for mean in _between_orders(layout))
        samples = int(ROOM * pulled * self.days) + 1_000
        try:
            run = runs_of(
                layout.plant,
                numbers=[number],
                until=self.days * layout.day,
                warm=self.warm * layout.day,
                day=layout.day,
                seed=self.seed,
                samples=samples,
            )[0]
        except TooMuch as error:
            return str(error)
        if run.response.shape[1] == samples:
            return f"in run {number} more than {samples:,} orders were shipped, {ROOM} times what customers pull on average"
        return tuple(
            one.measure.of(Seen(line, run, self.warm, self.days, one.product, one.within)) for one in self.columns
        )

    def _turned(self, setting: Setting) -> TurnedLine:
        found = self._laid.get(setting)
        if found is None:
            line = turned(self.line, self.knobs, setting)
            found = TurnedLine(line, layout_of(line))
            while len(self._laid) >= KEPT:
                self._laid.pop(next(iter(self._laid)), None)
            self._laid[setting] = found
        return found

    def left_out(self) -> tuple[str, ...]:
        """What of the line its runs do not follow; nothing where the line as it is cannot be run."""
        try:
            return layout_of(self.line).left_out
        except CannotRun:
            return ()

    def busiest(self, setting: Setting, runs: int = 4) -> str:
        """What binds at a setting: the station that works, is set up or repaired for the largest share of its time, in words."""
        from pullwright.forecast.runs import runs_of

        layout = self._turned(setting).layout
        times = np.sum(
            [
                run.times
                for run in runs_of(
                    layout.plant,
                    numbers=range(runs),
                    until=self.days * layout.day,
                    warm=self.warm * layout.day,
                    day=layout.day,
                    seed=self.seed,
                )
            ],
            axis=0,
        )
        open_ = np.maximum(times.sum(axis=1) - times[:, r.OFF], 1e-12)
        busy = times[:, _BUSY].sum(axis=1) / open_
        most = int(np.argmax(busy))
        kind, why = max(_IDLE.items(), key=lambda one: times[most, one[0]])
        share = times[most, kind] / open_[most]
        said = f"{layout.stations[most]} is the busiest station, working, set up or repaired for {busy[most]:.0%} of its time"
        return said + (f"; for {share:.0%} {why}" if share > 0.01 else "")


_BUSY = [r.WORKING, r.SET_UP_TIME, r.REPAIRED]
_IDLE = {
    r.HELD: "its pieces have no room",
    r.NOBODY: "people are missing",
    r.SHORT: "a part is missing",
    r.NOT_ASKED: "nothing lets it begin",
    r.STARVED: "nothing lies before it",
}


def _between_orders(layout: Layout) -> list[float]:
    """Mean seconds between two orders of each product that somebody orders."""
    streams = [stream for stream in layout.plant.order_stream if stream >= 0]
    return [float(layout.plant.stream_numbers[stream, 0]) for stream in streams]
