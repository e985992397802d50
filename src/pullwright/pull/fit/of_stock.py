"""What can be done about stock: take away what nobody needs, use up what is beyond need, have less delivered at a time, make smaller lots."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from pullwright.account.floor import area_of, container_of, stock_area
from pullwright.account.ground import Ground
from pullwright.account.rows import nothing
from pullwright.account.terms import supplier_of
from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.flow.stock import Stock
from pullwright.line.model import Step
from pullwright.pull.changes import Change
from pullwright.pull.fit.hands import time_of_one
from pullwright.pull.fit.possible import PossibleChange
from pullwright.pull.fit.tried_lots import Tried, tried_lots

FREE = "it costs nothing in a year"
TIMES = (2, 4)
"""So many times as often parts may come; lots are halved."""


def take_away(ground: Ground) -> Iterator[PossibleChange]:
    """Red-tagged things: nobody needs them."""
    floor, givens = ground.flow.line.floor, ground.flow.givens
    for k, thing in enumerate(floor.red_tagged if floor else ()):
        yield PossibleChange(
            f"take away {thing.what}",
            f"take the red-tagged {thing.what} away",
            floor=givens.figure(("floor", "red_tagged", k, "area")),
            yearly=nothing(f"fit / price / take away {thing.what}", "money/year", FREE),
            assumed="Taking it away is counted as free, and what it may still be sold for as nothing.",
            written=_taking_out(("floor", "red_tagged", k), f"nobody needs {thing.what}"),
        )


def use_up(ground: Ground) -> Iterator[PossibleChange]:
    """Stock beyond what the flow needs: it goes when nothing is made or bought for it until it is used up."""
    worth = {one.stock.words: one for one in ground.held}
    for stock in ground.stocks:
        if not (np.isfinite(stock.beyond.value) and stock.beyond.value > 0) or stock.words not in worth:
            continue
        area, cash = stock_area(ground.flow, stock), worth[stock.words].beyond
        days = stock.beyond.value / stock.taken.value if stock.taken.value > 0 else math.inf
        done = (
            f"it takes about {days:.0f} working days"
            if math.isfinite(days)
            else "nothing takes from it, so that it must be sold or scrapped"
        )
        yield PossibleChange(
            f"use up the stock {_where(stock)}",
            f"{'buy' if stock.kind == 'part' else 'make'} nothing for the stock {_where(stock)} until what is beyond need is used up",
            floor=None if area is None else area[1],
            cash=cash,
            yearly=_carried_less(ground, f"use up the stock {_where(stock)}", cash),
            assumed=f"At today's rate {done}; from then on it is kept at what is needed.",
            stocks=(stock.words,),
        )


def deliver_more_often(ground: Ground) -> Iterator[PossibleChange]:
    """Parts in smaller deliveries: the stock that the flow needs of them falls by half of what comes less at a time."""
    flow = ground.flow
    bought = {one.part: one.bought for one in ground.parts}
    for stock in ground.stocks:
        p = stock.part
        if stock.kind != "part" or p is None or p not in bought or flow.line.parts[p].delivery_lot is None:
            continue
        lot = flow.givens.figure(("parts", p, "delivery_lot"))
        for times in TIMES:
            smaller = math.ceil(lot.value / times)
            room = math.inf if stock.capacity is None else stock.capacity.value
            if 0 < smaller < min(lot.value, room):
                yield _delivered(ground, stock, p, lot, bought[p], smaller, times)


def _delivered(
    ground: Ground, stock: Stock, p: int, lot: Figure, bought: Figure, smaller: int, times: int
) -> PossibleChange:
    flow, part = ground.flow, ground.flow.line.parts[p]
    name = f"{part.name} in deliveries of {smaller}"
    room = () if stock.capacity is None else (stock.capacity,)

    def fewer(needed: Any, comes: Any, *capacity: Any) -> Any:
        fits = np.minimum(comes, capacity[0]) if capacity else comes
        return np.maximum(needed - np.maximum(fits - smaller, 0.0) / 2, 0.0)

    needed = derive(
        f"fit / stock needed / {name}", fewer, stock.needed, lot, *room, unit="pieces",
        formula=f"stock needed - (what comes at a time, as far as there is room, - {smaller}) / 2",
    )  # fmt: skip
    cash = derive(
        f"fit / cash / {name}",
        lambda held, before, after, price: price * (np.minimum(held, before) - np.minimum(held, after)),
        stock.held, stock.needed, needed, flow.givens.figure(("parts", p, "price")), unit="money",
        formula="price x (stock needed - stock needed then), of what is held",
    )  # fmt: skip
    supplier = supplier_of(flow.line, p)
    priced = supplier is not None and flow.line.suppliers[supplier].per_delivery is not None
    yearly = None
    if supplier is not None and priced:
        yearly = derive(
            f"fit / price / {name}",
            lambda b, q, each, days, rate, c: b * (1 / smaller - 1 / np.maximum(q, 1e-12)) * each * days - rate * c,
            bought, lot, flow.givens.figure(("suppliers", supplier, "per_delivery")), flow.givens.working_days("year"),
            ground.carrying_rate, cash, unit="money/year",
            formula="deliveries more in a year x cost of one - carrying rate x cash that it gives",
        )  # fmt: skip
    return PossibleChange(
        name,
        f"have {part.name} delivered {times} times as often, {smaller} at a time instead of {lot.value:.0f}",
        floor=_area_less(flow, stock, needed, name),
        cash=cash,
        yearly=yearly,
        assumed="The price of a piece and the lead time stay as they are."
        + ("" if priced else " What a delivery costs is not given (`suppliers: per_delivery`)."),
        group=f"deliveries of {part.name}",
        stocks=(stock.words,),
        written=_setting(("parts", p, "delivery_lot"), smaller, f"{times} times as often needs less floor and cash"),
    )


def smaller_lots(ground: Ground) -> Iterator[PossibleChange]:
    """Smaller lots: less waits for the rest of its lot, more set-ups take people's time.

    Left out where a station then is too full, or where nothing is gained.
    """
    for tried in tried_lots(ground.flow.line):
        gains = sum(tried.floor.values()) > 1e-9 or sum(tried.cash.values()) > 1e-6
        if gains and tried.made >= -1e-9:
            yield _lots(ground, tried)


def _lots(ground: Ground, tried: Tried) -> PossibleChange:
    line = ground.flow.line
    i, step = tried.step, line.steps[tried.step]
    lot, today = _said(step, tried)
    floor, cash = tried.floor, tried.cash
    touched = tuple(words for words in cash if abs(floor.get(words, 0.0)) > 1e-9 or abs(cash[words]) > 1e-6)
    name = f"{step.name} in lots of {lot}"
    source = Source("computed", f"the flow with lots of {lot} at {step.name} beside today's, both at the likely values")
    gives_cash = given(f"fit / cash / {name}", sum(cash.values()), "money", source)
    hours = given(f"fit / people's time more a day / {name}", max(tried.hours, 0.0), "person-s/wd", source)
    people = derive(
        f"fit / people / {name}", lambda m, one: -m / np.maximum(one, 1e-12), hours, time_of_one(ground), unit="persons",
        formula="- people's time more a day / working time of one person",
    )  # fmt: skip
    waged = any(crew.wage is not None for crew in line.people)
    yearly = derive(
        f"fit / price / {name}", lambda m, wage, days, rate, c: m * wage * days - rate * c,
        hours, ground.wage, ground.flow.givens.working_days("year"), ground.carrying_rate, gives_cash, unit="money/year",
        formula="people's time more a day x average wage x working days per year - carrying rate x cash that it gives",
    ) if waged else None  # fmt: skip
    return PossibleChange(
        name,
        f"make {step.name} in lots of {lot} instead of {today}",
        floor=given(f"fit / floor / {name}", sum(floor.values()), "m2", source),
        people=people,
        cash=gives_cash,
        yearly=yearly,
        assumed="The set-ups are as long as today, and their time is counted at the average wage although it is paid either way."
        if waged else "No wage is given, so that nobody knows what the time of the set-ups costs.",
        group=f"lots of {step.name}",
        stocks=touched,
        step=step.name,
        written=lambda times: tuple(
            Change(("steps", i, *field), value, "less lies about while the rest of the lot is worked on")
            for field, value in tried.fields.items()
        ),
    )  # fmt: skip


def _said(step: Step, tried: Tried) -> tuple[str, str]:
    """The lots that are tried and those of today, in words; each product's where they have lots of their own."""
    if not step.lots:
        return str(tried.fields["lot",]), str(step.lot)
    now = [(lot.product, tried.fields["lots", k, "pieces"], lot.pieces) for k, lot in enumerate(step.lots)]
    return tuple(" and ".join(f"{one[k]} {one[0]}" for one in now) for k in (1, 2))  # type: ignore[return-value]


