"""Lots side by side: what each choice of an interval makes of set-ups, load, stock, waiting, floor and money."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, Literal

import numpy as np

from pullwright.account.floor import area_of, container_of
from pullwright.account.ground import Ground
from pullwright.account.terms import carrying_rate
from pullwright.figure import Figure, derive
from pullwright.pull.lots.made_there import Made, MadeThere
from pullwright.pull.lots.steady import time_in_system

ChoiceKey = Literal["today", "interval", "economic", "steady", "chosen"]


@dataclass(frozen=True)
class Choice:
    """One choice of lots at a station.

    `interval`: the time until every product was made once (wd); `lots`: pieces of each, as they come out of it; `whole`: the same in whole pieces,
    which all that follows is worked out for. `set_ups`: how many a year; `set_up_time`: machine time for them (s/wd); `hands`: people's time for
    them (person-s/year); `load`: of the machines (share); `stock`: what lies behind the station because of its lots, on average (pieces), `tied_up` in
    it (money), on how much `floor` (m2); `wait`: from when a lot is wanted until it is done (wd). `wages`, `carrying` and `cost`, their sum (money/year),
    are None where the line file lacks a wage, the price of anything, or a carrying rate. `because`: where the interval comes from.
    """

    key: ChoiceKey
    words: str
    because: str
    interval: Figure
    lots: tuple[Figure, ...]
    whole: tuple[Figure, ...]
    set_ups: Figure
    set_up_time: Figure
    hands: Figure
    load: Figure
    stock: Figure
    wait: Figure
    tied_up: Figure | None
    floor: Figure | None
    wages: Figure | None
    carrying: Figure | None
    cost: Figure | None

    @property
    def pieces(self) -> tuple[int, ...]:
        """How many pieces of each product are made at a time."""
        return tuple(round(figure.value) for figure in self.whole)

    def figures(self) -> tuple[Figure, ...]:
        """All its figures."""
        always = (
            self.interval,
            *self.lots,
            *self.whole,
            self.set_ups,
            self.set_up_time,
            self.hands,
            self.load,
            self.stock,
            self.wait,
        )
        asked = (self.tied_up, self.floor, self.wages, self.carrying, self.cost)
        return tuple(dict.fromkeys((*always, *(figure for figure in asked if figure is not None))))


WORDS: dict[ChoiceKey, str] = {
    "today": "today",
    "interval": "as often as set-ups may",
    "economic": "least cost",
    "steady": "shortest waiting",
    "chosen": "chosen",
}


def choice_of(ground: Ground, there: MadeThere, key: ChoiceKey, interval: Figure, because: str) -> Choice:
    """What does it come to when every product is made once in `interval` (wd)?"""
    lots = tuple(
        derive(
            f"lots / {key} / lot / {there.name} / {one.step_name} / {one.product}",
            lambda r, t: np.where(r > 0, r * t, 0.0),
            one.started,
            interval,
            unit="pieces",
            formula="pieces a day x interval",
        )
        for one in there.made
    )
    return _choice(ground, there, key, interval, because, lots, tuple(one.set_up for one in there.made))


def todays_choice(ground: Ground, there: MadeThere) -> Choice:
    """What do today's lots come to? Set-ups take as long as on average over all orders in which products can follow one another."""
    interval = derive(
        f"lots / today / interval / {there.name}",
        lambda *v: np.maximum.reduce([_over(v[k], v[k + 1]) for k in range(0, len(v), 2)]),
        *(figure for one in there.made for figure in (one.today[0], one.started)),
        unit="wd",
        formula="lot / pieces a day, of the product that comes round most seldom",
    )
    lots = tuple(one.today[0] for one in there.made)
    because = "the lots of the line file"
    return _choice(ground, there, "today", interval, because, lots, tuple(one.today[1] for one in there.made))


def whole_pieces(lot: Figure) -> int:
    """A lot is made of whole pieces: rounded up, so that set-ups do not take more time than was meant for them."""
    return max(1, math.ceil(lot.value - 1e-9))


