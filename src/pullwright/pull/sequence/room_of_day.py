"""What a day can make: which mixes of pieces every station and crew keeps up with, and how much time that leaves for set-ups."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from pullwright.figure import Figure
from pullwright.figure.again import standing_on, worked_out_again
from pullwright.figure.draws import constant
from pullwright.figure.walk import inputs_first
from pullwright.flow import Flow
from pullwright.flow.crews import crew_shares
from pullwright.flow.stations import full
from pullwright.line import Line
from pullwright.line.worktime import Shift
from pullwright.pull.errors import BadPlanInput

SLACK = 1e-9


@dataclass(frozen=True)
class WorkingDay:
    """A day of the line: its date (None: a usual day of the week `weekday`, 0 = Monday), and its shifts."""

    line: Line
    date: dt.date | None
    weekday: int
    shifts: tuple[Shift, ...]

    @classmethod
    def of(cls, line: Line, date: dt.date | None) -> WorkingDay:
        """Find the shifts of a date, or of the first working day of a usual week; BadPlanInput where nobody works."""
        calendar = line.work_calendar
        if date is None:
            weekday = calendar.working_weekdays[0]
            return cls(line, None, weekday, calendar.shifts_of_weekday(weekday))
        if not calendar.is_working_day(date):
            later = (date + dt.timedelta(days=n) for n in range(1, 400))
            near = next((day for day in later if calendar.is_working_day(day)), None)
            said = f"; the next one is {near:%A} {near}" if near else ""
            raise BadPlanInput(f"{date:%A} {date} was read; allowed: a day on which the line works{said}")
        return cls(line, date, date.weekday(), calendar.shifts_on(date))

    @property
    def words(self) -> str:
        """How the day is called."""
        names = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
        return f"a usual {names[self.weekday]}" if self.date is None else f"{names[self.weekday]} {self.date}"

    def shifts_at(self, named: Sequence[str] | None) -> tuple[Shift, ...]:
        """The day's shifts in which a station or crew works; all where it names none."""
        return tuple(shift for shift in self.shifts if not named or shift.name in named)

    def seconds(self, named: Sequence[str] | None = None) -> float:
        """Net working time of these shifts (s)."""
        return float(sum(shift.hours().working for shift in self.shifts_at(named)))


@dataclass(frozen=True)
class RoomOfDay:
    """What a day can make, with `share` of it left, if the step `pacer` (None where there is none) is set up as often as the sequence asks.

    Loads are those of the flow arithmetic for the mix of the day: breakdowns, rework and the lots of all other steps in them.
    """

    flow: Flow
    day: WorkingDay
    pacer: int | None
    share: float = 1.0

    @cached_property
    def _set_ups(self) -> Figure | None:
        """Set-ups a day of the pacemaker: how many these are is what the sequence decides."""
        set_up = None if self.pacer is None else self.flow.rates.steps[self.pacer].set_up
        return None if set_up is None else set_up.per_day

    @cached_property
    def _above(self) -> list[Figure]:
        """What has to be worked out again for another mix, up to the loads of the stations and the attended work of the steps."""
        wanted = [*(station.load for station in self.flow.stations), *self.flow.people.attended.values()]
        changed = [*self.flow.rates.products, *((self._set_ups,) if self._set_ups is not None else ())]
        return standing_on(inputs_first(*wanted), changed)

    def _asked(self, counts: Sequence[int]) -> dict[Figure, float]:
        """The figures that hang on the mix, at their likely values, for this mix and without set-ups of the pacemaker."""
        changed = {figure: constant(float(n)) for figure, n in zip(self.flow.rates.products, counts, strict=True)}
        if self._set_ups is not None:
            changed[self._set_ups] = constant(0.0)
        found = worked_out_again(self._above, changed, likely=True)
        return {figure: float(row[0]) for figure, row in found.items()}

    def loads(self, counts: Sequence[int]) -> tuple[dict[str, float], float]:
        """How full does this mix make each station and crew (1: full), and how long is the pacemaker's station free for set-ups (s)?

        `counts`: good pieces of each product, in the order of the line file.
        """
        key = tuple(counts)
        if key not in self._known:
            self._known[key] = self._loads(key)
        return self._known[key]

    @cached_property
    def _known(self) -> dict[tuple[int, ...], tuple[dict[str, float], float]]:
        return {}

    def _loads(self, counts: tuple[int, ...]) -> tuple[dict[str, float], float]:
        if not any(counts):
            return {}, self._pacer_time()
        asked = self._asked(counts)
        named: dict[str, float] = {}
        spare = self._pacer_time()
        line, people = self.flow.line, self.flow.people
        for station in self.flow.stations:
            there = line.stations[station.index]
            load = asked.get(station.load, station.load.value)
            name, load = station.name, self._of_day(load, station.available.value, there.shifts)
            named[name] = load
            if self.pacer is not None and name == line.steps[self.pacer].station:
                spare = self._pacer_time() * (1 - load)
        if not people.assumed:
            attended = {i: asked.get(figure, figure.value) for i, figure in people.attended.items()}
            available = [crew.available.value for crew in people.crews]
            for one, crew, shares in zip(
                line.people, people.crews, crew_shares(line, attended, available), strict=True
            ):
                load = float(full(sum(attended[i] * share for i, share in shares.items()), 1.0, crew.available.value))
                usual = crew.available.value / max(crew.number.value, 1)
                named[f"crew {crew.name}"] = self._of_day(load, usual, one.shifts)
        return named, spare

    def _of_day(self, load: float, usual: float, shifts: Sequence[str] | None) -> float:
        has = self.day.seconds(shifts) * self.share
        if load <= 0:
            return 0.0
        return load * usual / has if has > 0 else float("inf")

    def _pacer_time(self) -> float:
        """Machine time of the pacemaker's station that is left of the day (s); without end where no step is set up."""
        if self.pacer is None:
            return float("inf")
        name = self.flow.line.steps[self.pacer].station
        station = next(one for one in self.flow.line.stations if one.name == name)
        return self.day.seconds(station.shifts) * self.share * station.machines

    def fullest(self, counts: Sequence[int]) -> tuple[str, float]:
        """What is fullest with this mix, and how full is it?"""
        loads, _ = self.loads(counts)
        return max(loads.items(), key=lambda one: one[1], default=("", 0.0))

    def fits(self, counts: Sequence[int], set_up_time: float) -> bool:
        """Can the day make this mix, with so much time of set-ups at the pacemaker (s)?"""
        loads, spare = self.loads(counts)
        return max(loads.values(), default=0.0) <= 1 + SLACK and set_up_time <= spare + SLACK
