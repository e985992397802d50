"""Hours spent on carrying: every move of the line, and what is carried away and back because it does not fit."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow import Flow


def carrying_hours(flow: Flow) -> tuple[Figure, ...]:
    """How much person-time does each move take in a working day (person-s/wd)?

    Trips = pieces / batch; a trip takes distance / speed, there and back where nothing is said against it, and the handling.
    """
    return tuple(_move(flow, m) for m in range(len(flow.line.moves)))


def _speed(flow: Flow, m: int) -> Figure:
    move = flow.line.moves[m]
    return flow.givens.assumed("walking speed") if move.speed is None else flow.givens.figure(("moves", m, "speed"))


def _move(flow: Flow, m: int) -> Figure:
    move, givens = flow.line.moves[m], flow.givens
    pieces = moved_pieces(flow, m)
    batch = givens.number(("moves", m, "batch"), move.batch, "pieces")
    people = givens.number(("moves", m, "people"), move.people, "persons")
    handling = (givens.figure(("moves", m, "handling")),) if move.handling is not None else ()
    ways = 2 if move.back else 1
    return derive(
        f"carrying a day / {move.from_} to {move.to}", lambda p, b, n, d, v, *h: p / b * n * (ways * d / v + sum(h)),
        pieces, batch, people, givens.figure(("moves", m, "distance")), _speed(flow, m), *handling, unit="person-s/wd",
        formula=f"pieces a day / batch x people x ({'2 x ' if move.back else ''}distance / speed{' + handling' if handling else ''})",
    )  # fmt: skip


def moved_pieces(flow: Flow, m: int) -> Figure:
    """How many pieces go over a move in a working day?

    To a step: what the step takes fresh, as many of the piece moved as it takes for one of its own. To shipping: what is shipped. A part: what is used of it.
    """
    move = flow.line.moves[m]
    index = {step.name: i for i, step in enumerate(flow.line.steps)}
    if move.to == "shipping":
        return flow.shipped
    part = next((stock for stock in flow.stocks if stock.kind == "part" and stock.name == move.from_), None)
    if part is not None:
        return part.taken
    i = index[move.to]
    start = index.get(move.from_)
    inputs: list[Figure] = [flow.made]
    shapes: list[bool] = []
    for way, demand in zip(flow.rates.ways, flow.rates.way_demand, strict=True):
        if i not in way.fresh or (start is not None and start not in way.fresh):
            continue
        taking = next((one for one in flow.line.route.takes_for(way.products[0])[i] if one.step == start), None)
        quantity = None
        if taking is not None and taking.quantity is not None and taking.place is not None:
            quantity = flow.givens.figure(("steps", i, "after", taking.place, "quantity"), taking.quantity)
        inputs += [demand, way.fresh[i], *((quantity,) if quantity is not None else ())]
        shapes.append(quantity is not None)

    def pieces(made: Any, *values: Any) -> Any:
        found, k = 0.0 * made, 0
        for counted in shapes:
            found = found + values[k] * values[k + 1] * (values[k + 2] if counted else 1.0)
            k += 3 if counted else 2
        return found * made

    return derive(
        f"pieces moved a day / {move.from_} to {move.to}",
        pieces,
        *inputs,
        unit="pieces/wd",
        formula="demand, as far as made, x pieces taken fresh for one good unit",
    )


def overflow_hours(flow: Flow) -> tuple[Figure, ...]:
    """How much person-time goes into carrying away and back what does not fit its place (person-s/wd)?

    Of each delivery, what the place has no room for (delivery lot - capacity) travels twice; where no delivery lot is given, the share of the
    counted stock that lies outside its place does.
    """
    found = []
    for stock in flow.stocks:
        store = None if stock.store is None else flow.line.stores[stock.store]
        if store is None or store.overflow is None or stock.capacity is None or stock.store is None:
            continue
        path = ("stores", stock.store, "overflow")
        lot = stock.held
        if stock.part is not None and flow.line.parts[stock.part].delivery_lot is not None:
            lot = flow.givens.figure(("parts", stock.part, "delivery_lot"))
        share = derive(
            f"share without room / {stock.words}",
            lambda n, c: np.where(n > 0, np.maximum(n - c, 0.0) / np.maximum(n, 1e-12), 0.0),
            lot,
            stock.capacity,
            unit="share",
            formula="(lot - room) / lot, where that is above 0",
        )
        handling = (flow.givens.figure((*path, "handling")),) if store.overflow.handling is not None else ()
        batch = flow.givens.number((*path, "batch"), store.overflow.batch, "pieces")
        found.append(
            derive(
                f"carrying away and back a day / {stock.words}", lambda r, s, b, d, v, *h: r * s * 2 / b * (2 * d / v + sum(h)),
                stock.taken, share, batch, flow.givens.figure((*path, "distance")), flow.givens.assumed("walking speed"), *handling, unit="person-s/wd",
                formula="pieces used a day x share without room x 2 (away and back) / batch x (2 x distance / speed" + (" + handling)" if handling else ")"),
            )
        )  # fmt: skip
    return tuple(found)