def _over(part: Any, whole: Any) -> Any:
    with np.errstate(all="ignore"):
        return np.where(np.asarray(whole) > 0, part / np.where(np.asarray(whole) > 0, whole, 1.0), np.inf)


def _choice(
    ground: Ground, there: MadeThere, key: ChoiceKey, interval: Figure, because: str, lots: tuple[Figure, ...], set_ups: tuple[Figure, ...]
) -> Choice:  # fmt: skip
    made, tail = there.made, there.name
    flow, made_of = ground.flow, partial(_named, key, there.name)
    sizes = [whole_pieces(lot) for lot in lots]
    pieces = [_decided(key, tail, one, lot, size) for one, lot, size in zip(made, lots, sizes, strict=True)]
    days = flow.givens.working_days("year")
    rows = [(one.started, n, s, one.people) for one, n, s in zip(made, pieces, set_ups, strict=True)]
    flat = [figure for row in rows for figure in row]
    count = made_of(
        "set-ups a year", _set_ups, days, *flat, unit="set-ups/year", formula="sum of pieces a day / lot, x working days per year"
    )  # fmt: skip
    time = made_of(
        "set-up time a day", lambda *v: _each(v, lambda r, n, s, p: r / n * s), *flat, unit="s/wd", formula="sum of pieces a day / lot x set-up time"
    )  # fmt: skip
    hands = made_of(
        "hands for set-ups a year", lambda d, *v: d * _each(v, lambda r, n, s, p: r / n * s * p), days, *flat, unit="person-s/year",
        formula="sum of pieces a day / lot x set-up time x people, x working days per year",
    )  # fmt: skip
    load = made_of(
        "load",
        lambda p, s, a: np.where(np.asarray(p + s) > 0, _over(p + s, a), 0.0),
        there.production,
        time,
        there.available,
        unit="share",
        formula="(production + set-ups) / available",
    )
    held = [figure for one, n in zip(made, pieces, strict=True) for figure in (one.started, one.time, n)]
    stock = made_of(
        "stock of the lots", lambda c, *v: sum(_behind(c, v)), there.clock, *held, unit="pieces",
        formula="sum of lot / 2 x (1 - share of the time that its production takes)",
    )  # fmt: skip
    making = there.inputs
    wait = made_of(
        "from wanted to done", partial(_waits, there, len(made), key != "today"), *making, *pieces, *set_ups, unit="wd",
        formula="time in queue (VUT equation, lots with their set-ups in it) + set-up + lot x time of a piece; mean over all pieces",
    )  # fmt: skip
    tied_up = carrying = wages = cost = None
    worths = [one.worth for one in made if one.worth is not None]
    if len(worths) == len(made):
        tied_up = made_of(
            "money in the stock of the lots", lambda c, *v: sum(w * n for w, n in zip(v[: len(made)], _behind(c, v[len(made) :]), strict=True)),
            there.clock, *worths, *held, unit="money", formula="stock of each product x worth of a piece",
        )  # fmt: skip
    if tied_up is not None and flow.line.money is not None and flow.line.money.carrying_rate is not None:
        rate = carrying_rate(flow)
        carrying = made_of("carrying", lambda r, m: r * m, rate, tied_up, unit="money/year", formula="carrying rate x money in the stock")  # fmt: skip
    if any(crew.wage is not None for crew in flow.line.people):
        wages = made_of("wages for set-ups", lambda h, w: h * w, hands, ground.wage, unit="money/year", formula="hands x average wage")  # fmt: skip
    if carrying is not None and wages is not None:
        cost = made_of("cost", lambda w, c: w + c, wages, carrying, unit="money/year", formula="wages for set-ups + carrying")  # fmt: skip
    boxes, floor = boxes_of(ground, there), None
    if boxes is not None:
        floor = made_of(
            "floor of the lots", lambda c, *v: floor_behind(there, v[: len(boxes)], _behind(c, v[len(boxes) :])), there.clock, *boxes, *held,
            unit="m2", formula="containers, stacked, x floor of one, for the stock of the lots",
        )  # fmt: skip
    return Choice(
        key, WORDS[key], because, interval, lots, tuple(pieces), count, time, hands, load, stock, wait, tied_up, floor, wages, carrying, cost
    )  # fmt: skip


