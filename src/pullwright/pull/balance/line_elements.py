"""The work of a line as elements that can be shared out: all that binds a person, for one good unit that leaves the line.

Every element is a figure: attended time a working day / pieces pulled a day. They add up to all attended work of the line and to what is
carried over its moves; nothing is counted twice.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from pullwright.account.carrying import carrying_hours
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.crews import can_do, elsewhere
from pullwright.flow.rates import StepRates
from pullwright.flow.work import binds_a_person
from pullwright.line.references import element_name
from pullwright.pull.balance.work import Element, Work

SET_UPS, PUT_RIGHT = "set-ups", "put right"
"""How the elements are called that stand for set-ups and for putting right on the spot: "weld base / set-ups"."""
_WAYS = {"manual": "by hand", "machine": "watching the machine", "walking": "walking"}


@dataclass
class LineElements:
    """The elements of a line, in the order of the way through, with what is said of them.

    `work`: what is shared out (times in s for one good unit); `times`: each element's figure; `steps`: index of the step that it belongs
    to (carrying has none); `of_name`: which elements are meant by a name in a wish ("STEP" or "STEP / ELEMENT"); `apart`: parts of one
    element that are done by several people; `turns`: elements that are longer than the takt, each with its time (s) and how many posts take
    turns at it; `alternatives`: elements of which a piece needs one or the other; `notes`: sentences.
    """

    work: Work = field(default_factory=lambda: Work(()))
    times: dict[str, Figure] = field(default_factory=dict)
    steps: dict[str, int] = field(default_factory=dict)
    of_name: dict[str, tuple[str, ...]] = field(default_factory=dict)
    apart: list[tuple[str, ...]] = field(default_factory=list)
    turns: dict[str, tuple[float, int]] = field(default_factory=dict)
    alternatives: list[tuple[str, ...]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class _Part:
    """One element of a step: what it is called, how long it binds each of its people for one good unit, and its swing (s)."""

    name: str
    time: Figure
    deviation: float
    people: int
    wished: str


def line_elements(flow: Flow, takt: float) -> LineElements:
    """What is there to be shared out among posts at this line? `takt` (s): an element that takes longer is shared by people who take turns."""
    made = LineElements()
    found: list[Element] = []
    ends: dict[int, tuple[str, ...]] = {}
    moves = _Moves(flow)
    for i in flow.line.route.order:
        rates = flow.rates.steps[i]
        before = tuple(dict.fromkeys(name for taking in flow.line.route.takes[i] for name in _come(taking.step, i, ends, moves, made, found)))  # fmt: skip
        before += tuple(name for m in moves.into(i) for name in _carry(m, (), moves, made, found))
        for part in _parts(flow, rates, made):
            names = _people_of(part, takt, made)
            for name in names:
                time = part.time if len(names) == part.people else _turn(name, part, len(names))
                made.times[name], made.steps[name] = time, i
                made.of_name.setdefault(part.wished, ())
                made.of_name[part.wished] += (name,)
                found.append(_element(flow, name, i, time.value, before, part.deviation / math.sqrt(len(names) / part.people), made))  # fmt: skip
            before = tuple(names)
        ends[i] = before
        for m in moves.out_of(i):
            _carry(m, before, moves, made, found)
    for i, step in enumerate(flow.line.steps):
        made.of_name[step.name] = tuple(element.name for element in found if made.steps.get(element.name) == i)
    made.work = Work.of(found)
    return made


def _come(a: int, b: int, ends: dict[int, tuple[str, ...]], moves: _Moves, made: LineElements, found: list[Element]) -> tuple[str, ...]:  # fmt: skip
    """The elements after which step `b` can begin on what comes from step `a`: carried there, or done there."""
    carried = tuple(name for m in moves.between(a, b) for name in _carry(m, ends[a], moves, made, found))
    return carried or ends[a]


def _carry(m: int, before: tuple[str, ...], moves: _Moves, made: LineElements, found: list[Element]) -> tuple[str, ...]:
    figure = moves.time(m)
    if figure is None or not figure.value > 0:
        return ()
    name = figure.name.removeprefix("time for one good unit / ")
    made.times[name] = figure
    found.append(Element(name, figure.value, before, place=moves.place(m)))
    return (name,)


class _Moves:
    """Carrying as elements: who carries is nobody's skill."""

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.index = {step.name: i for i, step in enumerate(flow.line.steps)}
        self.hours = carrying_hours(flow) if flow.shipped.value > 0 else ()

    def _steps(self, m: int) -> tuple[int | None, int | None]:
        move = self.flow.line.moves[m]
        return self.index.get(move.from_), self.index.get(move.to)

    def _all(self) -> range:
        return range(len(self.hours))

    def between(self, a: int, b: int) -> list[int]:
        """Moves from one step to the other."""
        return [m for m in self._all() if self._steps(m) == (a, b)]

    def into(self, b: int) -> list[int]:
        """Moves to a step from outside the line."""
        return [m for m in self._all() if self._steps(m) == (None, b)]

    def out_of(self, a: int) -> list[int]:
        """Moves from a step that lead on to no step that takes from it: shipping, and what goes back."""
        takers = {i for i, takes in enumerate(self.flow.line.route.takes) for taking in takes if taking.step == a}
        return [m for m in self._all() if self._steps(m)[0] == a and self._steps(m)[1] not in takers]

    def time(self, m: int) -> Figure | None:
        """Person-time of this move for one good unit (s)."""
        move = self.flow.line.moves[m]
        same = [
            k for k in range(m) if (self.flow.line.moves[k].from_, self.flow.line.moves[k].to) == (move.from_, move.to)
        ]
        name = f"carry {move.from_} to {move.to}" + (f" ({len(same) + 1})" if same else "")
        return derive(
            f"time for one good unit / {name}", lambda hours, shipped: hours / shipped, self.hours[m], self.flow.shipped,
            unit="s", formula="carrying a day / pieces shipped a day",
        )  # fmt: skip

    def place(self, m: int) -> tuple[float, float] | None:
        """Where carrying begins, or where it leads: the first of the two that has a place."""
        a, b = self._steps(m)
        return next((spot for i in (a, b) if i is not None and (spot := place_of(self.flow, i)) is not None), None)


