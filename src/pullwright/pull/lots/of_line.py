"""The lots of a line: at each station that is set up, today's lots beside those of every rule, which to choose and why, and what it changes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil

from pullwright.account.ground import Ground
from pullwright.figure import Figure
from pullwright.flow import Flow
from pullwright.line.model import Step
from pullwright.pull.cards.places import places_of
from pullwright.pull.cards.sizes import sizes_of
from pullwright.pull.changes import Change
from pullwright.pull.lots import choosing, words
from pullwright.pull.lots.choosing import Longer
from pullwright.pull.lots.handing_on import HandedOn, handed_on
from pullwright.pull.lots.hands import CrewSetUps, Planned, crews_of, stretch_of
from pullwright.pull.lots.interval import WhatGives, what_gives
from pullwright.pull.lots.made_there import Made, MadeThere, made_there
from pullwright.pull.lots.shorter_table import ShorterRow, shorter_rows
from pullwright.pull.lots.side_by_side import Choice, ChoiceKey, choice_of, todays_choice


@dataclass(frozen=True)
class StationLots:
    """The lots of one station.

    `choices`: today's and those of every rule that can be reckoned with, side by side; `chosen` is one of them. `order`: what is made after what, round
    after round. `alone`: the lot of each product that would cost least if it had the station to itself (pieces). `shorter`: what shorter set-ups buy.
    `handed`: transfer lots, step by step. `gives`: what would make room, where no time is left for set-ups or a wish cannot be kept. `said`: all of it
    in sentences, the verdict first.
    """

    there: MadeThere
    choices: tuple[Choice, ...]
    chosen: Choice
    order: tuple[str, ...]
    alone: tuple[Figure, ...]
    shorter: tuple[ShorterRow, ...]
    handed: tuple[HandedOn, ...]
    gives: WhatGives | None
    said: tuple[str, ...]

    @property
    def station(self) -> str:
        """The station."""
        return self.there.name

    @property
    def keeps_up(self) -> bool:
        """Is there time for the set-ups, and are the wishes kept?"""
        return self.gives is None

    def choice(self, key: str) -> Choice:
        """Find a choice by its key; KeyError names those that there are."""
        for one in self.choices:
            if one.key == key:
                return one
        raise KeyError(f"{self.station} has no choice {key!r}; it has {', '.join(one.key for one in self.choices)}")

    def figures(self) -> tuple[Figure, ...]:
        """All its figures."""
        there = self.there
        found = [there.available, there.production, there.left, there.room, there.around]
        found += [figure for choice in self.choices for figure in choice.figures()]
        found += [figure for row in self.shorter for figure in row.figures()]
        found += [figure for handed in self.handed for figure in handed.figures()]
        return tuple(dict.fromkeys((*found, *self.alone)))


@dataclass(frozen=True)
class Lots:
    """The lots of a line: station by station, the crews that set up, what is said of the line as a whole, and what it changes in the line file."""

    stations: tuple[StationLots, ...]
    crews: tuple[CrewSetUps, ...]
    said: tuple[str, ...]
    changes: tuple[Change, ...]

    def figures(self) -> dict[str, Figure]:
        """All figures by name, in the order in which they are read."""
        found = [figure for station in self.stations for figure in station.figures()]
        found += [figure for crew in self.crews for figure in crew.figures()]
        return {figure.name: figure for figure in found}


def lots_of(flow: Flow, ground: Ground | None = None) -> Lots:
    """In which lots, in which order and how often is each product to be made at the stations that are set up?

    Parameters: `flow` of the line, `ground` of its accounts where that was made already (so that the same figure stands in both). The wishes
    `plan.lots.set_ups` and `plan.lots.interval` of the line file are kept where they can be.
    Result: for each station today's lots, every part every interval, the least cost and the shortest waiting side by side; chosen is the shortest
    waiting, made longer where its people have no time for it. Never an error for a line that can be read: what cannot be is said in a sentence.
    """
    ground = Ground(flow) if ground is None else ground
    ready = [station for station in flow.stations if any(at.step.set_up is not None for at in station.steps)]
    found = [there for station in ready if (there := made_there(ground, station)) is not None]
    drafts = [_Draft(ground, there) for there in found]
    needs: dict[int, float] = {}
    for draft in drafts:
        for i, hands in draft.hands().items():
            needs[i] = needs.get(i, 0.0) + hands
    stretch = stretch_of(flow, needs)
    stations = tuple(draft.chosen(*max(stretch[one.step] for one in draft.there.made)) for draft in drafts)
    crews = crews_of(flow, _planned((one.there, one.chosen) for one in stations))
    nobody = [station.name for station in ready if station.name not in {there.name for there in found}]
    return Lots(stations, crews, words.of_the_line(flow, stations, crews, nobody), tuple(_changes(flow, stations)))


class _Draft:
    """A station whose rules are reckoned, before people are asked whether they have time."""

    def __init__(self, ground: Ground, there: MadeThere) -> None:
        self.ground, self.there = ground, there
        self.today = todays_choice(ground, there)
        self.rules: list[Choice] = []
        self.steady: Figure | None = None
        self.least: Figure | None = None
        self.wanted = Longer(1.0, ())
        if there.room.value > 0 or not there.around.value > 0:
            least = self.least = choosing.soonest(there)
            steady = self.steady = choosing.steady(ground, there, least)
            self.wanted = choosing.longer(ground, there, steady, least, (0.0, ""))
            rules: dict[ChoiceKey, Figure | None] = {
                "interval": least,
                "economic": choosing.economic(ground, there),
                "steady": steady,
            }
            self.rules = [choice_of(ground, there, key, interval, BECAUSE[key]) for key, interval in rules.items() if interval is not None]  # fmt: skip

    @property
    def interval(self) -> float:
        """The interval that is wanted before people are asked (wd); that of today where there is no time for set-ups."""
        return self.today.interval.value if self.steady is None else self.steady.value * self.wanted.factor

    def hands(self) -> dict[int, float]:
        """People's time for set-ups a day that the wanted interval takes, step by step (person-s)."""
        found: dict[int, float] = {}
        for one, pieces in zip(self.there.made, self.today.whole, strict=True):
            often = one.started.value / pieces.value if self.steady is None else 1 / max(self.interval, 1e-9)
            often = min(often, one.started.value)
            found[one.step] = found.get(one.step, 0.0) + often * one.set_up.value * one.people.value
        return found

    def chosen(self, stretch: float, whose: str) -> StationLots:
        """Choose, with an interval that much longer where the people of one crew have no time for more set-ups."""
        ground, there, best = self.ground, self.there, self.today
        longer = self.wanted
        if self.steady is not None and self.least is not None:
            best = self.rules[-1]
            if stretch > 1 + 1e-9:
                longer = choosing.longer(ground, there, self.steady, self.least, (self.interval * stretch, whose))
            if longer.factor > 1 + 1e-9:
                interval = choosing.chosen(there, self.steady, longer)
                best = choice_of(ground, there, "chosen", interval, longer.because)
        choices = (self.today, *self.rules, *(() if best in (self.today, *self.rules) else (best,)))
        priced = any(one.key == "economic" for one in choices)
        rows = shorter_rows(ground, there, longer.factor, priced=priced) if self.rules else ()
        gives, names = self._gives(), tuple(there.words(one) for one in there.made)
        order = tuple(names[k] for k in there.cycle.order)
        handed = handed_on(ground, there, best)
        said = words.of_a_station(ground, there, choices, best, longer, order, rows, handed, gives)
        return StationLots(there, choices, best, order, choosing.alone(ground, there), rows, handed, gives, said)

    def _gives(self) -> WhatGives | None:
        """What would make room, where the wished interval or, where nothing is wished, today's leaves no time for the set-ups."""
        there, most = self.there, choosing.longest(self.ground)
        wished = self.today.interval.value if most is None else most.value
        production, around, available = there.production.value, there.around.value, there.available.value
        short = not self.rules or (most is not None and around > there.room.value * wished * (1 + 1e-9))
        if not short:
            return None
        plan = self.ground.flow.line.plan
        share = None if plan is None or plan.lots.set_ups is None else plan.lots.set_ups.value
        return what_gives(production, around, available, max(wished, 1e-9), share)


