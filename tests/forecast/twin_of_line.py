"""What the slow twin runs: the steps, machines and streams of a line, read from the line itself and not from the kernel's arrays."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import inf, sqrt

import numpy as np

from pullwright.flow.alike import alike_at
from pullwright.flow.assumed import AssumedKey
from pullwright.flow.demand import order_cv2
from pullwright.flow.givens import Givens, Path
from pullwright.flow.ladder import move_time
from pullwright.flow.losses import losses_of
from pullwright.flow.rates import rates_of
from pullwright.forecast.luck.shapes import EVEN, Shape, fill_times, shape_of
from pullwright.forecast.luck.streams import key_of, stream_of
from pullwright.line import Line
from pullwright.line.model import Element, Step
from pullwright.line.quantity import Quantity
from tests.forecast.twin_lots import find_enough

AHEAD = 64
_ASSUMED: dict[str, AssumedKey] = {
    "repair": "repair cv",
    "set-up": "set-up cv",
    "machine": "machine cv",
    "walking": "walking cv",
}


class Stream:
    """The numbers of one purpose, one after another: the same ones as the kernel draws."""

    def __init__(self, shape: Shape, seed: int, run: int, purpose: Sequence[str]) -> None:
        self.shape, self.key = shape, np.uint64(stream_of(np.uint64(seed), np.uint64(run), key_of(*purpose)))
        self.asked, self.ahead = 0, deque[float]()

    def next(self) -> float:
        if not self.ahead:
            out, chances, places = np.empty(AHEAD), np.empty(AHEAD), np.empty(AHEAD, np.int64)
            one = self.shape
            fill_times(one.kind, one.mean, one.a, one.b, one.c, np.array(one.readings), self.key, self.asked, out, chances, places)  # fmt: skip
            self.asked += AHEAD
            self.ahead.extend(out.tolist())
        return self.ahead.popleft()


@dataclass(eq=False)
class Piece:
    """A unit on its way, or the leave to begin one (`job`). `reached`: furthest place in the route that it ended."""

    product: int
    born: float = 0.0
    reached: int = -1
    job: bool = False
    came: int = 0
    """In which turn it came where it lies."""


@dataclass(eq=False)
class Bench:
    """A step at one of its stations: pieces that lie there, of each input, and what is ended and waits for the rest of its lot."""

    step: TwinStep
    station: int
    share: float
    times: float
    lying: list[list[Piece]]
    ended: list[Piece] = field(default_factory=list)


@dataclass(eq=False)
class TwinLoop:
    """Cards of one product at one step: how many, with how many pieces each, how many go back together; those that are back, and pieces that may begin."""

    cards: int
    per_card: int
    signal: int
    back: int = 0
    permits: float = inf


@dataclass(eq=False)
class TwinStep:
    """One step as the file says it."""

    index: int
    place: int
    people: int
    crews: list[int]
    capacity: float
    transfer: int
    lot: int
    set_up: Stream | None
    set_up_pairs: dict[tuple[int, int], Stream]
    set_up_people: int
    scrap: float
    again: float
    again_to: int | None
    again_time: Stream | None
    again_people: int
    luck: Stream | None
    where: Stream | None
    by: str
    cards: int
    per_card: int
    limit: int
    tick: float
    until: int | None
    work: dict[int, list[tuple[Stream, float]]]
    """Of each product: the stream and the attended share of each element."""
    takes: dict[int, list[tuple[int, int]]]
    """Of each product: (giving step, pieces) in the order of its inputs."""
    goes_to: dict[int, tuple[int | None, int]] = field(default_factory=dict)
    """Of each product: the next step, None for the finished store, and as which input."""
    way: dict[int, float] = field(default_factory=dict)
    """Of each product: how long its way takes."""
    benches: list[Bench] = field(default_factory=list)
    permits: float = inf
    taken: dict[int, int] = field(default_factory=dict)
    """Of each product: pieces taken of the card that the others still lie on."""
    here: list[int] = field(default_factory=list)
    any_on_a_card: bool = False
    """May the pieces of one card be of any product?"""
    loops: dict[int, TwinLoop] = field(default_factory=dict)
    """Of each product that has cards of its own."""
    lots: dict[int, int] = field(default_factory=dict)
    """Of each product that has a lot of its own: its pieces."""
    enough: dict[int, int] = field(default_factory=dict)
    """Of each of those: with how many pieces its lot is begun."""
    leave: dict[int, int] = field(default_factory=dict)
    """And with leave for how many."""
    full: float = inf
    """Pieces of an input with which its place is too full for what is handed on to it."""
    """Of each input: pieces before the step or on their way there."""
    owed: dict[int, float] = field(default_factory=dict)


class TwinLine:
    """Everything that a run needs, made anew for each run. Stock that was counted and sub-flows for any product are left out."""

    def __init__(self, line: Line, seed: int, run: int) -> None:
        self.line, self.givens, self.luck = line, Givens(line), (seed, run)
        self.names = [product.name for product in line.products]
        self.index = {step.name: i for i, step in enumerate(line.steps)}
        self.station = {station.name: s for s, station in enumerate(line.stations)}
        self.day = self.givens.day_seconds().value
        self.rates = [self.givens.per_day(("products", p, "demand")).value for p in range(len(self.names))]
        self.mix = [rate / sum(self.rates) for rate in self.rates]
        self.takes = [line.route.takes_for(name) for name in self.names]
        self.alike = alike_at(line, rates_of(self.givens))
        self.steps = [self._step(i) for i in range(len(line.steps))]
        self._ways()
        self.orders = [self._orders(p) for p in range(len(self.names))]
        find_enough(self)
        self.finished_capacity = min(
            (store.capacity.value for store in line.stores if store.after is not None and store.capacity is not None),
            default=inf,
        )
        self.benches = [bench for step in sorted(self.steps, key=lambda one: -one.place) for bench in step.benches]

    def through(self, i: int) -> list[int]:
        return [p for p, name in enumerate(self.names) if i in self.line.route.visits(name)]

    def _stream(self, shape: Shape, *purpose: str) -> Stream:
        return Stream(shape, *self.luck, purpose)

    def time(self, path: Path, quantity: Quantity, *purpose: str) -> Stream:
        cv = self.givens.cv(path, quantity, _ASSUMED.get(purpose[-1], _ASSUMED.get(purpose[0], "manual cv"))).value
        law = quantity.distribution or ("constant" if cv == 0 else "lognormal")
        return self._stream(shape_of(law, self.givens.figure(path, quantity).value, cv), *purpose)

    def at_random(self, path: Path, *purpose: str) -> Stream:
        return self._stream(shape_of("exponential", self.givens.figure(path).value, 1.0), *purpose)

    def _orders(self, p: int) -> Stream | None:
        if self.rates[p] == 0:
            return None
        spread = sqrt(order_cv2(self.givens, p).value)
        law = "exponential" if spread == 1 else "gamma"
        return self._stream(shape_of(law, self.day / self.rates[p], spread), "order", self.names[p])

    def _step(self, i: int) -> TwinStep:
        step, path, name = self.line.steps[i], ("steps", i), self.line.steps[i].name
        losses = losses_of(self.givens, i)
        scrap = losses.scrap.value if losses.scrap is not None else 0.0
        again = losses.rework.value if losses.rework is not None else 0.0
        rework, release, set_up = step.rework, step.release, step.set_up
        own_time = rework is not None and rework.time is not None
        capacity = [one.capacity.value for one in self.line.stores if one.before == name and one.capacity is not None]
        rate = 0.0
        if release is not None and release.by == "push":
            rate = sum(self.rates[p] for p in self.through(i))
            if release.rate is not None:
                rate = self.givens.per_day((*path, "release", "rate")).value
        made = TwinStep(
            index=i,
            place=self.line.route.order.index(i),
            people=step.people if self.line.people else 0,
            crews=[c for c, crew in enumerate(self.line.people) if crew.skills is None or {name, step.station} & set(crew.skills)],
            capacity=capacity[0] if capacity else inf,
            transfer=max([step.transfer_lot or step.lot or min((one.pieces for one in step.lots), default=1), *(move.batch for move in self.line.moves if move.from_ == name)]),
            lot=step.lot or 1 if set_up is not None else 0,
            set_up=None if set_up is None else self.time((*path, "set_up", "time"), set_up.time, "set-up", name),
            set_up_pairs={} if set_up is None else {
                (self.names.index(pair.from_), self.names.index(pair.to)):
                    self.time((*path, "set_up", "pairs", k, "time"), pair.time, "set-up", name, pair.from_, pair.to)
                for k, pair in enumerate(set_up.pairs)
            },
            set_up_people=set_up.people if set_up is not None and self.line.people else 0,
            scrap=scrap,
            again=again,
            again_to=None if rework is None or rework.to is None else self.index[rework.to],
            again_time=self.time((*path, "rework", "time"), rework.time, "again", name) if own_time and rework and rework.time else None,
            again_people=0 if not self.line.people else rework.people if own_time and rework else step.people,
            luck=self._stream(Shape(EVEN, 0.5), "luck", name) if scrap + again > 0 else None,
            where=self._stream(Shape(EVEN, 0.5), "where", name) if step.also_at else None,
            by="" if release is None else release.by,
            cards=0 if release is None else release.cards or 0,
            per_card=1 if release is None else release.per_card or 1,
            limit=0 if release is None else release.limit or 0,
            tick=self.day / rate if rate else 0.0,
            until=None if release is None or release.by != "cap" else self.index[release.until or name],
            work=self._work(i, step),
            takes={p: [(one.step, 1 if one.quantity is None else round(one.quantity.value)) for one in self.takes[p][i]] for p in self.through(i)},
        )  # fmt: skip
        pulled = {p for p in made.takes if self.mix[p] > 0}
        made.any_on_a_card = (
            len(pulled) > 1 and any(pulled <= set(one.products) for one in self.alike.get(i, ())) and not made.loops
        )
        made.lots = {self.names.index(one.product): one.pieces for one in step.lots}
        for loop in release.loops if release is not None else ():
            first = not any(made.takes.values())
            gone = loop.cards - loop.cards % loop.signal
            permits = inf if first else gone * loop.per_card
            made.loops[self.names.index(loop.product)] = TwinLoop(
                loop.cards, loop.per_card, loop.signal, loop.cards % loop.signal, permits
            )
        inputs = max(1, *(len(one) for one in made.takes.values()))
        made.here = [0] * inputs
        places = [(step.station, 1 - sum(one.share.value for one in step.also_at), 1.0)]
        places += [
            (one.station, one.share.value, 1.0 if one.times is None else one.times.value) for one in step.also_at
        ]
        reached = 0.0
        for station, share, times in places:
            reached += share
            made.benches.append(Bench(made, self.station[station], reached, times, [[] for _ in range(inputs)]))
        if release is not None and any(made.takes.values()) and not release.loops:
            made.permits = {"cards": (release.cards or 0) * made.per_card, "cap": release.limit or 0}.get(release.by, 0)
        elif release is not None and release.by == "cap":
            made.permits = release.limit or 0
        return made

    def _work(self, i: int, step: Step) -> dict[int, list[tuple[Stream, float]]]:
        streams: dict[tuple[int, str], Stream] = {}
        found = {}
        for p in self.through(i):
            parts: list[tuple[int, Step | Element]] = [
                (k, one) for k, one in enumerate(step.elements) if one.for_ is None or self.names[p] in one.for_
            ]
            found[p] = []
            for k, part in parts or [(-1, step)]:
                path: Path = ("steps", i) if k < 0 else ("steps", i, "elements", k)
                for way in ("manual", "machine", "walking"):
                    quantity = getattr(part, way)
                    if quantity is None:
                        continue
                    if (k, way) not in streams:
                        what = part.what if isinstance(part, Element) else ""
                        streams[k, way] = self.time((*path, way), quantity, "time", step.name, what, str(k), way)
                    watched = part.watched or step.watched
                    share = 1.0 if way != "machine" else 0.0 if watched is None else watched.value
                    found[p].append((streams[k, way], share if step.people else 0.0))
        return found

    def _ways(self) -> None:
        for step in self.steps:
            for p, takes in step.takes.items():
                for k, (giver, _) in enumerate(takes):
                    self.steps[giver].goes_to[p] = (step.index, k)
        for i, step in enumerate(self.steps):
            for p in self.through(i):
                step.goes_to.setdefault(p, (None, 0))
        for m, move in enumerate(self.line.moves):
            for p, (to, _) in self.steps[self.index[move.from_]].goes_to.items():
                if (to is None and move.to == "shipping") or (to is not None and self.line.steps[to].name == move.to):
                    self.steps[self.index[move.from_]].way[p] = move_time(self.givens, m).value

    def jobs_for(self, p: int, i: int) -> dict[int, int]:
        """What has to be begun at the first steps for one piece of a product that has ended a step."""
        found: dict[int, int] = {}
        for giver, many in self.steps[i].takes[p]:
            for first, jobs in self.jobs_for(p, giver).items():
                found[first] = found.get(first, 0) + jobs * many
        return found or {i: 1}

    def pieces_for(self, p: int, i: int) -> dict[int, int]:
        """How many pieces of each later step go into one piece of a product that has ended a step."""
        found: dict[int, int] = {i: 1} if self.steps[i].takes[p] else {}
        for giver, many in self.steps[i].takes[p]:
            for step, pieces in self.pieces_for(p, giver).items():
                found[step] = found.get(step, 0) + pieces * many
        return found

    @staticmethod
    def people_for(step: TwinStep, p: int) -> int:
        """People that the work of a product needs: none where nobody attends any of it."""
        return step.people if not step.work[p] or any(share > 0 for _, share in step.work[p]) else 0
