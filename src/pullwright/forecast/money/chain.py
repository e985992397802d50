"""The chain of one unit: how long from buying its material to being paid for it, and how many units' material is paid ahead meanwhile."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.figure import Figure, Source, derive, from_readings, given
from pullwright.forecast.money.day_book import DayBook
from pullwright.forecast.money.sureness import in_runs
from pullwright.forecast.money.terms import CashTerms
from pullwright.forecast.money.worth import PieceCosts

Floats = NDArray[np.float64]
_UNIT = "wd"


@dataclass(frozen=True)
class UnitChain:
    """One unit on its way from the delivery of its material to the money for it; working days, means over the runs.

    The legs: `in_parts` until its material is taken, `in_line` until it is finished, `in_store` until it is shipped, `until_paid` until customers
    have paid for it, what they paid ahead taken off. `paid_to_suppliers`: how long after the delivery its material is paid.
    `begun`, `finished`, `shipped`, `paid`: days since the delivery. `conversion`: from paying suppliers to being paid (cash conversion); below
    0 where customers pay for the material before suppliers are paid. `units`: so many units' material is paid ahead at any time, and
    `money`: what that is.
    """

    in_parts: Figure
    in_line: Figure
    in_store: Figure
    until_paid: Figure
    paid_to_suppliers: Figure
    begun: Figure
    finished: Figure
    shipped: Figure
    paid: Figure
    conversion: Figure
    units: Figure
    money: Figure

    @property
    def in_words(self) -> str:
        """The chain in a sentence."""
        legs = (self.begun, self.finished, self.shipped, self.paid, self.paid_to_suppliers)
        days = [figure.parts().value for figure in legs]
        ahead = self.conversion.value > 0
        return (
            f"Bought on day 0, begun on day {days[0]}, finished on day {days[1]}, shipped on day {days[2]}, paid by the customer on day {days[3]}; "
            f"its material is paid on day {days[4]}: "
            + (
                f"the material of {self.units.parts().value} units is paid ahead."
                if ahead
                else "each sold unit pays for the next one's."
            )
        )


def chain_of(book: DayBook, terms: CashTerms, material: PieceCosts, *, warm: int = 0) -> UnitChain:
    """How long is money under way in one unit, and how many units' material must be paid ahead?

    Parameters: `book` of all runs; `material` that is in a piece, `piece_costs(accounts, hands=False)`; `warm`, working days at the start of the
    runs that do not count.
    Each leg is what lies there over what goes through in a day (Little 1961), both as the price of the parts that a product takes, so that
    dear ones count for more: parts in stock and those in the pieces of the line over parts used. Where nothing is bought, pieces in the line over units
    finished. Units in the store over units shipped. Cash conversion = days of stock + days until customers pay - days until suppliers are
    paid (Richards & Laughlin 1980, Financial Management 9; from memory).
    """
    book = book.by_run()
    if not 0 <= warm < book.days:
        raise ValueError(f"a warm-up of {warm} days was read for runs of {book.days}; leave one day or more")
    mean = _Means(book, warm)
    price = terms.part_price * terms.taken
    used = mean.used @ price
    before = mean.lying[:, :-2]
    in_pieces = before @ material.before + (mean.lying[:, -1] - before.sum(axis=1)) * material.working
    buys = material.finished > 0
    legs = {
        "in parts": (_over(mean.part_stock @ price, used), "price of the parts that lie there / price of those used a day"),
        "in the line": (
            _over(in_pieces, used) if buys else _over(mean.lying[:, -1], mean.finished),
            "price of the parts in the pieces of the line / price of those used a day" if buys else "pieces in the line / units finished a day",
        ),
        "in the finished store": (_over(mean.lying[:, -2], mean.shipped), "units in the store / units shipped a day"),
        "until customers have paid": (
            terms.customer_days * (1 - terms.deposit)
            - terms.deposit * np.where(mean.shipped > 0, _over(mean.open_orders, mean.shipped), 0.0),
            "term x (1 - deposit) - deposit x orders that wait / units shipped a day",
        ),
        "until suppliers are paid": (_over(mean.used @ (price * terms.supplier_days), used), "mean of the terms, by the price of what is used"),
    }  # fmt: skip
    in_parts, in_line, in_store, until_paid, to_suppliers = (
        _leg(f"chain / {name}", by_run, _UNIT, formula) for name, (by_run, formula) in legs.items()
    )
    begun = _sum("chain / begun", in_parts)
    finished = _sum("chain / finished", in_parts, in_line)
    shipped = _sum("chain / shipped", in_parts, in_line, in_store)
    paid = _sum("chain / paid by the customer", in_parts, in_line, in_store, until_paid)
    conversion = derive(
        "cash conversion",
        lambda p, s: p - s,
        paid,
        to_suppliers,
        unit=_UNIT,
        formula="paid by the customer - paid to suppliers, days since the delivery",
    )
    rate = _leg("units shipped a day", mean.shipped, "units/wd", "units shipped / working days")
    in_one = _leg(
        "material of a unit",
        _over(used, mean.finished),
        "money/unit",
        "price of the parts used a day / units finished a day",
    )
    units = derive(
        "units whose material is paid ahead",
        _paid_ahead,
        conversion,
        rate,
        unit="units",
        formula="cash conversion x units shipped a day, where it is above 0",
    )
    money = derive(
        "material paid ahead", _paid_ahead, units, in_one, unit="money", formula="units x material of a unit"
    )
    return UnitChain(
        in_parts, in_line, in_store, until_paid, to_suppliers, begun, finished, shipped, paid, conversion, units, money
    )


class _Means:
    """Means over the days that count, run by run; of stock at the end of the day."""

    def __init__(self, book: DayBook, warm: int) -> None:
        def days(by_day: NDArray[np.float64] | NDArray[np.int64]) -> Floats:
            return np.asarray(by_day[:, warm:].mean(axis=1), float)

        self.part_stock, self.used = days(book.part_stock), days(book.used)
        self.lying = days(book.lying_by_day)
        self.finished, self.shipped = days(book.finished).sum(axis=1), days(book.shipped).sum(axis=1)
        waiting = np.cumsum(np.asarray(book.ordered) - np.asarray(book.shipped), axis=1)
        self.open_orders = days(np.maximum(waiting, 0)).sum(axis=1)


def _over(lies: Floats, a_day: Floats) -> Floats:
    """How many days what lies there lasts; what nobody takes lasts for ever."""
    return np.where(lies > 0, np.where(a_day > 0, lies / np.where(a_day > 0, a_day, 1.0), inf), 0.0)


def _paid_ahead(many: Any, each: Any) -> Any:
    """What never comes back is paid ahead without end."""
    finite = np.isfinite(many)
    return np.where(finite, np.maximum(np.where(finite, many, 0.0) * each, 0.0), inf)


def _leg(name: str, by_run: Floats | float, unit: str, formula: str) -> Figure:
    values = np.atleast_1d(by_run)
    source = Source("computed", f"{formula}; mean of {in_runs(values.size)}")
    if not np.isfinite(values).all():
        return given(name, inf, unit, source, note="in a run nothing of it was taken at all")
    return from_readings(name, values.tolist(), unit, source)


def _sum(name: str, *legs: Figure) -> Figure:
    return derive(name, lambda *v: sum(v), *legs, unit=_UNIT, formula="sum of the legs so far")
