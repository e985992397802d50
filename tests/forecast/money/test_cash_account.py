"""Cash of the horizon as figures that say why."""

from __future__ import annotations

import datetime as dt

import pytest

from pullwright.forecast.money import ROWS, DayBook, cash_account, cash_terms, statement_of
from tests.forecast.money.books import MONDAY, accounts, book_of

MONEY = "cash: 900 EUR, customers_pay_after: 3 cal d, suppliers_paid_after: 2 d, deposit: 10 %, floor_rent: 6 EUR/m2/month, fixed_costs: 90 EUR/month"
PEOPLE = "{name: a, number: 2, wage: 18 EUR/h}, {name: b, number: 1}"
BOOKS = DayBook.stacked(
    [
        book_of([n, 10, 3, 0, 7, 5, n, 8], ordered=[5, n, 5, 5, 5, 5, 5, 5], received=[20 * n, 0, 0, 40, 0, 0, 20, 0])
        for n in range(4)
    ]
)


@pytest.mark.parametrize("start", [MONDAY, dt.date(2026, 3, 30), dt.date(2026, 4, 1)])
@pytest.mark.parametrize("part", ["delivery_lot: 20", ""])
def test_its_rows_are_the_means_of_the_statement_and_close_it(start: dt.date, part: str):
    line = accounts(MONEY, people=PEOPLE, part=part, supplier="per_delivery: 6 EUR")
    statement = statement_of(BOOKS, cash_terms(line), start=start)

    account = cash_account(BOOKS, line, start=start)

    for key in ROWS:
        assert account.rows[key].value == pytest.approx(statement.rows[key].sum(axis=1).mean()), key
    assert account.opening.value == 900.0
    assert account.closing.value == pytest.approx(statement.cash[:, -1].mean())


def test_a_row_goes_down_to_the_fields_of_the_file_and_to_the_runs():
    account = cash_account(BOOKS, accounts(MONEY, people=PEOPLE), start=MONDAY)

    why = str(account.closing.why())

    assert "products / bracket / price" in why
    # Monday to Friday of the first week, 1.5 + 10 + 3 + 0 + 7 on average; what is shipped from Monday on is paid after the end.
    assert "units paid for / bracket: 21.5 units" in why
    assert "mean of 4 runs, of the days whose term of 3 calendar days ends in the horizon" in why
    assert "people / a / wage" in why


def test_what_is_not_known_well_of_a_price_goes_along():
    line = accounts("cash: 900 EUR", product="price: {low: 10 EUR, likely: 20 EUR, high: 30 EUR}")

    account = cash_account(book_of([10, 10]), line, start=MONDAY)

    low, high = account.rows["customers"].interval()
    assert account.rows["customers"].value == 400.0
    assert low < 300.0 < 500.0 < high


def test_what_is_never_paid_says_so():
    account = cash_account(book_of([1]), accounts("cash: 1 EUR"), start=MONDAY)

    assert account.rows["deposits"].value == 0.0
    assert "nothing of it is paid in the horizon" in str(account.rows["deposits"].why())
