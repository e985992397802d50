"""The rest of a day that runs: its new sequence, whether it fits until the end of work, and how much longer work would have to go on."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil
from typing import Any

import numpy as np

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.pull.errors import BadPlanInput
from pullwright.pull.sequence.again import again
from pullwright.pull.sequence.begun import Begun
from pullwright.pull.sequence.day import Day
from pullwright.pull.sequence.day_box import working_time
from pullwright.pull.sequence.of_line import Planning
from pullwright.pull.sequence.room_of_day import RoomOfDay
from pullwright.pull.sequence.typed_rest import Standing, read_rest


def rest_of(flow: Flow, before: Day | Rest, typed: Mapping[str, str]) -> Rest:
    """An order comes in, one falls away, pieces are lost: in which order does the rest of the day come now, and does it still fit?

    Parameters: `flow`, the flow of the line; `before`, the day as it was planned in the morning (`day_of(flow)`), or as it was planned anew last;
    `typed`, what happened and what is asked for now, as `read_rest` reads it (nothing: the day as it was planned).
    Result: see `Rest`. Errors: BadRest for what cannot be, field by field; what `day_of` raises.

    >>> from pullwright.line import Line
    >>> from pullwright.flow import flow_of
    >>> from pullwright.pull.sequence.of_line import day_of
    >>> flow = flow_of(Line.from_text('''
    ... line: two seals
    ... calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
    ... products: [{name: a, demand: 6 /d}, {name: b, demand: 3 /d}]
    ... stations: [{name: press}]
    ... steps: [{name: form, station: press, manual: 40 min}]
    ... '''))
    >>> rest = rest_of(flow, day_of(flow), {"done": "3", "now": "08:00", "asked.b": "2 more"})
    >>> "".join(rest.day.sequence), rest.day.left_over, rest.overtime.text()
    ('abaabababab', {}, '0 s')
    """
    planning = Planning(flow)
    if not planning.usual:
        raise BadPlanInput(
            f"nobody works at {planning.times.step} on {planning.working_day.words}; allowed: a day on which its station has a shift. Give the station such a shift"
        )
    standing = before.standing if isinstance(before, Rest) else standing_of(planning, before)
    times = before.begun.times + 1 if isinstance(before, Rest) else 1
    begun = replace(read_rest(typed, standing), times=times)
    planning = Planning(flow, None, begun)
    return Rest(planning, before.day if isinstance(before, Rest) else before, standing, planning.day(), before.gone if isinstance(before, Rest) else 0.0)  # fmt: skip


def standing_of(planning: Planning, day: Day) -> Standing:
    """Where a day stands in the morning."""
    shifts = planning.working_day.shifts
    return Standing(
        planning.names, day.sequence, 0, {name: round(figure.value) for name, figure in day.asked.items()}, planning.usual,
        min(shift.start for shift in shifts), max(shift.start + shift.length for shift in shifts),
    )  # fmt: skip


@dataclass(frozen=True)
class Rest:
    """The rest of a day.

    `before`: the day as it was planned last, `standing`: where it stood then, `gone_before`: working time that was gone by then (s). `day`: the day
    now, its sequence with what is done first.
    """

    planning: Planning
    before: Day
    before_standing: Standing
    day: Day
    gone_before: float

    @property
    def begun(self) -> Begun:
        """What was typed."""
        return self.planning.begun

    @property
    def words(self) -> str:
        """What stands behind the names of its figures."""
        return self.begun.words

    def _typed(self, name: str, value: int, how: str) -> Figure:
        return given(f"{name}{self.words}", float(value), "pieces", Source("typed", how))

    @property
    def gone(self) -> float:
        """Working time that is gone by (s)."""
        return self.planning.gone

    @property
    def standing(self) -> Standing:
        """Where the day stands now, for what happens next."""
        was = self.before_standing
        return Standing(
            was.names, self.day.sequence, self.day.done, self.begun.asked or was.asked, was.usual, was.opens, was.closes,
            self.begun.now or was.now, self.begun.until, self.begun.on,
        )  # fmt: skip

    @property
    def coming(self) -> tuple[str, ...]:
        """What comes from now on, in its order."""
        return self.day.sequence[self.day.done :]

    @cached_property
    def came(self) -> tuple[str, ...]:
        """What would have come from now on as it was planned before."""
        gone = Counter(self.begun.done) + Counter(self.begun.lost)
        left = []
        for name in self.before.sequence:
            if gone[name]:
                gone[name] -= 1
            else:
                left.append(name)
        return tuple(left)

    @property
    def stays(self) -> bool:
        """Does the sequence stay as it was?"""
        return self.coming == self.came

    # --- pieces -------------------------------------------------------------------------------------------------------

    def done(self, name: str) -> Figure:
        """Pieces of a product that are finished and there."""
        return self._typed(
            f"done so far / {name}",
            self.begun.done.count(name),
            "how far the sequence is, as it was typed; without what is lost",
        )

    def started(self, name: str) -> Figure:
        """Pieces of a product that are started and stay."""
        began = self.coming[: self.begun.started].count(name)
        return self._typed(f"started / {name}", began, "the next pieces of the sequence, as many as were typed")

    def lost(self, name: str) -> Figure:
        """Pieces of a product that are lost and made again."""
        return self._typed(f"lost / {name}", self.begun.lost.count(name), "as it was typed")

    def waits(self, name: str) -> Figure:
        """Pieces of a product that do not fit and wait for another day."""
        return self._from_made(
            f"waits for another day / {name}",
            self.day.left_over.get(name, 0),
            name,
            "asked for, and neither done nor in the rest of the day",
        )

    def to_come(self, name: str) -> Figure:
        """Pieces of a product that the rest of the day still makes, those started among them."""
        return derive(
            f"still to come / {name}{self.words}",
            lambda a, b: a - b,
            self.day.made[name],
            self.done(name),
            unit="pieces",
            formula="made today - done so far",
        )

    # --- time ---------------------------------------------------------------------------------------------------------

    @cached_property
    def ends(self) -> float:
        """When work ends (s after midnight)."""
        return self.planning.stretches[-1][1] if self.planning.stretches else 0.0

    @cached_property
    def ends_usually(self) -> float:
        """When work ends on every other day (s after midnight)."""
        return self.planning.usual[-1][1] if self.planning.usual else 0.0

    @cached_property
    def time_left(self) -> Figure:
        """Working time from now to the end of work (s), breaks and planned stops left out."""
        whole = given(
            f"working time of {self.day.words}", working_time(self.planning.usual), "s", self.planning.flow.givens.source(("calendar", "shifts"))
        )  # fmt: skip
        how = (
            "the time now as it was typed, breaks and planned stops left out"
            if self.begun.now
            else "pieces done at the takt of the day"
        )
        gone = given(
            f"working time gone by{self.words}", self.gone, "s", Source("typed" if self.begun.now else "computed", how)
        )
        more = self.planning.seconds - working_time(self.planning.usual)
        if not more:
            return derive(
                f"working time left today{self.words}",
                lambda a, b: np.maximum(a - b, 0),
                whole,
                gone,
                unit="s",
                formula="working time of the day - gone by",
            )
        words = "longer" if more > 0 else "less long"
        other = given(
            f"work goes on {words} today{self.words}",
            abs(more),
            "s",
            Source("typed", f"until {self.begun.until:%H:%M}, as it was typed"),
        )
        sign = 1 if more > 0 else -1
        return derive(
            f"working time left today{self.words}", lambda a, b, c: np.maximum(a - b + sign * c, 0), whole, gone, other, unit="s",
            formula=f"working time of the day - gone by {'+' if more > 0 else '-'} how much {words} work goes on",
        )  # fmt: skip

    @cached_property
    def _needs(self) -> tuple[str, Figure]:
        """What the rest needs most of: the name of the station or crew, and its working time for all that is asked for (s)."""
        day, planning = self.day, self.planning
        mix = Counter(self.coming) + Counter(day.left_over)
        counts = tuple(mix[name] for name in planning.names)
        room = RoomOfDay(planning.flow, planning.working_day, planning.pacer)
        loads, spare = room.loads(counts)
        usual = working_time(planning.usual)
        share = dict(loads)
        station = None
        set_up = self.set_up_time
        if planning.pacer is not None:
            station = planning.flow.line.steps[planning.pacer].station
            machine_time = room.loads((0,) * len(counts))[1]
            if machine_time:
                share[station] = (machine_time - spare + set_up.value) / machine_time
        name = max(share, key=lambda one: share[one], default="")
        left = [figure for figure in self.day.asked.values() if figure.value] or list(self.day.asked.values())
        what = (
            "work of all pieces that are left, with breakdowns, rework and the lots of all other steps as in the flow"
        )
        if not name:
            return "", _decided_from(
                f"working time that the rest needs{self.words}", 0.0, left, "nothing is left to be made"
            )
        work = loads.get(name, 0.0) if name != station else 1 - spare / machine_time
        load = _decided_from(
            f"work that is left / {name}{self.words}",
            work * usual,
            left,
            f"{what}, in working time of the day at {name}",
        )
        if name != station:
            return name, derive(
                f"working time that the rest needs{self.words}",
                lambda a: a,
                load,
                unit="s",
                formula=f"work that is left at {name}, which has most of it",
            )
        machines = next(one.machines for one in planning.flow.line.stations if one.name == station)
        return name, derive(
            f"working time that the rest needs{self.words}", lambda a, b: a + b / machines, load, set_up, unit="s",
            formula=f"work that is left at {name}, which has most of it, + set-ups" + (f" / {machines} machines" if machines > 1 else ""),
        )  # fmt: skip

    @cached_property
    def set_up_time(self) -> Figure:
        """Time for the set-ups from now on (s): those of the sequence, or where not all of it fits the fewest that all of it needs."""
        begun, planning = self.begun, self.planning
        if self.day.left_over:
            whole = again(
                begun.planned, begun.done, {name: round(one.value) for name, one in self.day.asked.items()}, started=begun.started, lost=begun.lost, on=begun.on,
                set_ups=0, uses=planning.uses if planning.by[0] == "parts" else None,
            )  # fmt: skip
            return planning.times.figures(
                f" / the rest in as few set-ups as it needs{self.words}", _after(begun.on, (*whole.frozen, *whole.rest))
            )[1]
        return planning.times.figures(f" / from now on{self.words}", _after(begun.on, self.coming))[1]

    def set_ups(self) -> tuple[Figure, Figure]:
        """Set-ups from now on, and their time (s)."""
        return self.planning.times.figures(f" / from now on{self.words}", _after(self.begun.on, self.coming))

    def set_ups_before(self) -> tuple[Figure, Figure]:
        """The same, of what would have come as it was planned before."""
        return self.planning.times.figures(
            f" / from now on, as planned before{self.words}", _after(self.begun.on, self.came)
        )

    @property
    def fullest(self) -> str:
        """The station or crew that the rest needs most of."""
        return self._needs[0]

    @property
    def needed(self) -> Figure:
        """Working time that all that is asked for still needs, at the station or crew that has most of it (s)."""
        return self._needs[1]

    @cached_property
    def overtime(self) -> Figure:
        """How much longer would work have to go on, for all of it to be made (s)? 0 where it fits."""
        return derive(
            f"overtime for all of it{self.words}", lambda a, b: np.maximum(a - b, 0), self.needed, self.time_left, unit="s",
            formula="working time that the rest needs - working time left, at least 0",
        )  # fmt: skip

    @property
    def fits(self) -> bool:
        """Is all that is asked for made before work ends?"""
        return not self.day.left_over and self.overtime.value < 1

    @property
    def all_until(self) -> dt.time | None:
        """Until when work would have to go on for all of it to be made, in whole minutes; None where it fits or another day begins before."""
        if self.fits:
            return None
        end = ceil((self.ends + self.overtime.value - 1e-6) / 60) * 60
        if end > self.planning.usual[0][0] + 86_400:
            return None
        minutes = end // 60 % 1440
        return dt.time(minutes // 60, minutes % 60)

    @cached_property
    def due(self) -> Figure | None:
        """How many pieces would be done by now as planned? None where no time was typed or nothing was planned."""
        takt = self.before.takt
        if self.begun.now is None or takt is None:
            return None
        most, was = len(self.before.sequence), self.before_standing.done
        clock = given(
            f"working time gone by{self.words}",
            self.gone,
            "s",
            Source("typed", "the time now as it was typed, breaks and planned stops left out"),
        )
        return derive(
            f"done by now as planned{self.words}", lambda gone, t: np.clip(np.floor((gone - self.gone_before) / t + 1e-9) + was, was, most), clock, takt, unit="pieces",
            formula="working time gone by / takt of the day as it was planned, in whole pieces",
        )  # fmt: skip

    # --- evenness -----------------------------------------------------------------------------------------------------

    @cached_property
    def squares(self) -> Figure:
        """How uneven the rest is: its squared deviations from the even course, over all its places and products."""
        return self._of_course(
            "unevenness of the rest",
            self.day.squares,
            "sum of the squared deviations of the sequence from the even course of the rest",
        )

    @cached_property
    def at_least(self) -> Figure:
        """What no order of the rest with as many set-ups undercuts."""
        return self._of_course(
            "unevenness of the rest / at least",
            self.day.at_least,
            "what no order of the rest with as many set-ups undercuts",
        )

    def _from_made(self, name: str, value: int, product: str, formula: str) -> Figure:
        return _decided_from(
            f"{name}{self.words}", value, [self.day.asked[product], self.done(product)], formula, "pieces"
        )

    def _of_course(self, name: str, value: float, formula: str) -> Figure:
        return _decided_from(f"{name}{self.words}", value, list(self.day.made.values()), formula, "pieces2")


def _after(on: str | None, sequence: tuple[str, ...]) -> tuple[str, ...]:
    return sequence if on is None else (on, *sequence)


def _decided_from(name: str, value: float, inputs: list[Figure], formula: str, unit: str = "s") -> Figure:
    """What is worked out for likely numbers, and does not vary with them."""

    def always(first: Any, *_: Any) -> Any:
        return np.zeros_like(np.asarray(first, dtype=np.float64)) + value

    return derive(name, always, *inputs, unit=unit, formula=formula)
