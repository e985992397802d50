"""The floor account: every square metre that is paid for stands in one row."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.account.ground import Ground
from pullwright.account.rows import Account, Entry, close, total
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stock import Stock
from pullwright.line.kinds import KindKey
from pullwright.line.model import Container

_UNSAID = "no stock says in what containers it lies"


def floor_account(ground: Ground) -> Account:
    """What stands on the floor, and what of it is needed?"""
    flow, line, givens = ground.flow, ground.flow.line, ground.flow.givens
    stations = [
        givens.figure(("stations", s, "floor")) for s, station in enumerate(line.stations) if station.floor is not None
    ]
    floor = line.floor
    places = [givens.figure(("floor", "places", k, "area")) for k in range(len(floor.places) if floor else 0)]
    tagged = [givens.figure(("floor", "red_tagged", k, "area")) for k in range(len(floor.red_tagged) if floor else 0)]
    ways = [givens.figure(("floor", "ways"))] if floor and floor.ways is not None else []
    areas = [area for stock in ground.stocks if (area := stock_area(flow, stock)) is not None]
    table: tuple[tuple[str, str, KindKey, list[Figure], str], ...] = (
        ("stations", "stations", "value", stations, "no station says how much floor it takes"),
        ("places", "places", "needed", places, "no places are given"),
        ("ways", "ways", "needed", ways, "no ways are given"),
        ("stock needed", "stock that the flow needs", "needed", [needed for needed, _ in areas], _UNSAID),
        ("stock beyond", "stock beyond that", "ahead", [beyond for _, beyond in areas], _UNSAID),
        ("red-tagged", "red-tagged things", "extra", tagged, "nothing is red-tagged"),
    )
    rows: list[Entry] = [
        (key, words, kind, total(f"floor taken / {words}", parts, "m2", why_none=none), tuple(parts))
        for key, words, kind, parts, none in table
    ]
    if floor is not None:
        return close("floor", "Floor", givens.figure(("floor", "total")), rows)
    whole = total("floor / what is known to stand on it", (amount for *_, amount, _ in rows), "m2")
    return close(
        "floor",
        "Floor",
        whole,
        rows,
        notes=("The floor that is paid for is not given: only what is known to stand on it is counted.",),
    )


def container_of(flow: Flow, stock: Stock) -> tuple[tuple[str | int, ...], Container] | None:
    """In what does a stock lie? The container of its store, else that of the part, with its place in the file."""
    if stock.store is not None and flow.line.stores[stock.store].container is not None:
        container = flow.line.stores[stock.store].container
        return None if container is None else (("stores", stock.store, "container"), container)
    if stock.part is not None:
        container = flow.line.parts[stock.part].container
        return None if container is None else (("parts", stock.part, "container"), container)
    return None


def stock_area(flow: Flow, stock: Stock) -> tuple[Figure, Figure] | None:
    """How much floor does the needed part of a stock take, and how much the rest (m²)? None where its containers are not given.

    Whole containers, stacked as high as allowed; a queue that grows without end takes the floor of what was counted, or none.
    """
    found = container_of(flow, stock)
    if found is None or not np.isfinite(stock.held.value):
        return None
    path, container = found
    holds = flow.givens.number((*path, "holds"), container.holds, "pieces/container")
    stack = flow.givens.number((*path, "stack"), container.stack, "containers")
    each = flow.givens.figure((*path, "floor"))
    whole = derive(
        f"floor of stock / {stock.words}",
        area_of,
        stock.held,
        holds,
        stack,
        each,
        unit="m2",
        formula="containers, rounded up, / stacked on each other, rounded up, x floor of one",
    )
    needed = derive(
        f"floor / stock needed / {stock.words}",
        # A draw without end takes no floor, so that nothing of it is needed either.
        lambda held, wanted, *rest: area_of(np.where(np.isfinite(held), np.minimum(held, wanted), 0.0), *rest),
        stock.held,
        stock.needed,
        holds,
        stack,
        each,
        unit="m2",
        formula="the same of the lower of stock held and stock needed",
    )
    beyond = derive(
        f"floor / stock beyond / {stock.words}",
        lambda a, n: a - n,
        whole,
        needed,
        unit="m2",
        formula="floor of all the stock - floor of what is needed",
    )
    return needed, beyond


def area_of(pieces: Any, holds: Any, stack: Any, each: Any) -> Any:
    """How much floor do so many pieces take (m²)? Whole containers that hold `holds`, stacked `stack` high, each on `each` m².

    A draw without end stands for a queue that nobody has counted: it is not floor.

    >>> float(area_of(300.0, 100, 1, 1.5)), float(area_of(np.array([121.0]), 40, 3, 1.2)[0])
    (4.5, 2.4)
    """
    finite = np.where(np.isfinite(pieces), pieces, 0.0)
    return np.ceil(np.ceil(finite / holds - 1e-9) / stack - 1e-9) * each
