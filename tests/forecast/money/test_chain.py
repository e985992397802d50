"""The chain of one unit: bought, begun, finished, shipped, paid."""

from __future__ import annotations

from math import inf

import pytest

from pullwright.forecast.money import DayBook, cash_terms, chain_of
from tests.forecast.money.books import accounts, book_of


def steady(days: int = 10) -> DayBook:
    """Ten a day of everything; 40 blanks, 25 pieces in the line and 15 finished ones lie there."""
    return book_of(
        [10] * days, received=[20, 0] * (days // 2), part_stock=[40] * days, lying=[[0, 15, 25]] * days
    )  # fmt: skip


def test_each_leg_is_what_lies_there_over_what_goes_through():
    terms = cash_terms(accounts("cash: 0 EUR, customers_pay_after: 7 d, suppliers_paid_after: 3 d"))

    chain = chain_of(steady(), terms)

    assert [chain.begun.value, chain.finished.value, chain.shipped.value, chain.paid.value] == [4.0, 6.5, 8.0, 15.0]
    assert chain.paid_to_suppliers.value == pytest.approx(3.0)
    assert chain.conversion.value == pytest.approx(12.0)
    assert chain.units.value == pytest.approx(120.0)
    assert chain.money.value == pytest.approx(600.0)
    assert chain.in_words == (
        "Bought on day 0, begun on day 4, finished on day 6.5, shipped on day 8, paid by the customer on day 15; "
        "its material is paid on day 3: the material of 120 units is paid ahead."
    )


def test_where_customers_pay_before_suppliers_are_paid_nothing_is_paid_ahead():
    terms = cash_terms(accounts("cash: 0 EUR, suppliers_paid_after: 30 d"))

    chain = chain_of(steady(), terms)

    assert chain.conversion.value == pytest.approx(-22.0)
    assert (chain.units.value, chain.money.value) == (0.0, 0.0)


def test_a_deposit_counts_from_the_order_on():
    terms = cash_terms(accounts("cash: 0 EUR, customers_pay_after: 8 d, deposit: 50 %"))
    book = book_of([0, 0] + [10] * 8, ordered=[10] * 8 + [0, 0], received=[0] * 10)

    chain = chain_of(book, terms)

    # 10 orders wait on the first day, 20 until the eighth and 10 on the ninth: 16 on average, of 8 shipped a day, are 2 days.
    assert chain.until_paid.value == pytest.approx(8 * 0.5 - 0.5 * 2.0)


def test_the_warm_up_does_not_count():
    terms = cash_terms(accounts("cash: 0 EUR"))
    book = book_of([1000, 10, 10], used=[10, 10, 10], part_stock=[900, 20, 20])

    assert chain_of(book, terms, warm=1).begun.value == pytest.approx(2.0)
    with pytest.raises(ValueError, match="a warm-up of 3 days was read for runs of 3; leave one day or more"):
        chain_of(book, terms, warm=3)


def test_means_over_the_runs_have_an_interval():
    terms = cash_terms(accounts("cash: 0 EUR"))
    books = [book_of([10, 10], part_stock=[n, n]) for n in (20, 30, 40)]

    begun = chain_of(DayBook.stacked(books), terms).begun

    assert begun.value == pytest.approx(3.0)
    low, high = begun.interval()
    assert low < 2.5 < 3.5 < high


def test_what_nobody_takes_never_comes_back():
    terms = cash_terms(accounts("cash: 0 EUR"))

    chain = chain_of(book_of([0, 0], part_stock=[5, 5]), terms)

    assert (chain.begun.value, chain.units.value, chain.money.value) == (inf, inf, inf)
    assert chain.in_parts.note == "in a run nothing of it was taken at all"
