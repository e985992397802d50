"""The chain of one unit: bought, begun, finished, shipped, paid."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from pullwright.account import Accounts, accounts_of
from pullwright.forecast.money import DayBook, UnitChain, cash_terms, chain_of, piece_costs
from pullwright.line import Line
from tests.forecast.money.books import accounts, book_of


def chain(book: DayBook, line: Accounts, warm: int = 0) -> UnitChain:
    return chain_of(book, cash_terms(line), piece_costs(line, hands=False), warm=warm)


def steady(days: int = 10) -> DayBook:
    """Ten a day of everything; 40 blanks, 25 pieces in the line and 15 finished ones lie there."""
    return book_of(
        [10] * days, received=[20, 0] * (days // 2), part_stock=[40] * days, lying=[[0, 15, 25]] * days
    )  # fmt: skip


def test_each_leg_is_what_lies_there_over_what_goes_through():
    line = accounts("cash: 0 EUR, customers_pay_after: 7 d, suppliers_paid_after: 3 d")

    found = chain(steady(), line)

    assert [found.begun.value, found.finished.value, found.shipped.value, found.paid.value] == [4.0, 6.5, 8.0, 15.0]
    assert found.paid_to_suppliers.value == pytest.approx(3.0)
    assert found.conversion.value == pytest.approx(12.0)
    assert found.units.value == pytest.approx(120.0)
    assert found.money.value == pytest.approx(600.0)
    assert found.in_words == (
        "Bought on day 0, begun on day 4, finished on day 6.5, shipped on day 8, paid by the customer on day 15; "
        "its material is paid on day 3: the material of 120 units is paid ahead."
    )


def test_where_customers_pay_before_suppliers_are_paid_nothing_is_paid_ahead():
    line = accounts("cash: 0 EUR, suppliers_paid_after: 30 d")

    found = chain(steady(), line)

    assert found.conversion.value == pytest.approx(-22.0)
    assert (found.units.value, found.money.value) == (0.0, 0.0)
    assert found.in_words.endswith("its material is paid on day 30: each sold unit pays for the next one's.")


def test_a_deposit_counts_from_the_order_on():
    line = accounts("cash: 0 EUR, customers_pay_after: 8 d, deposit: 50 %")
    book = book_of([0, 0] + [10] * 8, ordered=[10] * 8 + [0, 0], received=[0] * 10)

    found = chain(book, line)

    # 10 orders wait on the first day, 20 until the eighth and 10 on the ninth: 16 on average, of 8 shipped a day, are 2 days.
    assert found.until_paid.value == pytest.approx(8 * 0.5 - 0.5 * 2.0)


def test_the_warm_up_does_not_count():
    line = accounts("cash: 0 EUR")
    book = book_of([1000, 10, 10], used=[10, 10, 10], part_stock=[900, 20, 20])

    assert chain(book, line, warm=1).begun.value == pytest.approx(2.0)
    with pytest.raises(ValueError, match="a warm-up of 3 days was read for runs of 3; leave one day or more"):
        chain(book, line, warm=3)


def test_means_over_the_runs_have_an_interval():
    line = accounts("cash: 0 EUR")
    books = [book_of([10, 10], part_stock=[n, n]) for n in (20, 30, 40)]

    begun = chain(DayBook.stacked(books), line).begun

    assert begun.value == pytest.approx(3.0)
    low, high = begun.interval()
    assert low < 2.5 < 3.5 < high


def test_what_nobody_takes_never_comes_back():
    line = accounts("cash: 0 EUR")

    found = chain(book_of([0, 0], part_stock=[5, 5]), line)

    assert (found.begun.value, found.units.value, found.money.value) == (inf, inf, inf)
    assert found.in_parts.note == "in a run nothing of it was taken at all"


CART = """
line: carts
calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
products: [{name: cart, demand: 10 /d, price: 100 EUR, uses: [{part: tube, quantity: 1, at: frame}, {part: disc, quantity: 1, at: wheel}]}]
parts: [{name: tube, price: 20 EUR}, {name: disc, price: 3 EUR}, {name: old disc, price: 500 EUR}]
stations: [{name: a}, {name: b}, {name: c}]
steps:
  - {name: frame, station: a, machine: 60 s}
  - {name: wheel, station: b, machine: 60 s, after: []}
  - {name: join, station: c, machine: 60 s, after: [frame, {step: wheel, quantity: 4}]}
money: {cash: 0 EUR}
stores: [{part: old disc, counted: 9}]
"""


def cart_book(before_join: int) -> DayBook:
    tens, none = np.full((2, 1), 10), np.zeros((2, 3), np.int64)
    used = np.tile([10, 40, 0], (2, 1))
    stock = np.tile([16, 0, 9], (2, 1))
    return DayBook(
        tens, tens, tens, none, used, used, none, stock, np.tile([0, 0, before_join, 0, before_join], (2, 1))
    )


def test_dear_parts_count_for_more_and_parts_that_no_product_takes_not_at_all():
    found = chain(cart_book(0), accounts_of(Line.from_text(CART)))

    # 16 tubes of 20 EUR lie there; tubes of 200 EUR and discs of 120 EUR are used in a day.
    assert found.in_parts.value == pytest.approx(1.0)


def test_where_flows_come_together_sets_wait_as_long_as_sets_do():
    found = chain(cart_book(100), accounts_of(Line.from_text(CART)))

    # 20 sets of a frame and four wheels, ten a day.
    assert found.in_line.value == pytest.approx(2.0)


def test_where_nothing_is_bought_pieces_are_counted():
    text = "\n".join(row for row in CART.splitlines() if not row.startswith(("parts", "stores")))
    uses = ", uses: [{part: tube, quantity: 1, at: frame}, {part: disc, quantity: 1, at: wheel}]"
    line = accounts_of(Line.from_text(text.replace(uses, "")))
    none = np.zeros((2, 0), np.int64)
    book = replace(cart_book(30), used=none, received=none, deliveries=none, part_stock=none)

    found = chain(book, line)

    assert found.in_line.value == pytest.approx(3.0)
    assert found.in_parts.value == 0.0
