"""What becomes of every bought part in a working day: used, shipped in good units, scrapped, piled up, taken out of stock, bought."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.account.ahead import Ahead
from pullwright.account.content import Contents
from pullwright.account.rows import nothing, total
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stock import Stock

_UNIT = "pieces/wd"


@dataclass(frozen=True, slots=True)
class PartFlow:
    """One part in a working day (pieces/wd).

    `used` = `good` (in good units) + `scrapped`; `piled`: gone into growing piles; `drawn`: taken out of a stock that shrinks, 0 or above;
    `bought`, as the invoices say, else as it follows from the rest; `untraced`: bought + drawn - used - piled.
    """

    part: int
    used: Figure
    good: Figure
    scrapped: Figure
    piled: Figure
    drawn: Figure
    bought: Figure
    untraced: Figure


def part_flows(
    flow: Flow, stocks: tuple[Stock, ...], contents: Contents, ahead: tuple[Ahead, ...]
) -> tuple[PartFlow, ...]:
    """What becomes of every part that is used or bought, or whose store grows or shrinks?"""
    inside = [(one, contents.parts(one.stock)) for one in ahead]
    own = {stock.part: stock for stock in stocks if stock.kind == "part"}
    return tuple(
        found for p in range(len(flow.line.parts)) if (found := _part(flow, p, own.get(p), inside)) is not None
    )


def _part(flow: Flow, p: int, stock: Stock | None, inside: list[tuple[Ahead, dict[int, Figure]]]) -> PartFlow | None:
    part = flow.line.parts[p]
    used, good, scrapped = _used(flow, p, stock)
    still = stock is None or (stock.step is None and stock.made_ahead is None)
    if still and part.bought is None:
        return None
    piled = [
        derive(
            f"piled up a day / {part.name} / {one.stock.words}",
            lambda g, n: g * n,
            one.growth,
            parts[p],
            unit=_UNIT,
            formula="pieces a day by which the stock grows x pieces of the part in one",
        )
        for one, parts in inside
        if p in parts
    ]
    if stock is not None and stock.made_ahead is not None:
        piled.append(stock.made_ahead)
    heap = total(
        f"piled up a day / {part.name}", piled, _UNIT, why_none="no pile that holds this part is known to grow"
    )
    drawn = _drawn(part.name, stock)
    if part.bought is not None:
        bought = flow.givens.per_day(("parts", p, "bought"))
    else:
        bought = derive(
            f"bought a day / {part.name}",
            lambda u, h, d: np.maximum(u + h - d, 0.0),
            used,
            heap,
            drawn,
            unit=_UNIT,
            formula="used + piled up - taken out of stock (no purchases are given)",
        )
    untraced = derive(
        f"no trace of / {part.name}",
        lambda b, u, h, d: _zero(b + d - u - h, b + d + u + h),
        bought,
        used,
        heap,
        drawn,
        unit=_UNIT,
        formula="bought + taken out of stock - used - piled up",
    )
    return PartFlow(p, used, good, scrapped, heap, drawn, bought, untraced)


def _zero(rest: Any, size: Any) -> Any:
    """A rest that is only rounding is nothing."""
    return np.where(np.abs(rest) <= 1e-12 * size, 0.0, rest)


def _used(flow: Flow, p: int, stock: Stock | None) -> tuple[Figure, Figure, Figure]:
    """Used, of it in good units, and scrapped; what is done again uses no second part."""
    name = flow.line.parts[p].name
    index = {step.name: i for i, step in enumerate(flow.line.steps)}
    needed: list[Figure] = []
    for k, product in enumerate(flow.line.products):
        way = next(way for way in flow.rates.ways if product.name in way.products)
        for u, use in enumerate(product.uses):
            i = index[use.at]
            if use.part == name and i in way.fresh:
                quantity = flow.givens.figure(("products", k, "uses", u, "quantity"))
                needed += [flow.rates.products[k], way.needed[i], quantity]
    if not needed or stock is None:
        none = f"no product uses {name}"
        return (
            nothing(f"used a day / {name}", _UNIT, none),
            nothing(f"in good units a day / {name}", _UNIT, none),
            nothing(f"scrapped a day / {name}", _UNIT, none),
        )
    good = derive(
        f"in good units a day / {name}",
        _made,
        flow.made,
        *needed,
        unit=_UNIT,
        formula="demand, as far as made, x pieces needed for one good unit x quantity",
    )
    scrapped = derive(
        f"scrapped a day / {name}", lambda u, g: u - g, stock.taken, good, unit=_UNIT, formula="used - in good units"
    )
    return stock.taken, good, scrapped


def _made(made: Any, *v: Any) -> Any:
    return made * sum(v[k] * v[k + 1] * v[k + 2] for k in range(0, len(v), 3))


def _drawn(name: str, stock: Stock | None) -> Figure:
    """What is taken out of a store of parts that shrinks by its counts."""
    words = f"taken out of stock a day / {name}"
    if stock is None or stock.made_ahead is None:
        return nothing(words, _UNIT, "its store is not known to shrink")
    # What is made ahead is the growth where it is above zero; here it is wanted where it is below.
    growth = stock.made_ahead.inputs[0]
    return derive(
        words, lambda g: np.maximum(-g, 0.0), growth, unit=_UNIT, formula="how fast the store shrinks, where it does"
    )