def _area_less(flow: Flow, stock: Stock, needed: Figure, name: str) -> Figure | None:
    found = container_of(flow, stock)
    if found is None:
        return None
    path, container = found
    return derive(
        f"fit / floor / {name}",
        lambda held, before, after, *rest: (
            area_of(np.minimum(held, before), *rest) - area_of(np.minimum(held, after), *rest)
        ),
        stock.held,
        stock.needed,
        needed,
        flow.givens.number((*path, "holds"), container.holds, "pieces/container"),
        flow.givens.number((*path, "stack"), container.stack, "containers"),
        flow.givens.figure((*path, "floor")),
        unit="m2",
        formula="floor of the stock needed - floor of the stock needed then, in whole containers",
    )


def _carried_less(ground: Ground, name: str, cash: Figure) -> Figure:
    return derive(
        f"fit / price / {name}", lambda rate, c: -rate * c, ground.carrying_rate, cash, unit="money/year",
        formula="- carrying rate x cash that it gives",
    )  # fmt: skip


def _where(stock: Stock) -> str:
    return f"of {stock.name}" if stock.kind == "part" else stock.words


def _setting(path: tuple[str | int, ...], value: Any, because: str) -> Callable[[int], tuple[Change, ...]]:
    return lambda times: (Change(path, value, because),)


def _taking_out(path: tuple[str | int, ...], because: str) -> Callable[[int], tuple[Change, ...]]:
    return lambda times: (Change(path, None, because),)
