"""What is made in lots at one station: its products with their pieces, times and set-ups in the best order, and the time that is there for them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pullwright.account.ground import Ground
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.alike import alike_at
from pullwright.flow.demand import order_cv2
from pullwright.flow.process_time import AtStation, Outages, effective_time
from pullwright.flow.queueing import merged_cv2
from pullwright.flow.rates import Group
from pullwright.flow.stations import StationLoad
from pullwright.flow.visits import Visits
from pullwright.pull.lots.interval import time_for_set_ups
from pullwright.pull.lots.set_up_cycle import SetUpCycle, set_up_cycle
from pullwright.pull.lots.steady import Making


@dataclass(frozen=True, slots=True)
class Made:
    """What is made in one lot at one step there: a product, or several that nothing has told apart yet.

    `product`: as a person says it, "any product" where all that go through the step are alike; `loop`: its name among the loops of cards; `products`: those of them that somebody pulls.
    `started`: pieces a day (pieces/wd); `time`, `variance`: how long a piece keeps the machine, set-ups not counted (s, s²); `set_up`: the one into it
    in the best order (s), with its `cv` and `people`; `piece_cv2`: squared cv of the time between two pieces that are pulled; `worth`: what a piece has
    cost when it comes from there (money/piece), None where nothing is known of it; `today`: today's lot and set-up time.
    """

    step: int
    step_name: str
    product: str
    loop: str
    products: tuple[str, ...]
    started: Figure
    time: Figure
    variance: Figure
    set_up: Figure
    cv: Figure
    people: Figure
    piece_cv2: Figure
    worth: Figure | None
    today: tuple[Figure, Figure]


@dataclass(frozen=True)
class MadeThere:
    """All that is made in lots at one station, in the order of the file; `cycle` is the best order of its set-ups.

    `clock`: the time of a day that one machine has for lots (s/wd): all of it but what the steps without set-ups take. `production`: what all steps
    there take, set-ups not counted (s/wd); `available`: all machines together (s/wd); `room`: the time that set-ups may take (s/wd); `around`: the
    set-ups of one round (s). `idle`: names of products that nobody pulls.
    """

    station: StationLoad
    made: tuple[Made, ...]
    cycle: SetUpCycle
    clock: Figure
    production: Figure
    available: Figure
    left: Figure
    room: Figure
    around: Figure
    idle: tuple[str, ...]

    @property
    def name(self) -> str:
        """The station."""
        return self.station.name

    @property
    def several_steps(self) -> bool:
        """Are lots of more than one step made there?"""
        return len({one.step for one in self.made}) > 1

    def words(self, one: Made) -> str:
        """A product as a person says it there: with its step where several steps share the station."""
        return f"{one.product} ({one.step_name})" if self.several_steps else one.product

    @property
    def inputs(self) -> tuple[Figure, ...]:
        """All that a `Making` is made from, in the order that `making` takes it."""
        rows = [(one.started, one.time, one.variance, one.set_up, one.cv, one.piece_cv2) for one in self.made]
        return (self.clock, self.station.machines, *(figure for row in rows for figure in row))

    def making(self, values: Sequence[Any]) -> Making:
        """The values or draws of `inputs`, counted by the seconds that a machine has for lots."""
        clock, machines, *rest = values
        started, times, variances, set_ups, cvs, cv2s = (rest[k::6] for k in range(6))
        return Making(
            [one / np.maximum(clock, 1e-9) for one in started], times, variances, set_ups,
            [(c * s) ** 2 for c, s in zip(cvs, set_ups, strict=True)], machines, cv2s,
        )  # fmt: skip


def made_there(ground: Ground, station: StationLoad) -> MadeThere | None:
    """What is made in lots at a station? None where nobody pulls anything that it is set up for."""
    flow = ground.flow
    found = list(_pulled(ground, station))
    if not found:
        return None
    table = np.array([[_change(ground, a, b).value for b in found] for a in found])
    cycle = set_up_cycle(table)
    into = {b: _change(ground, found[a], found[b]) for a, b in zip(cycle.order, np.roll(cycle.order, -1), strict=True)}
    alike = {_alike(one): one for one in found}
    times = {key: _without_set_ups(ground, station, one.at, one.group) for key, one in alike.items()}
    made = tuple(_made(ground, station, one, into[k], *times[_alike(one)]) for k, one in enumerate(found))
    others = [at for at in station.steps if at.step.set_up is None]
    name = station.name
    clock = derive(
        f"lots / time for lots at a machine / {name}",
        lambda a, m, *v: np.maximum(a - sum(v[k] * v[k + 1] for k in range(0, len(v), 2)) / m, 0.0),
        station.available, station.machines, *(figure for at in others for figure in (at.started, at.mean)),
        unit="s/wd", formula="net working time of a day" + (" - time of the steps there that are not set up" if others else ""),
    )  # fmt: skip
    pairs = [figure for one in made for figure in (one.started, one.time)]
    pairs += [figure for at in others for figure in (at.started, at.mean)]
    production = derive(
        f"lots / production a day / {name}",
        lambda *v: sum(v[k] * v[k + 1] for k in range(0, len(v), 2)),
        *pairs,
        unit="s/wd",
        formula="pieces a day x effective process time without set-ups, all steps there",
    )
    available = derive(
        f"lots / available a day / {name}",
        lambda m, a: m * a,
        station.machines,
        station.available,
        unit="s/wd",
        formula="machines x net working time of a day",
    )
    left = derive(
        f"lots / left by production / {name}",
        time_for_set_ups,
        available,
        production,
        unit="s/wd",
        formula="available - production",
    )
    plan = flow.line.plan
    room = left
    if plan is not None and plan.lots.set_ups is not None:
        room = derive(
            f"lots / time that set-ups may take / {name}",
            lambda free, all_, share: np.minimum(free, share * all_),
            left,
            available,
            flow.givens.figure(("plan", "lots", "set_ups")),
            unit="s/wd",
            formula="what production leaves, at most the wished share of all time",
        )
    around = derive(
        f"lots / set-ups of one round / {name}",
        lambda *s: sum(s),
        *(made[k].set_up for k in cycle.order),
        unit="s",
        formula="sum of the set-ups in the best order: " + ", ".join(found[k].name for k in cycle.order),
    )
    idle = tuple(dict.fromkeys(_idle(ground, station)))
    return MadeThere(station, made, cycle, clock, production, available, left, room, around, idle)


@dataclass(frozen=True, slots=True, eq=False)
class _Item:
    """What is made in one lot at a step of the station: the step there, the products that are worked on alike, its words, its loop, and those of its
    products that somebody pulls (their places in the line file)."""

    at: AtStation
    group: Group
    name: str
    loop: str
    pulled: tuple[int, ...]


def _pulled(ground: Ground, station: StationLoad) -> Iterator[_Item]:
    flow = ground.flow
    alike = alike_at(flow.line, flow.rates)
    for at in station.steps:
        if at.step.set_up is None or not at.started.value > 0:
            continue
        for one in alike[at.step.index]:
            pulled = tuple(k for k in one.products if flow.rates.products[k].value > 0)
            if pulled:
                first = flow.line.products[pulled[0]].name
                group = next(group for group in at.step.groups if first in group.work.products)
                name = one.words(flow.line) if one.several or len(one.products) == 1 else "any product"
                yield _Item(at, group, name, one.named(flow.line, at.step.name), pulled)


def _idle(ground: Ground, station: StationLoad) -> Iterator[str]:
    """Products that come there and that nobody pulls."""
    flow = ground.flow
    here = {
        name
        for at in station.steps
        if at.step.set_up is not None
        for name in flow.line.route.products_of(at.step.index)
    }
    return (
        product.name
        for k, product in enumerate(flow.line.products)
        if product.name in here and not flow.rates.products[k].value > 0
    )


def _change(ground: Ground, before: _Item, after: _Item) -> Figure:
    """The set-up from one product there to another (s): that of the pair where one is given, else the usual one of the step that is set up."""
    i = after.at.step.index
    set_up = ground.flow.line.steps[i].set_up
    assert set_up is not None
    path = ("steps", i, "set_up")
    if before.at is after.at:
        for k, pair in enumerate(set_up.pairs):
            if (pair.from_, pair.to) == (before.name, after.name):
                return ground.flow.givens.figure((*path, "pairs", k, "time"))
    return ground.flow.givens.figure((*path, "time"))


def _alike(item: _Item) -> tuple[int, tuple[str, ...]]:
    """Products that are worked on alike at a step have one time there."""
    return item.at.step.index, item.group.work.products


def _made(ground: Ground, station: StationLoad, item: _Item, set_up: Figure, time: Figure, variance: Figure) -> Made:
    flow, at, step = ground.flow, item.at, item.at.step
    i = step.index
    given = flow.line.steps[i].set_up
    assert step.set_up is not None
    assert given is not None
    tail = f"{station.name} / {item.loop if item.loop != step.name else f'{step.name} / {item.name}'}"
    asked = [(flow.rates.products[k], _way(flow, k).started[i]) for k in item.pulled]
    several = len(asked) > 1
    started = derive(
        f"lots / pieces a day / {tail}",
        lambda *v: sum(d * n for d, n in zip(v[0 : 2 * len(asked) : 2], v[1 : 2 * len(asked) : 2], strict=True))
        * (v[-1] if len(v) % 2 else 1.0),
        *(figure for pair in asked for figure in pair), *(() if at.share is None else (at.share,)),
        unit="pieces/wd",
        formula=("sum over its products of " if several else "") + "demand x pieces for one good unit" + ("" if at.share is None else " x share there"),
    )  # fmt: skip
    return Made(
        i, step.name, item.name, item.loop, tuple(flow.line.products[k].name for k in item.pulled), started, time, variance, set_up,
        flow.givens.cv(("steps", i, "set_up", "time"), given.time, "set-up cv"), step.set_up.people,
        _piece_cv2(flow, tail, item), _worth(ground, tail, i, item), (step.set_up.lot_of(item.name), step.set_up.time),
    )  # fmt: skip


def _way(flow: Flow, product: int) -> Visits:
    """The way of a product through the line."""
    name = flow.line.products[product].name
    return next(way for way in flow.rates.ways if name in way.products)


def _piece_cv2(flow: Flow, tail: str, item: _Item) -> Figure:
    """Squared cv of the time between two pieces that are pulled; of several products, of their streams together."""
    each = [order_cv2(flow.givens, k) for k in item.pulled]
    if len(each) == 1:
        return each[0]
    rates = [flow.rates.products[k] for k in item.pulled]
    return derive(
        f"lots / cv² of the time between two pieces / {tail}",
        lambda *v: merged_cv2(v[: len(rates)], v[len(rates) :]),
        *rates, *each, unit="1", formula="mean of the cv² of its products, weighted by their demand",
    )  # fmt: skip


def _without_set_ups(ground: Ground, station: StationLoad, at: AtStation, group: Group) -> tuple[Figure, Figure]:
    """How long a piece of these products keeps the machine by itself: breakdowns and putting right folded in, set-ups not."""
    givens, outages = ground.flow.givens, None
    who = " and ".join(group.work.products)
    breaks = ground.flow.line.stations[station.index].breakdowns
    if breaks is not None and station.up is not None:
        path = ("stations", station.index, "breakdowns")
        outages = Outages(
            givens.figure((*path, "between")),
            givens.figure((*path, "repair")),
            givens.cv((*path, "repair"), breaks.repair, "repair cv"),
            station.up,
        )
    alone = replace(
        at.step, name=f"{at.step.name} / {who} / without set-ups",
        mean=group.work.cycle, variance=group.work.variance, set_up=None,
    )  # fmt: skip
    return effective_time(alone, station.name, at.times, outages)


def _worth(ground: Ground, tail: str, i: int, item: _Item) -> Figure | None:
    """What a piece has cost when it comes from the step: its parts and the hands in it, at the average wage; of several products, the mean by demand."""
    each = [
        (ground.flow.rates.products[k], _worth_of(ground, tail, i, k, several=len(item.pulled) > 1))
        for k in item.pulled
    ]
    worths = [worth for _, worth in each if worth is not None]
    if len(each) == 1 or len(worths) < len(each):
        return each[0][1]
    return derive(
        f"lots / worth of a piece / {tail}",
        lambda *v: sum(d * w for d, w in zip(v[0::2], v[1::2], strict=True)) / sum(v[0::2]),
        *(figure for demand, worth in zip((demand for demand, _ in each), worths, strict=True) for figure in (demand, worth)),
        unit="money/piece", formula="mean of its products, weighted by their demand",
    )  # fmt: skip


def _worth_of(ground: Ground, tail: str, i: int, product: int, *, several: bool) -> Figure | None:
    flow, along = ground.flow, ground.contents.along
    name, way = flow.line.products[product].name, _way(flow, product)
    w = flow.rates.ways.index(way)
    parts, hands = along.price_by[w].get(i), along.hands_by[w].get(i)
    paid = hands is not None and any(crew.wage is not None for crew in flow.line.people)
    if parts is None and not paid:
        return None
    inputs = [way.passed[i], *((parts,) if parts is not None else ())]
    inputs += [hands, ground.wage] if paid and hands is not None else []

    def worth(passed: Any, *v: Any) -> Any:
        found = v[0] if parts is not None else 0.0
        return (found + (v[-2] * v[-1] if paid else 0.0)) / np.maximum(passed, 1e-12)

    words = [*(["parts"] if parts is not None else []), *(["hands x average wage"] if paid else [])]
    return derive(
        f"lots / worth of a piece / {tail}" + (f" / {name}" if several else ""),
        worth,
        *inputs,
        unit="money/piece",
        formula=f"({' + '.join(words)}) for one good unit by the end of the step / good pieces for it",
    )
