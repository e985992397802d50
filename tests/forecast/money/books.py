"""Lines and day books written by hand: a small line with money, and what its days are."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pullwright.account import Accounts, accounts_of
from pullwright.forecast.money import DayBook
from pullwright.line import Line

MONDAY = dt.date(2026, 3, 2)


def line_text(
    money: str = "cash: 1000 EUR",
    *,
    calendar: str = "shifts: [{name: day, from: '06:00', to: '14:00'}]",
    product: str = "price: 20 EUR",
    part: str = "delivery_lot: 20",
    supplier: str = "",
    people: str = "",
    more: str = "",
) -> str:
    """Ten brackets a working day of one blank of 5 EUR, bent in 20 minutes."""
    return f"""
line: brackets
calendar: {{{calendar}}}
products: [{{name: bracket, demand: {{mean: 10 /d, cv: 0}}, uses: [{{part: blank, quantity: 1, at: bend}}], {product}}}]
suppliers: [{{name: smithy{supplier and ", " + supplier}}}]
parts: [{{name: blank, supplier: smithy, price: 5 EUR{part and ", " + part}}}]
stations: [{{name: press, floor: 12 m2}}]
steps: [{{name: bend, station: press, manual: 20 min}}]
{f"people: [{people}]" if people else ""}
{f"money: {{{money}}}" if money else ""}
{more}
"""


def accounts(*args: str, **more: str) -> Accounts:
    return accounts_of(Line.from_text(line_text(*args, **more)))


def book_of(
    shipped: Sequence[int],
    *,
    ordered: Sequence[int] | None = None,
    received: Sequence[int] | None = None,
    used: Sequence[int] | None = None,
    part_stock: Sequence[int] | None = None,
    lying: Sequence[Sequence[int]] | None = None,
    lot: int = 20,
) -> DayBook:
    """The days of one run of one product, one step and one part; what is not said is what ships, and nothing that lies there."""

    def column(numbers: Sequence[int]) -> NDArray[np.int64]:
        return np.array(numbers, np.int64).reshape(-1, 1)

    days = len(shipped)
    comes = [0] * days if received is None else received
    return DayBook(
        finished=column(shipped),
        ordered=column(shipped if ordered is None else ordered),
        shipped=column(shipped),
        scrapped=column([0] * days),
        used=column(shipped if used is None else used),
        received=column(comes),
        deliveries=column([one // lot for one in comes]),
        part_stock=column([0] * days if part_stock is None else part_stock),
        lying_by_day=np.array([[0, 0, 0]] * days if lying is None else lying),
    )
