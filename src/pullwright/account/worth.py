"""What a piece has cost by the time it lies in a place: the parts in it and the wages of the work done on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.account.ahead import steps_before
from pullwright.account.rows import nothing, total
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stock import Stock


@dataclass(frozen=True, slots=True)
class HeldMoney:
    """The money that lies in one stock: what the flow needs of it, and what is beyond (money)."""

    stock: Stock
    piece: Figure
    needed: Figure
    beyond: Figure


def average_wage(flow: Flow) -> Figure:
    """What does a paid hour cost, on average over the crews (money/s)? 0 where no wage is given."""
    line, givens = flow.line, flow.givens
    inputs = []
    for c, crew in enumerate(line.people):
        if crew.wage is not None:
            inputs += [
                givens.number(("people", c, "number"), crew.number, "persons"),
                givens.paid_seconds(crew.shifts),
                givens.figure(("people", c, "wage")),
            ]
    if not inputs:
        return nothing("average wage", "money/s", "no wage is given in `people`, so that hours cost nothing here")

    def average(*v: Any) -> Any:
        hours = sum(v[k] * v[k + 1] for k in range(0, len(v), 3))
        return sum(v[k] * v[k + 1] * v[k + 2] for k in range(0, len(v), 3)) / np.maximum(hours, 1e-12)

    return derive(
        "average wage",
        average,
        *inputs,
        unit="money/s",
        formula="mean over the crews with a wage, weighted by people x paid time",
    )


def held_money(flow: Flow) -> tuple[HeldMoney, ...]:
    """How much money lies in each stock, by what its pieces have cost?"""
    wage = average_wage(flow)
    before = steps_before(flow)
    found = []
    for stock in flow.stocks:
        if not np.isfinite(stock.held.value):
            continue
        piece = _piece(flow, stock, wage, before)
        held = derive(
            f"money in stock / {stock.words}",
            lambda n, w: np.where(np.isfinite(n), n, 0.0) * w,
            stock.held,
            piece,
            unit="money",
            formula="stock held x what a piece has cost",
        )
        beyond = derive(
            f"money in stock beyond / {stock.words}",
            lambda b, w: np.where(np.isfinite(b), b, 0.0) * w,
            stock.beyond,
            piece,
            unit="money",
            formula="stock beyond what is needed x what a piece has cost",
        )
        needed = derive(
            f"money in stock needed / {stock.words}",
            lambda h, b: h - b,
            held,
            beyond,
            unit="money",
            formula="money in the stock - money in what is beyond",
        )
        found.append(HeldMoney(stock, piece, needed, beyond))
    return tuple(found)


def _piece(flow: Flow, stock: Stock, wage: Figure, before: tuple[frozenset[int], ...]) -> Figure:
    if stock.part is not None:
        return flow.givens.figure(("parts", stock.part, "price"))
    steps = before[stock.step or 0] | ({stock.step or 0} if stock.kind == "after" else set())
    if not steps:
        return _parts(flow, stock, frozenset())
    hands = [flow.people.attended[i] for i in sorted(steps) if i in flow.people.attended]
    work = derive(
        f"wages in a piece / {stock.words}",
        lambda w, m, r, *a: w * m * sum(a) / np.maximum(r, 1e-12),
        wage,
        flow.made,
        stock.taken,
        *hands,
        unit="money/piece",
        formula="average wage x attended work of all steps before / pieces taken a day",
    )
    parts = _parts(flow, stock, frozenset(steps))
    return derive(
        f"cost of a piece / {stock.words}",
        lambda p, w: p + w,
        parts,
        work,
        unit="money/piece",
        formula="parts in it + wages in it",
    )


def _parts(flow: Flow, stock: Stock, steps: frozenset[int]) -> Figure:
    line, givens = flow.line, flow.givens
    index = {step.name: i for i, step in enumerate(line.steps)}
    prices = {part.name: p for p, part in enumerate(line.parts)}
    inputs: list[Figure] = []
    for k, product in enumerate(line.products):
        way = next(way for way in flow.rates.ways if product.name in way.products)
        for u, use in enumerate(product.uses):
            i = index[use.at]
            if i in steps and i in way.fresh and use.part in prices:
                inputs += [
                    flow.rates.products[k],
                    way.fresh[i],
                    givens.figure(("products", k, "uses", u, "quantity")),
                    givens.figure(("parts", prices[use.part], "price")),
                ]
    name = f"parts in a piece / {stock.words}"
    if not inputs:
        return nothing(name, "money/piece", "no part has gone in by then")

    def parts(made: Any, taken: Any, *v: Any) -> Any:
        return made * sum(v[k] * v[k + 1] * v[k + 2] * v[k + 3] for k in range(0, len(v), 4)) / np.maximum(taken, 1e-12)

    return derive(
        name,
        parts,
        flow.made,
        stock.taken,
        *inputs,
        unit="money/piece",
        formula="parts used a day by the steps before x price / pieces taken a day",
    )


def sales_a_day(flow: Flow) -> Figure:
    """What do customers pay for a working day's pieces (money/wd)?"""
    inputs = [
        figure
        for k, product in enumerate(flow.line.products)
        if product.price is not None
        for figure in (flow.rates.products[k], flow.givens.figure(("products", k, "price")))
    ]
    if not inputs:
        return nothing("sales a day", "money/wd", "no product has a price")
    return derive(
        "sales a day",
        lambda m, *v: m * sum(v[k] * v[k + 1] for k in range(0, len(v), 2)),
        flow.made,
        *inputs,
        unit="money/wd",
        formula="demand, as far as made, x price",
    )


def sum_money(name: str, figures: list[Figure], why: str) -> Figure:
    """Add amounts of money."""
    return total(name, figures, "money", why_none=why)
