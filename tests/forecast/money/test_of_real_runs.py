"""Money and floor of runs that the event kernel made: its day book balances, and so does what is made of it."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from pullwright.account import accounts_of
from pullwright.forecast.layout import layout_of
from pullwright.forecast.money import (
    DayBook,
    bound_of,
    cash_account,
    cash_forecast,
    cash_terms,
    chain_of,
    floor_book,
    piece_costs,
    statement_of,
)
from pullwright.forecast.runs import runs_of
from pullwright.line import Line

LINE = """
line: brackets
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: bracket, demand: 20 /d, price: 20 EUR, uses: [{part: blank, quantity: 1, at: bend}, {part: screw, quantity: 2, at: fit}]}]
suppliers: [{name: smithy, paid_after: 10 cal d, per_delivery: 8 EUR}]
parts:
  - {name: blank, supplier: smithy, price: 5 EUR, delivery_lot: 60, lead_time: 2 d, container: {holds: 20, floor: 1 m2}}
  - {name: screw, supplier: smithy, price: 0.50 EUR}
stations: [{name: press, floor: 12 m2}, {name: bench, floor: 4 m2}]
steps:
  - {name: bend, station: press, manual: 15 min}
  - {name: fit, station: bench, manual: 18 min, scrap: 5 %}
stores:
  - {part: screw, counted: 100}
  - {part: blank, counted: 70}
people: [{name: crew, number: 2, wage: 18 EUR/h}]
floor: {total: 30 m2}
money: {cash: 9000 EUR, customers_pay_after: 20 cal d, floor_rent: 10 EUR/m2/month}
"""
START = dt.date(2026, 3, 2)
DAYS = 40


@pytest.fixture(scope="module")
def runs():
    line = Line.from_text(LINE)
    layout = layout_of(line)
    made = runs_of(layout.plant, numbers=range(20), until=DAYS * layout.day, day=layout.day, seed=7)
    return accounts_of(line), DayBook.of(made)


def test_parts_that_come_are_used_or_lie_there(runs):
    _, book = runs

    assert (book.runs, book.days) == (20, DAYS)
    at_first = np.array([70.0, 100.0])
    assert (at_first + np.cumsum(book.received - book.used, axis=1) == book.part_stock).all()


def test_the_statement_balances(runs):
    accounts, book = runs
    statement = statement_of(book, cash_terms(accounts), start=START)

    paid = sum(row.sum(axis=1) for row in statement.rows.values())
    assert statement.opening + paid == pytest.approx(statement.cash[:, -1])
    assert statement.rows["customers"].sum(axis=1) + statement.left["customers"] == pytest.approx(
        20 * book.shipped.sum(axis=(1, 2))
    )
    screws = 0.5 * np.maximum(book.used[..., 1].sum(axis=1) - 100, 0)
    blanks = 5 * book.received[..., 0].sum(axis=1)
    assert statement.rows["parts"].sum(axis=1) + statement.left["parts"] == pytest.approx(-screws - blanks)
    assert cash_account(book, accounts, start=START).closing.value == pytest.approx(statement.cash[:, -1].mean())


def test_screws_come_in_one_delivery_a_day_and_blanks_by_the_lot(runs):
    accounts, book = runs
    statement = statement_of(book, cash_terms(accounts), start=START)

    number = (book.received[..., 0] / 60).sum(axis=1) + (book.received[..., 1] > 0).sum(axis=1)
    # An order may be for several lots at once, and then they come together.
    costs = -(statement.rows["deliveries"].sum(axis=1) + statement.left["deliveries"]) / 8
    assert (costs <= number).all()
    assert costs == pytest.approx(book.deliveries[..., 0].sum(axis=1) + (book.received[..., 1] > 0).sum(axis=1))


def test_everything_can_be_asked_of_runs(runs):
    accounts, book = runs
    terms = cash_terms(accounts)
    statement = statement_of(book, terms, start=START)

    forecast = cash_forecast(statement, wished=0.1)
    chain = chain_of(book, terms, piece_costs(accounts, hands=False), warm=10)
    bound = bound_of(book, piece_costs(accounts), statement, terms)
    floor = floor_book(book, accounts)

    assert forecast.capital.runs_needed == 36
    assert not forecast.capital.promised
    assert 0 < chain.begun.value < chain.finished.value < chain.shipped.value + 1e-9 < chain.paid.value
    assert np.isfinite(bound.all).all()
    assert floor.area.shape == (20, DAYS)
    assert (floor.area >= 16).all()
