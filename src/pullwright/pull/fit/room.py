"""The floor that a plan takes against the floor that there is."""

from __future__ import annotations

from collections.abc import Sequence

from pullwright.account.floor import floor_account, stock_area
from pullwright.account.ground import Ground
from pullwright.figure import Figure
from pullwright.pull.fit.side import Asks, FitRow, Side, asked_rows, close_side, row_of

STANDING = ("stations", "places", "ways", "red-tagged")
"""Rows of the floor account that stand there whatever the plan is."""


def room_of(ground: Ground, asks: Sequence[Asks], instead: frozenset[str]) -> Side:
    """How much floor does the plan take, and how much is there (m2)?

    Stations, places, ways and red-tagged things as in the floor account; what the plan asks for; and today's stock, needed and beyond, wherever
    no part of the plan stands for it. What is left may hold what nobody has put on the list.
    """
    flow = ground.flow
    account = floor_account(ground)
    rows = [FitRow(row.words, row.amount, row.parts) for row in account.rows if row.key in STANDING]
    needed: list[Figure] = []
    beyond: list[Figure] = []
    for stock in ground.stocks:
        area = None if stock.words in instead else stock_area(flow, stock)
        if area is not None:
            needed.append(area[0])
            beyond.append(area[1])
    rows.append(
        row_of(
            "floor", "stock that today's flow needs", needed, "m2", "no stock with a container is left to today's flow"
        )
    )
    rows.append(row_of("floor", "stock beyond that", beyond, "m2", "no stock with a container is left to today's flow"))
    rows += asked_rows("floor", asks, "floor", "m2")
    there = None if flow.line.floor is None else flow.givens.figure(("floor", "total"))
    unsaid = "The floor that there is, is not given (`floor: total`)." if there is None else ""
    return close_side(
        "floor", there, rows, "m2", unsaid or "What is left may hold things that nobody has put on the list."
    )