def place_of(flow: Flow, i: int) -> tuple[float, float] | None:
    """Where the station of step `i` stands (m), where that is known."""
    name = flow.line.steps[i].station
    at = next(station.at for station in flow.line.stations if station.name == name)
    return None if at is None else (at.x.value, at.y.value)


def _element(flow: Flow, name: str, i: int, time: float, after: tuple[str, ...], deviation: float, made: LineElements) -> Element:  # fmt: skip
    step = flow.line.steps[i]
    skill = "" if not flow.line.people else step.name
    if skill and not any(can_do(crew, step) for crew in flow.line.people):
        said = f"nobody is said to have the skill for {step.name}: taken as done by anybody"
        if said not in made.notes:
            made.notes.append(said)
        skill = ""
    return Element(name, time, after, deviation, skill, place_of(flow, i), step.station)


def _people_of(part: _Part, takt: float, made: LineElements) -> list[str]:
    """The names of an element: one; or one for each of the people that it needs at once, or that take turns because it is too long."""
    turns = max(1, math.ceil(part.time.value / takt - 1e-9)) if takt > 0 else 1
    count = part.people * turns
    if count == 1:
        return [part.name]
    names = [f"{part.name} ({k + 1} of {count})" for k in range(count)]
    made.apart.append(tuple(names))
    if part.people > 1:
        made.notes.append(
            f"{part.name} needs {part.people} people at once: each of them has it in the round of a post of their own"
        )
    if turns > 1:
        made.turns[part.name] = (part.time.value, turns)
        made.notes.append(
            f"{part.name} takes {part.time.short()} for one good unit, longer than the takt: "
            f"{turns} posts take turns at it, each with every {_nth(turns)} piece"
        )
    return names


def _nth(number: int) -> str:
    return {2: "second", 3: "third"}.get(number, f"{number}th")


def _turn(name: str, part: _Part, count: int) -> Figure:
    turns = count // part.people
    return derive(
        f"time for one good unit / {name}", lambda t: t / turns, part.time, unit="s",
        formula=f"time for one good unit / {turns} posts that take turns",
    )  # fmt: skip


def _parts(flow: Flow, rates: StepRates, made: LineElements) -> Iterable[_Part]:
    """The elements of a step in their order: set-ups, the work, putting right."""
    givens, step, demand = flow.givens, flow.line.steps[rates.index], flow.rates.demand
    if rates.set_up is not None and step.set_up is not None and step.set_up.people and rates.set_up.time.value > 0:
        name = element_name(step.name, SET_UPS)
        time = derive(
            f"time for one good unit / {name}", lambda n, t, d: n * t / d, rates.set_up.per_day, rates.set_up.time, demand,
            unit="s", formula="set-ups a day x set-up time / pieces pulled a day",
        )  # fmt: skip
        # A set-up falls into one round of many, which is longer then; it is no swing of the usual ones.
        yield _Part(name, time, 0.0, step.set_up.people, name)
    slower = elsewhere(givens, rates)
    if step.people:
        swing = _between_products(flow, rates)
        chosen: list[str] = []
        for k, only, name, wished in _named(flow, rates.index):
            part = _work(flow, rates, k, only, name, wished, slower, swing)
            if part is None:
                continue
            if k is not None and 0 < len(_groups(rates, flow, k)) < len(rates.groups):
                chosen.append(name)
            yield part
        if len(chosen) > 1:
            made.alternatives.append(tuple(chosen))
    repair = rates.repair
    if repair is not None and repair.people.value > 0 and repair.share.value > 0 and repair.time.value > 0:
        name = element_name(step.name, PUT_RIGHT)
        time = derive(
            f"time for one good unit / {name}", lambda n, s, t, d, *more: n * s * t * (more[0] if more else 1.0) / d,
            rates.started, repair.share, repair.time, demand, *slower,
            unit="s", formula="pieces started x share put right x time of putting right / pieces pulled a day",
        )  # fmt: skip
        p, r = repair.share.value, repair.time.value
        swing_of_it = math.sqrt(max(0.0, p * r * r * (1 + repair.cv.value**2) - (p * r) ** 2))
        yield _Part(name, time, swing_of_it, int(repair.people.value), name)