BECAUSE: dict[ChoiceKey, str] = {
    "interval": "set-ups take all the time that they may",
    "economic": "hands for set-ups and carrying of stock cost least together",
    "steady": "a lot is done soonest after it is wanted",
}


def _planned(chosen: Iterable[tuple[MadeThere, Choice]]) -> Planned:
    found: dict[int, list[tuple[Made, Figure]]] = {}
    for there, choice in chosen:
        for one, pieces in zip(there.made, choice.whole, strict=True):
            found.setdefault(one.step, []).append((one, pieces))
    return found


def _changes(flow: Flow, stations: tuple[StationLots, ...]) -> Iterator[Change]:
    """What the line file is to say: the lot of each product of a step in whole containers, one number where all are alike, and what is handed on at a time."""
    holds = _holds(flow)
    for one in stations:
        if one.chosen.key == "today":
            continue
        for handed in one.handed:
            step = flow.line.steps[handed.step]
            if step.station != one.station:
                continue
            path = ("steps", handed.step)
            loops = {made.product: made.loop for made in one.there.made if made.step == handed.step}
            # What is one number for all stays one, in the largest of their containers.
            boxes = {name: holds[loop] for name, loop in loops.items()}
            if handed.alike:
                boxes = dict.fromkeys(boxes, max(boxes.values()))
            lots = {name: ceil(n / boxes[name]) * boxes[name] for name, n in handed.lots}
            if lots != {name: step.lot_of(name) for name in lots}:
                yield from _lots(path, step, lots, words.why_lot(one.there, one.chosen, handed, lots))
            smallest = min(lots.values())
            transfer = min(smallest, step.transfer_lot or smallest, handed.batch or smallest)
            if transfer != (step.transfer_lot or smallest):
                because = words.why_transfer(handed, transfer, smallest, step.transfer_lot)
                yield Change((*path, "transfer_lot"), transfer, because)


def _holds(flow: Flow) -> dict[str, int]:
    """Pieces in a container behind each step, by the name of its loop, 1 where nobody says: no part of one is put on a pile."""
    places = places_of(flow)
    sizes = sizes_of(flow, places)
    found = {place.name: sizes.of(place) for place in places}
    return {name: size.pieces if size is not None and size.given else 1 for name, size in found.items()}


def _lots(path: tuple[str | int, ...], step: Step, lots: dict[str, int], because: str) -> Iterator[Change]:
    """The lots of a step: one for all where they are alike, else one for each; what the file says in the other way is taken out."""
    one_for_all = len(set(lots.values())) == 1 and (len(lots) > 1 or not step.lots)
    written: int | list[dict[str, str | int]] = min(lots.values())
    if not one_for_all:
        written = [{"product": name, "pieces": pieces} for name, pieces in lots.items()]
    if step.lots if one_for_all else step.lot is not None:
        yield Change((*path, "lots" if one_for_all else "lot"), None, because)
    yield Change((*path, "lot" if one_for_all else "lots"), written, because)
