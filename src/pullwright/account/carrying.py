"""Hours spent on carrying: every move of the line, and what is carried away and back because it does not fit."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.account.moved import moved_pieces
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stock import Stock


def carrying_hours(flow: Flow) -> tuple[Figure, ...]:
    """How much person-time does each move take in a working day (person-s/wd)?

    Trips = pieces / batch; a trip takes distance / speed, there and back where nothing is said against it, and the handling.
    """
    return tuple(_move(flow, m) for m in range(len(flow.line.moves)))


def _move(flow: Flow, m: int) -> Figure:
    move, givens = flow.line.moves[m], flow.givens
    handling = (givens.figure(("moves", m, "handling")),) if move.handling is not None else ()
    speed = givens.assumed("walking speed") if move.speed is None else givens.figure(("moves", m, "speed"))
    ways = 2 if move.back else 1
    return derive(
        f"carrying a day / {move.from_} to {move.to}",
        lambda p, b, n, d, v, *h: p / b * n * (ways * d / v + sum(h)),
        moved_pieces(flow, m),
        givens.number(("moves", m, "batch"), move.batch, "pieces"),
        givens.number(("moves", m, "people"), move.people, "persons"),
        givens.figure(("moves", m, "distance")),
        speed,
        *handling,
        unit="person-s/wd",
        formula=f"pieces a day / batch x people x ({'2 x ' if move.back else ''}distance / speed{' + handling' if handling else ''})",
    )


def overflow_hours(flow: Flow) -> tuple[Figure, ...]:
    """How much person-time goes into carrying away and back what does not fit its place (person-s/wd)?

    The share of the pieces that find no room is that of a delivery, (delivery lot - room) / lot, or that of the counted stock,
    (counted - room) / counted, whichever is larger. Each of them travels twice: away and back.
    """
    return tuple(figure for stock in flow.stocks if (figure := _overflow(flow, stock)) is not None)


def _overflow(flow: Flow, stock: Stock) -> Figure | None:
    store = None if stock.store is None else flow.line.stores[stock.store]
    if store is None or store.overflow is None or stock.capacity is None or stock.store is None:
        return None
    path, givens = ("stores", stock.store, "overflow"), flow.givens
    handling = (givens.figure((*path, "handling")),) if store.overflow.handling is not None else ()
    return derive(
        f"carrying away and back a day / {stock.words}",
        lambda r, s, *trip: r * s * away_and_back(*trip),
        stock.taken,
        share_without_room(flow, stock, stock.capacity),
        givens.number((*path, "batch"), store.overflow.batch, "pieces"),
        givens.figure((*path, "distance")),
        givens.assumed("walking speed"),
        *handling,
        unit="person-s/wd",
        formula="pieces used a day x share without room x 2 (away and back) / batch x (2 x distance / speed"
        + (" + handling)" if handling else ")"),
    )


def away_and_back(batch: Any, distance: Any, speed: Any, handling: Any = 0.0) -> Any:
    """How long does it take to carry a piece away and back again (person-s/piece)? Two trips, each there and back empty, shared by a batch.

    `batch` pieces are carried at a time over `distance` (m, one way) at `speed` (m/s); `handling` (s): to take up and put down a batch.

    >>> away_and_back(25, 45.0, 1.0, 60.0)
    12.0
    """
    return 2 / batch * (2 * distance / speed + handling)


def share_without_room(flow: Flow, stock: Stock, room: Figure) -> Figure:
    """Which share of the pieces finds no room in its place?"""
    lots: dict[str, Figure] = {}
    if stock.part is not None and flow.line.parts[stock.part].delivery_lot is not None:
        lots["delivery lot"] = flow.givens.figure(("parts", stock.part, "delivery_lot"))
    if stock.counted is not None or not lots:
        lots["stock held"] = stock.held
    words = " or ".join(f"({said} - room) / {said}" for said in lots)
    return derive(
        f"share without room / {stock.words}",
        lambda c, *n: np.maximum.reduce([_outside(one, c) for one in n]),
        room,
        *lots.values(),
        unit="share",
        formula=f"{words}, where that is above 0" + (", the larger one" if len(lots) > 1 else ""),
    )


def _outside(pieces: Any, room: Any) -> Any:
    """A queue without end that nobody has counted is not there yet: nobody carries it."""
    finite = np.where(np.isfinite(pieces), pieces, 0.0)
    return np.where(finite > 0, np.maximum(finite - room, 0.0) / np.maximum(finite, 1e-12), 0.0)