def _named(flow: Flow, i: int) -> Iterable[tuple[int | None, str | None, str, str]]:
    """Number, way of working (None: all), name, and the name that wishes use, of each element.

    A step in short has an element without a number for each way of working.
    """
    step = flow.line.steps[i]
    if not step.elements:
        for way, words in _WAYS.items():
            if getattr(step, way) is not None:
                yield None, way, element_name(step.name, words), step.name
        return
    count: dict[str, int] = {}
    for k, element in enumerate(step.elements):
        count[element.what] = count.get(element.what, 0) + 1
        wished = element_name(step.name, element.what)
        again = f" [{count[element.what]}]" if count[element.what] > 1 else ""
        yield k, None, wished + again, wished


def _groups(rates: StepRates, flow: Flow, k: int | None) -> list[Any]:
    """The groups of products that need this element."""
    only = None if k is None else flow.line.steps[rates.index].elements[k].for_
    return [group for group in rates.groups if only is None or any(name in only for name in group.work.products)]


def _work(
    flow: Flow, rates: StepRates, k: int | None, only: str | None, name: str, wished: str, slower: Sequence[Figure], swing: float,
) -> _Part | None:  # fmt: skip
    ways, groups = binds_a_person(flow.givens, rates.index, k), _groups(rates, flow, k)
    ways = {way: figure for way, figure in ways.items() if figure.value > 0 and only in (None, way)}
    if not ways or not groups:
        return None
    started, count = [group.started for group in groups], len(groups)
    time = derive(
        f"time for one good unit / {name}",
        lambda d, *v: sum(v[:count]) * sum(v[count : count + len(ways)]) * (v[-1] if slower else 1.0) / d,
        flow.rates.demand, *started, *ways.values(), *slower, unit="s",
        formula="pieces started x (manual, walking and watched time) / pieces pulled a day" + (" x how much longer elsewhere" if slower else ""),
    )  # fmt: skip
    share = sum(figure.value for figure in started) / flow.rates.demand.value
    own = sum((figure.value * _cv(flow, rates.index, k, way)) ** 2 for way, figure in ways.items()) * share
    special = 0.0
    if len(groups) < len(rates.groups):
        special = _special(flow, rates, k) / max(_all_special(flow, rates), 1e-12) * swing
    return _Part(name, time, math.sqrt(own + special), flow.line.steps[rates.index].people, wished)


def _cv(flow: Flow, i: int, k: int | None, way: str) -> float:
    path: tuple[str | int, ...] = ("steps", i, way) if k is None else ("steps", i, "elements", k, way)
    assumed = {"manual": "manual cv", "walking": "walking cv", "machine": "machine cv"}[way]
    return flow.givens.cv(path, flow.givens.at(path), assumed).value  # type: ignore[arg-type]


def _between_products(flow: Flow, rates: StepRates) -> float:
    """How much the time of a piece at this step differs between products: its variance (s²), all elements together."""
    whole = sum(group.started.value for group in rates.groups)
    if len(rates.groups) < 2 or not whole:
        return 0.0
    means = [
        sum(_seconds(flow, rates, k) for k in _numbers(flow, rates) if group in _groups(rates, flow, k))
        for group in rates.groups
    ]
    shares = [group.started.value / whole for group in rates.groups]
    mean = sum(share * m for share, m in zip(shares, means, strict=True))
    return max(0.0, sum(share * m * m for share, m in zip(shares, means, strict=True)) - mean * mean)


def _numbers(flow: Flow, rates: StepRates) -> Iterable[int | None]:
    return range(len(flow.line.steps[rates.index].elements)) or (None,)


def _seconds(flow: Flow, rates: StepRates, k: int | None) -> float:
    return sum(figure.value for figure in binds_a_person(flow.givens, rates.index, k).values())


def _special(flow: Flow, rates: StepRates, k: int | None) -> float:
    whole = sum(group.started.value for group in rates.groups)
    share = sum(group.started.value for group in _groups(rates, flow, k)) / whole if whole else 0.0
    return _seconds(flow, rates, k) ** 2 * share * (1 - share)


def _all_special(flow: Flow, rates: StepRates) -> float:
    return sum(_special(flow, rates, k) for k in _numbers(flow, rates))
