"""The cash that a plan takes against the cash that there is."""

from __future__ import annotations

from collections.abc import Sequence

from pullwright.account.ground import Ground
from pullwright.account.tied_up import tied_up_account
from pullwright.figure import Figure, derive
from pullwright.pull.fit.side import Asks, FitRow, Side, asked_rows, close_side, row_of

TERMS = ("owed to us", "owed by us", "paid ahead")
"""Rows of the cash account that follow from the terms, whatever the plan is."""


def purse_of(ground: Ground, asks: Sequence[Asks], instead: frozenset[str]) -> Side:
    """How much cash does the plan tie up, and how much is there (money)?

    There is: cash in hand today and all that today's way ties up. The plan takes: what it asks for, today's stock wherever no part of the
    plan stands for it, and what customers owe less what is owed to suppliers. What is left is the cash in hand once the plan stands; money in
    stock beyond what is needed comes back only as that stock is used up.
    """
    flow, money = ground.flow, ground.flow.line.money
    account = tied_up_account(ground)
    here = [one for one in ground.held if one.stock.words not in instead]
    why = "no stock is left to today's flow"
    rows = [
        row_of("cash", "stock that today's flow needs", [one.needed for one in here], "money", why),
        row_of("cash", "stock beyond that", [one.beyond for one in here], "money", why),
        *asked_rows("cash", asks, "cash", "money"),
        *(FitRow(row.words, row.amount, row.parts) for row in account.rows if row.key in TERMS),
    ]
    there: Figure | None = None
    if money is not None and money.cash is not None:
        there = derive(
            "fit / cash / there is",
            lambda cash, tied: cash + tied,
            flow.givens.figure(("money", "cash")),
            account.whole,
            unit="money",
            formula="cash in hand + cash that today's way ties up",
        )
    unsaid = "" if there is not None else "The cash in hand is not given (`money: cash`)."
    return close_side("cash", there, rows, "money", unsaid or "What is left is the cash in hand once the plan stands.")
