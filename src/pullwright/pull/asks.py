"""What the parts of a plan ask for of the floor and the cash, in place of what lies there today."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from pullwright.account.ground import Ground
from pullwright.account.worth import cost_of_piece
from pullwright.figure import derive
from pullwright.pull.fit.side import Asks

if TYPE_CHECKING:
    from pullwright.pull.cards.card import Card, Cards
    from pullwright.pull.deliveries.of_line import Deliveries


def asks_of(ground: Ground, cards: Cards | None, deliveries: Deliveries | None) -> tuple[Asks, ...]:
    """What do the planned deliveries and the loops of cards ask for?

    Parts: the floor of a lot with what still lies there when it comes, and the money in half a lot and in that. Loops: floor and money of all
    pieces on their cards; a loop that no number of cards keeps up asks for nothing. A part of the plan that is not there (None) leaves today's stock in its place. Returns one `Asks` a place, for `fit_of`.
    """
    found = [] if deliveries is None else list(_of_parts(ground, deliveries))
    return (*found, *(() if cards is None else _of_loops(ground, cards)))


def _of_parts(ground: Ground, deliveries: Deliveries) -> Iterator[Asks]:
    stocks = {stock.words for stock in ground.stocks}
    for part in deliveries.parts:
        if part.name not in stocks:
            continue
        price = ground.flow.givens.figure(("parts", part.part, "price"))
        cash = derive(
            f"plan / money in stock / {part.name}", lambda q, s, p: (q / 2 + s) * p, part.planned.lot, part.planned.on_arrival, price,
            unit="money", formula="(lot / 2 + stock on arrival) x price",
        )  # fmt: skip
        yield Asks(f"{part.name}, as planned", part.planned.floor, None, cash, (part.name,))


def _of_loops(ground: Ground, cards: Cards) -> Iterator[Asks]:
    stocks = {stock.words: stock for stock in ground.stocks}
    beside: dict[str, list[Card]] = {}
    for card in cards.loops:
        if card.kind != "withdrawal" and card.place in stocks:
            beside.setdefault(card.place, []).append(card)
    for place, loops in beside.items():
        if not all(np.isfinite(card.pieces.value) for card in loops):
            continue  # no number of cards keeps up there: what lies there today stands in its place
        cost = cost_of_piece(ground.flow, ground.contents, ground.wage, stocks[place])
        pieces = [card.pieces for card in loops]
        cash = derive(
            f"plan / money in stock / {place}", lambda w, *n: sum(n) * w, cost, *pieces, unit="money",
            formula="pieces on the cards x what a piece has cost",
        )  # fmt: skip
        floors = [card.floor for card in loops if card.floor is not None]
        floor = (
            derive(f"plan / floor / {place}", lambda *area: sum(area), *floors, unit="m2", formula="sum over its loops")
            if len(floors) == len(loops)
            else None
        )
        yield Asks(f"{place}, on its cards", floor, None, cash, (place,))
