"""Laws of the statement that hold whatever the days were."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pullwright.forecast.money import ROWS, CashTerms, DayBook, Statement, cash_terms, statement_of
from pullwright.line.calendar import DAYS_PER_YEAR
from tests.forecast.money.books import MONDAY, accounts, book_of

MONEY = "cash: 5000 EUR, customers_pay_after: {customers}, suppliers_paid_after: {suppliers}, deposit: {deposit} %, floor_rent: 7 EUR/m2/month, fixed_costs: 1000 EUR/month"
PEOPLE = "{name: a, number: 2, wage: 21 EUR/h}"


def terms_with(customers: str = "12 cal d", suppliers: str = "8 d", deposit: int = 20) -> CashTerms:
    money = MONEY.format(customers=customers, suppliers=suppliers, deposit=deposit)
    return cash_terms(accounts(money, people=PEOPLE, supplier="per_delivery: 11 EUR"))


TERMS = {
    (customers, suppliers, deposit): terms_with(customers, suppliers, deposit)
    for customers in ("0 d", "12 cal d", "9 d")
    for suppliers in ("0 d", "8 d", "40 cal d")
    for deposit in (0, 20)
}


@st.composite
def stacks_of_books(draw: st.DrawFn) -> DayBook:
    days, runs = draw(st.integers(1, 50)), draw(st.integers(1, 3))
    rng = np.random.default_rng(draw(st.integers(0, 1000)))
    return DayBook.stacked(
        [
            book_of(
                rng.integers(0, 15, days).tolist(),
                ordered=rng.integers(0, 15, days).tolist(),
                received=(20 * rng.integers(0, 3, days)).tolist(),
            )
            for _ in range(runs)
        ]
    )


def arisen(statement: Statement) -> dict[str, np.ndarray]:
    return {key: statement.rows[key].sum(axis=1) + statement.left[key] for key in ROWS}


@settings(max_examples=40, deadline=None)
@given(stacks_of_books(), st.sampled_from(sorted(TERMS)))
def test_money_in_is_money_out_and_the_change_of_cash(book: DayBook, key: tuple[str, str, int]):
    statement = statement_of(book, TERMS[key], start=MONDAY)

    rows = np.concatenate([np.broadcast_to(row, statement.cash.shape)[None] for row in statement.rows.values()])
    money_in, money_out = np.maximum(rows, 0).sum(axis=(0, 2)), -np.minimum(rows, 0).sum(axis=(0, 2))

    assert money_in - money_out == pytest.approx(statement.cash[:, -1] - statement.opening)


@settings(max_examples=40, deadline=None)
@given(stacks_of_books(), st.sampled_from(sorted(TERMS)))
def test_every_coin_that_arises_is_paid_in_one_row_or_still_owed(book: DayBook, key: tuple[str, str, int]):
    terms = TERMS[key]
    statement = statement_of(book, terms, start=MONDAY)
    found = arisen(statement)

    assert found["deposits"] == pytest.approx((book.ordered * 20 * terms.deposit).sum(axis=(1, 2)))
    assert found["customers"] == pytest.approx((book.shipped * 20 * (1 - terms.deposit)).sum(axis=(1, 2)))
    assert found["parts"] == pytest.approx(-(book.received * 5).sum(axis=(1, 2)))
    assert found["deliveries"] == pytest.approx(-(book.deliveries * 11).sum(axis=(1, 2)))
    assert found["wages"] == pytest.approx(np.array([-book.days * 2 * 8 * 21.0]))
    for name, amounts in found.items():
        if "before" not in name:
            assert amounts == pytest.approx(statement.arising[name].sum(axis=1)), name  # type: ignore[index]


@settings(max_examples=20, deadline=None)
@given(stacks_of_books(), st.sampled_from(sorted(TERMS)))
def test_what_is_owed_at_the_end_is_what_is_left(book: DayBook, key: tuple[str, str, int]):
    statement = statement_of(book, TERMS[key], start=MONDAY)

    for name in ROWS:
        assert statement.owed(name)[:, -1] == pytest.approx(statement.left[name]), name


@settings(max_examples=20, deadline=None)
@given(stacks_of_books(), st.integers(-10_000, 10_000))
def test_more_cash_at_the_start_shifts_the_curve_and_nothing_else(book: DayBook, more: int):
    terms = TERMS["12 cal d", "8 d", 20]
    one = statement_of(book, terms, start=MONDAY, cash=0.0)
    other = statement_of(book, terms, start=MONDAY, cash=float(more))

    assert (other.cash == more + one.net).all()
    assert (other.needed == one.needed).all()
    assert (other.low_day == one.net.argmin(axis=1)).all()


@pytest.mark.parametrize("key", ["customers", "parts"])
def test_a_term_only_moves_payments(key: str):
    book = book_of([3, 9, 1, 0, 6] + [0] * 40, received=[20, 0, 40, 0, 20] + [0] * 40)
    at_once = statement_of(book, terms_with("0 d", "0 d", 0), start=MONDAY)
    later = statement_of(book, terms_with("20 cal d", "20 cal d", 0), start=MONDAY)

    assert np.array_equal(at_once.rows[key][:, :-20], later.rows[key][:, 20:])  # type: ignore[index]
    assert not later.rows[key][:, :20].any()  # type: ignore[index]
    assert np.array_equal(at_once.rows["wages"], later.rows["wages"])
    assert not at_once.rows["customers before"].any()


def test_a_run_in_a_stack_is_the_run_alone():
    terms = TERMS["9 d", "40 cal d", 20]
    books = [book_of([3, 9, 1], received=[20, 0, 40]), book_of([8, 0, 2], received=[0, 60, 0])]

    together = statement_of(DayBook.stacked(books), terms, start=MONDAY)

    for r, book in enumerate(books):
        assert np.array_equal(together.cash[r], statement_of(book, terms, start=MONDAY).cash[0])


def test_a_steady_line_owes_and_is_owed_what_the_account_of_cash_tied_up_says():
    line = accounts("cash: 0 EUR, customers_pay_after: 10 d, suppliers_paid_after: 5 d", people=PEOPLE)
    days = 60
    book = book_of([10] * days, received=[20, 0] * (days // 2))

    statement = statement_of(book, cash_terms(line), start=MONDAY)

    owed = statement.owed("customers") + statement.owed("customers before")
    assert owed[0, -1] == pytest.approx(line.tied_up.row("owed to us").amount.value)
    by_us = statement.owed("parts") + statement.owed("parts before")
    # A lot comes every other day: two of them are owed, then three.
    assert by_us[0, -2:].mean() == pytest.approx(line.tied_up.row("owed by us").amount.value)


def test_wages_of_a_year_are_those_of_the_account():
    line = accounts("cash: 0 EUR", people=PEOPLE)
    weeks = 8

    statement = statement_of(book_of([0] * 5 * weeks), cash_terms(line), start=MONDAY)

    a_year = next(figure.value for figure in line.year.whole.inputs if figure.name == "year / wages")
    assert arisen(statement)["wages"][0] == pytest.approx(-a_year * weeks * 7 / DAYS_PER_YEAR)


def test_rent_of_a_year_is_that_of_the_account():
    line = accounts("cash: 0 EUR, floor_rent: 9 EUR/m2/month", more="floor: {total: 50 m2}")

    statement = statement_of(book_of([0] * 261), cash_terms(line), start=MONDAY)  # one year less a day

    a_year = next(figure.value for figure in line.year.whole.inputs if figure.name == "year / floor")
    assert statement.rows["rent"].sum() == pytest.approx(-a_year)


def test_statements_of_runs_with_other_terms_stand_in_one():
    books = [book_of([3, 9, 1], received=[20, 0, 40]), book_of([8, 0, 2], received=[0, 60, 0])]
    terms = [TERMS["9 d", "40 cal d", 20], TERMS["0 d", "8 d", 0]]
    single = [
        statement_of(b, t, start=MONDAY, cash=100.0 * k) for k, (b, t) in enumerate(zip(books, terms, strict=True))
    ]

    together = Statement.stacked(single)

    assert together.opening.tolist() == [0.0, 100.0]
    for r, one in enumerate(single):
        assert np.array_equal(together.cash[r], one.cash[0])
        for name in ROWS:
            assert together.owed(name)[r].tolist() == one.owed(name)[0].tolist()


def test_statements_of_other_days_do_not_stand_in_one():
    terms = TERMS["0 d", "0 d", 0]

    with pytest.raises(ValueError, match="give one or more that start and end together"):
        Statement.stacked([statement_of(book_of([1] * days), terms, start=MONDAY) for days in (2, 3)])
