"""The cash of the horizon as a closed account of figures: what came in and went out on average, each row with its why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.account import Accounts
from pullwright.account.rows import total
from pullwright.account.terms import delivery_cost, supplier_of
from pullwright.figure import Figure, Source, derive, from_readings, given
from pullwright.forecast.money.dates import Horizon, Term
from pullwright.forecast.money.day_book import DayBook, Numbers
from pullwright.forecast.money.month import paid_time
from pullwright.forecast.money.statement import ROWS, RowKey
from pullwright.forecast.money.sureness import in_runs
from pullwright.forecast.money.terms import CashTerms, cash_terms


@dataclass(frozen=True)
class CashAccount:
    """Cash at the start + all rows = cash at the end of the horizon, on average over the runs; money, in above 0, out below 0.

    Every row is a figure that goes down to the fields of the line file and to what the runs did. Its interval is that of the mean over the
    runs and of what is not known well of prices; how far single runs lie apart the bands say.
    """

    opening: Figure
    rows: dict[RowKey, Figure]
    closing: Figure


def cash_account(book: DayBook, accounts: Accounts, *, start: dt.date) -> CashAccount:
    """What was cash paid for in the horizon, and why that much?

    Parameters: `book` of all runs and the `start` of them, as for `statement_of`, at the values of the line file. Its rows are the means of
    those of the statement. Errors: CannotCount where the file says too little.
    """
    terms = cash_terms(accounts)
    horizon = Horizon(terms.calendar, start, book.days)
    return _Closing(book.by_run().one_delivery_a_day(terms.without_lot), accounts, terms, horizon).account()


@dataclass(frozen=True)
class _Closing:
    book: DayBook
    accounts: Accounts
    terms: CashTerms
    horizon: Horizon

    def account(self) -> CashAccount:
        makers: dict[RowKey, Callable[[], Iterable[Figure]]] = {
            "deposits": self.deposits,
            "customers": self.customers,
            "customers before": self.customers_before,
            "parts": self.parts,
            "parts before": self.parts_before,
            "deliveries": self.deliveries,
            "deliveries before": self.deliveries_before,
            "wages": lambda: self.wages(before=False),
            "wages before": lambda: self.wages(before=True),
            "rent": self.rent,
            "fixed": self.fixed,
        }
        rows = {
            key: total(f"cash / {words}", makers[key](), "money", formula, "nothing of it is paid in the horizon")
            for key, (words, formula) in ROWS.items()
        }
        opening = self.given("money", "cash")
        closing = derive(
            "cash at the end",
            lambda *v: sum(v),
            opening,
            *rows.values(),
            unit="money",
            formula="cash at the start + all rows",
        )
        return CashAccount(opening, rows, closing)

    def given(self, *path: str | int) -> Figure:
        return self.accounts.flow.givens.figure(path)

    # --- customers --------------------------------------------------------------------------------------------------

    def products(self) -> list[tuple[int, str, tuple[Figure, ...]]]:
        """Products with a price: index, name, and what a unit brings after shipping."""
        deposit = () if self.terms.deposit == 0 else (self.given("money", "deposit"),)
        return [
            (k, product.name, (self.given("products", k, "price"), *deposit))
            for k, product in enumerate(self.accounts.flow.line.products)
            if product.price is not None
        ]

    def deposits(self) -> Iterable[Figure]:
        if self.terms.deposit == 0:
            return
        for k, name, (price, deposit) in self.products():
            units = self.counted(f"units ordered / {name}", self.book.ordered[..., k], Term(0), "units")
            yield derive(
                f"cash / with the order / {name}", lambda n, p, d: n * p * d, units, price, deposit,
                unit="money", formula="units x price x deposit",
            )  # fmt: skip

    def customers(self) -> Iterable[Figure]:
        for k, name, brings in self.products():
            units = self.counted(f"units paid for / {name}", self.book.shipped[..., k], self.terms.customers, "units")
            yield _paid(f"cash / after shipping / {name}", brings, units)

    def customers_before(self) -> Iterable[Figure]:
        flow = self.accounts.flow
        days = self.days_before("customers", self.terms.customers)
        for k, name, brings in self.products():
            yield _paid(f"cash / shipped before the start / {name}", brings, flow.rates.products[k], flow.made, days)

    # --- suppliers --------------------------------------------------------------------------------------------------

    def parts(self) -> Iterable[Figure]:
        for q, part in enumerate(self.accounts.flow.line.parts):
            pieces = self.counted(
                f"pieces paid for / {part.name}", self.book.received[..., q], self.terms.suppliers[q], "pieces"
            )
            yield _spent(f"cash / parts / {part.name}", pieces, self.given("parts", q, "price"))

    def parts_before(self) -> Iterable[Figure]:
        for one in self.accounts.ground.parts:
            name = self.accounts.flow.line.parts[one.part].name
            days = self.days_before(name, self.terms.suppliers[one.part])
            price = self.given("parts", one.part, "price")
            yield _spent(f"cash / parts before the start / {name}", one.bought, price, days)

    def deliveries(self) -> Iterable[Figure]:
        line = self.accounts.flow.line
        for q, part in enumerate(line.parts):
            at = supplier_of(line, q)
            if at is not None and line.suppliers[at].per_delivery is not None:
                number = self.counted(
                    f"deliveries paid for / {part.name}",
                    self.book.deliveries[..., q],
                    self.terms.suppliers[q],
                    "deliveries",
                )
                yield _spent(f"cash / deliveries / {part.name}", number, self.given("suppliers", at, "per_delivery"))

    def deliveries_before(self) -> Iterable[Figure]:
        for one in self.accounts.ground.parts:
            name = self.accounts.flow.line.parts[one.part].name
            cost = delivery_cost(self.accounts.flow, one)
            if cost is not None:
                days = self.days_before(name, self.terms.suppliers[one.part])
                yield _spent(f"cash / deliveries before the start / {name}", cost, days)

    # --- by the month -----------------------------------------------------------------------------------------------

    def wages(self, *, before: bool) -> Iterable[Figure]:
        when = "before the start" if before else "of the horizon"
        for c, crew in enumerate(self.accounts.flow.line.people):
            seconds = paid_time(self.terms.crews[c], self.horizon, before=before)
            source = Source("computed", f"paid time {when} up to the last pay day in it, from the calendar")
            hours = given(f"paid time {when} / {crew.name}", crew.number * seconds, "person-s", source)
            wage = self.accounts.ground.wage if crew.wage is None else self.given("people", c, "wage")
            yield _spent(f"cash / wages {when} / {crew.name}", hours, wage)

    def rent(self) -> Iterable[Figure]:
        months = self.months("rent days", self.horizon.firsts)
        floor, rent = self.accounts.floor.whole, self.accounts.ground.rent
        yield derive(
            "cash / rent paid", lambda n, a, r: -n * a * r / 12, months, floor, rent,
            unit="money", formula="- firsts of a month x floor x rent of a year / 12",
        )  # fmt: skip

    def fixed(self) -> Iterable[Figure]:
        money = self.accounts.flow.line.money
        if money is None or money.fixed_costs is None:
            return
        yield derive(
            "cash / fixed costs paid", lambda n, f: -n * f / 12, self.months("ends of a month", self.horizon.lasts),
            self.given("money", "fixed_costs"), unit="money", formula="- ends of a month x fixed costs of a year / 12",
        )  # fmt: skip

    # --- counting ---------------------------------------------------------------------------------------------------

    def counted(self, name: str, by_day: Numbers, term: Term, unit: str) -> Figure:
        """How many of what the runs did on each day (R, D) are paid for in the horizon, on average?"""
        by_run = by_day[:, self.horizon.due(term) < self.horizon.days].sum(axis=1)
        said = f"mean of {in_runs(by_run.size)}, of the days whose term of {_words(term)} ends in the horizon"
        return from_readings(name, by_run.tolist(), unit, Source("computed", said))

    def days_before(self, whose: str, term: Term) -> Figure:
        days = np.count_nonzero(self.horizon.due_from_before(term) < self.horizon.days)
        said = f"working days before {self.horizon.start} whose term of {_words(term)} ends in the horizon"
        return given(f"working days before the start / {whose}", float(days), "wd", Source("computed", said))

    def months(self, name: str, days: NDArray[np.int64]) -> Figure:
        said = f"{name} from {self.horizon.start} to {self.horizon.date(self.horizon.days - 1)}"
        return given(name, float(days.size), "1", Source("computed", said))


def _words(term: Term) -> str:
    return f"{term.days} {'working' if term.working else 'calendar'} days"


def _paid(name: str, brings: tuple[Figure, ...], *many: Figure) -> Figure:
    """Units x price x (1 - deposit)."""
    price, *deposit = brings
    return derive(
        name,
        lambda p, *v: p * (1 - sum(v[len(many) :])) * np.prod(np.broadcast_arrays(*v[: len(many)]), axis=0),
        price,
        *many,
        *deposit,
        unit="money",
        formula="price x " + ("units" if len(many) == 1 else "demand, as far as made, x working days")
        + (" x (1 - deposit)" if deposit else ""),
    )  # fmt: skip


def _spent(name: str, *factors: Figure) -> Figure:
    return derive(
        name,
        lambda *v: -np.prod(np.broadcast_arrays(*v), axis=0),
        *factors,
        unit="money",
        formula="- " + " x ".join(figure.name for figure in factors),
    )
