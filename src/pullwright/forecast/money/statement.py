"""The cash of runs, day by day: a closed statement in which every payment stands in exactly one row."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pullwright.forecast.money.dates import Horizon, Term
from pullwright.forecast.money.day_book import DayBook
from pullwright.forecast.money.month import fixed_by_day, rent_by_day, wages_of
from pullwright.forecast.money.terms import Before, CashTerms

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
RowKey = Literal[
    "deposits", "customers", "customers before", "parts", "parts before", "deliveries", "deliveries before",
    "wages", "wages before", "rent", "fixed",
]  # fmt: skip

ROWS: dict[RowKey, tuple[str, str]] = {
    "deposits": ("paid by customers with the order", "ordered x price x deposit, on the day of the order"),
    "customers": ("paid by customers after shipping", "shipped x price x (1 - deposit), after their term"),
    "customers before": (
        "paid by customers for what was shipped before the start",
        "sold a day x price x (1 - deposit), for each working day whose term ends in the horizon",
    ),
    "parts": ("paid for parts", "- received x price, after the term of the supplier, else of the line"),
    "parts before": (
        "paid for parts that came before the start",
        "- bought a day x price, for each working day whose term ends in the horizon",
    ),
    "deliveries": ("paid for deliveries besides the goods", "- deliveries x cost of one, with the goods"),
    "deliveries before": (
        "paid for deliveries before the start",
        "- cost of a day's deliveries, for each working day whose term ends in the horizon",
    ),
    "wages": ("wages", "- people x paid time x wage, crew by crew, on the last working day of the month"),
    "wages before": (
        "wages earned before the start",
        "- the same for the days since the last pay day before the start",
    ),
    "rent": ("rent", "- floor x rent of a year / 12, on the first of the month"),
    "fixed": ("fixed costs", "- fixed costs of a year / 12, on the last day of the month"),
}
"""key: words, formula. Money comes in above 0 and goes out below 0."""
_BY_RUN = frozenset({"deposits", "customers", "parts", "deliveries"})


@dataclass(frozen=True)
class Statement:
    """Cash through time. R runs, C calendar days from the start; money, in above 0, out below 0.

    `opening` (R,): cash in hand at the start. `rows`: each kind of payment by run and day (R, C), with its words and formula in `ROWS`.
    `arising`: the same amounts on the day on which they came to be owed. `left` (R,): what is still owed at the end, of each kind. What is
    alike in all runs stands there once, with R = 1.
    """

    horizon: Horizon
    opening: Floats
    rows: Mapping[RowKey, Floats]
    arising: Mapping[RowKey, Floats]
    left: Mapping[RowKey, Floats]
    notes: tuple[str, ...] = ()

    @classmethod
    def stacked(cls, statements: Sequence[Statement]) -> Statement:
        """Put statements of the same days together, such as those of runs with other terms each; ValueError where their days differ."""
        if len({(one.horizon.start, one.horizon.working_days) for one in statements}) != 1:
            raise ValueError(
                "statements of other days each, or none, were read; give one or more that start and end together"
            )

        def row(key: RowKey, of: str) -> Floats:
            found = [getattr(one, of)[key] for one in statements]
            return np.concatenate(
                [np.broadcast_to(a, (one.runs, *a.shape[1:])) for a, one in zip(found, statements, strict=True)]
            )

        opening = [np.broadcast_to(one.opening, one.runs) for one in statements]
        rows, arising, left = ({key: row(key, of) for key in ROWS} for of in ("rows", "arising", "left"))
        return cls(statements[0].horizon, np.concatenate(opening), rows, arising, left, statements[0].notes)

    @property
    def runs(self) -> int:
        """How many runs."""
        return int(self.rows["customers"].shape[0])

    @cached_property
    def net(self) -> Floats:
        """By how much cash has changed since the start, at the end of each day (R, C)."""
        paid = np.zeros((self.runs, self.horizon.days))
        for row in self.rows.values():
            paid += row
        return np.cumsum(paid, axis=1)

    @cached_property
    def cash(self) -> Floats:
        """Cash at the end of each day (R, C)."""
        return self.opening[:, None] + self.net

    @cached_property
    def low(self) -> Floats:
        """The lowest cash of each run (R,)."""
        low: Floats = self.cash.min(axis=1)
        return low

    @cached_property
    def low_day(self) -> Ints:
        """The day of it (R,), the first one where there are several."""
        day: Ints = np.argmin(self.cash, axis=1)
        return day

    @cached_property
    def dry(self) -> NDArray[np.bool_]:
        """Did the run ever end a day with less than nothing (R,)?"""
        return self.low < 0

    @cached_property
    def needed(self) -> Floats:
        """Cash at the start with which each run would just not have run dry (R,), 0 where it needs none."""
        needed: Floats = np.maximum(-self.net.min(axis=1), 0.0)
        return needed

    def owed(self, key: RowKey) -> Floats:
        """What is owed of one kind at the end of each day (R, C): above 0 to us, below 0 by us.

        Where it arose before the start all of it is owed from the first day on until it is paid. A deposit is paid as it arises.
        """
        arisen = np.cumsum(self.arising[key], axis=1)
        opening = (self.rows[key].sum(axis=1) + self.left[key] - self.arising[key].sum(axis=1))[:, None]
        owed: Floats = opening + arisen - np.cumsum(self.rows[key], axis=1)
        return owed


def statement_of(
    book: DayBook, terms: CashTerms, *, start: dt.date, cash: float | None = None, before: Before | None = None
) -> Statement:
    """How much cash is there on each day of these runs, and what was it paid for?

    Parameters: `book` of one run or of many of the same length; `terms` of the line (`cash_terms`); `start`, the date on which the runs begin
    (see `usual_start`); `cash` in hand then, and what ran `before`, where they are not to be those of the terms.
    Result: a statement with money by run and calendar day; what is assumed stands in `ASSUMED`.
    Errors: ValueError where the book has not the products and parts of the terms.
    """
    book = book.by_run()
    if book.shipped.shape[-1] != terms.price.size or book.used.shape[-1] != terms.part_price.size:
        raise ValueError(
            f"a day book of {book.shipped.shape[-1]} products and {book.used.shape[-1]} parts was read, and the line has "
            f"{terms.price.size} and {terms.part_price.size}; give the book of a run of this line"
        )
    return _Writing(
        book.one_delivery_a_day(terms.without_lot), terms, Horizon(terms.calendar, start, book.days)
    ).statement(terms.cash if cash is None else cash, terms.before if before is None else before)


class _Writing:
    def __init__(self, book: DayBook, terms: CashTerms, horizon: Horizon) -> None:
        self.book, self.terms, self.horizon = book, terms, horizon
        runs: dict[RowKey, int] = {key: book.runs if key in _BY_RUN else 1 for key in ROWS}
        self.rows = {key: np.zeros((many, horizon.days)) for key, many in runs.items()}
        self.arising = {key: np.zeros((many, horizon.days)) for key, many in runs.items()}
        self.left = {key: np.zeros(many) for key, many in runs.items()}

    def statement(self, cash: float, before: Before) -> Statement:
        book, terms = self.book, self.terms
        self._owed_later("deposits", book.ordered @ (terms.price * terms.deposit), Term(0))
        after_shipping = terms.price * (1 - terms.deposit)
        self._owed_later("customers", book.shipped @ after_shipping, terms.customers)
        self._owed_before("customers before", float(before.sold @ after_shipping), terms.customers)
        for q, term in enumerate(terms.suppliers):
            self._owed_later("parts", -book.received[..., q] * terms.part_price[q], term)
            self._owed_before("parts before", -before.bought[q] * terms.part_price[q], term)
            self._owed_later("deliveries", -book.deliveries[..., q] * terms.per_delivery[q], term)
            self._owed_before("deliveries before", -before.deliveries[q], term)
        self._by_month()
        return Statement(self.horizon, np.array([cash]), self.rows, self.arising, self.left, terms.notes)

    def _owed_later(self, key: RowKey, amounts: Floats, term: Term) -> None:
        """Amounts (R, D) that arise on the working days of the run. No two of them fall due on one day, for a term keeps their order."""
        due = self.horizon.due(term)
        inside = due < self.horizon.days
        self.arising[key][:, self.horizon.worked] += amounts
        self.rows[key][:, due[inside]] += amounts[:, inside]
        self.left[key] += amounts[:, ~inside].sum(axis=1)

    def _owed_before(self, key: RowKey, a_day: float, term: Term) -> None:
        """So much a working day before the start."""
        due = self.horizon.due_from_before(term)
        inside = due < self.horizon.days
        self.rows[key][:, due[inside]] += a_day
        self.left[key] += a_day * np.count_nonzero(~inside)

    def _by_month(self) -> None:
        wages = wages_of(self.terms, self.horizon)
        self.arising["wages"] -= wages.earned
        self.rows["wages"] -= wages.paid
        self.rows["wages before"] -= wages.paid_before
        self.left["wages"] -= wages.left
        self.left["wages before"] -= wages.left_before
        for by_day in (self.rows, self.arising):
            by_day["rent"] -= rent_by_day(self.terms, self.horizon)
            by_day["fixed"] -= fixed_by_day(self.terms, self.horizon)