def boxes_of(ground: Ground, there: MadeThere) -> tuple[Figure, ...] | None:
    """In what do the pieces of each step there lie: how many a container holds, how many stand on each other, on what floor? None where it is not said."""
    flow = ground.flow
    boxes: list[Figure] = []
    for i in dict.fromkeys(one.step for one in there.made):
        behind = (stock for stock in flow.stocks if _lies_behind(ground, i, stock.kind, stock.step))
        found = next((lies for stock in behind if (lies := container_of(flow, stock)) is not None), None)
        if found is None:
            return None
        path, container = found
        boxes.append(flow.givens.number((*path, "holds"), container.holds, "pieces/container"))
        boxes.append(flow.givens.number((*path, "stack"), container.stack, "containers"))
        boxes.append(flow.givens.figure((*path, "floor")))
    return tuple(boxes)


def floor_behind(there: MadeThere, boxes: Sequence[Any], stock: Sequence[Any]) -> Any:
    """How much floor does the stock of each product take in these boxes (m2)? Pieces of one step lie together."""
    steps = list(dict.fromkeys(one.step for one in there.made))
    found: Any = 0.0
    for k, i in enumerate(steps):
        pieces = sum(n for n, one in zip(stock, there.made, strict=True) if one.step == i)
        found = found + area_of(pieces, *boxes[3 * k : 3 * k + 3])
    return found


def _lies_behind(ground: Ground, i: int, kind: str, step: int | None) -> bool:
    """Is this the stock that the pieces of step `i` lie in?"""
    if kind == "before" and step is not None:
        return any(taking.step == i for taking in ground.flow.line.route.takes[step])
    return kind == "after" and step == i


def _named(
    key: str, station: str, words: str, function: Callable[..., Any], *inputs: Figure, unit: str, formula: str
) -> Figure:
    return derive(f"lots / {key} / {words} / {station}", function, *inputs, unit=unit, formula=formula)


def _decided(key: str, station: str, one: Made, lot: Figure, size: int) -> Figure:
    """A lot that is decided on is known, however unsure what led to it."""
    if key == "today":
        return lot
    return derive(
        f"lots / {key} / whole pieces / {station} / {one.step_name} / {one.product}",
        lambda _: float(size),
        lot,
        unit="pieces",
        formula="the lot in whole pieces, rounded up: decided on, whatever turns out",
    )


def _each(values: Sequence[Any], what: Callable[..., Any]) -> Any:
    return sum(what(*values[k : k + 4]) for k in range(0, len(values), 4))


def _set_ups(days: Any, *values: Any) -> Any:
    return days * _each(values, lambda r, n, s, p: r / n)


def _behind(clock: Any, values: Sequence[Any]) -> list[Any]:
    """Stock of each product behind the machine (pieces): half a lot, less what is taken away while it is made."""
    return [
        n / 2 * (1 - np.minimum(r * t / np.maximum(clock, 1e-9), 1.0))
        for r, t, n in zip(values[0::3], values[1::3], values[2::3], strict=True)
    ]


def _waits(there: MadeThere, count: int, in_rounds: bool, *values: Any) -> Any:
    """From when a lot is wanted until it is done, in days."""
    known, lots, set_ups = list(values[: -2 * count]), values[-2 * count : -count], values[-count:]
    for k, set_up in enumerate(set_ups):
        known[2 + 6 * k + 3] = set_up
    making = there.making(known)
    return time_in_system(making, lots, in_rounds=in_rounds) / np.maximum(known[0], 1e-9)
