"""Cash of small lines, worked out by hand to the cent."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from pullwright.account import accounts_of
from pullwright.forecast.money import Before, RowKey, Statement, cash_account, cash_terms, statement_of
from pullwright.line import Line
from tests.forecast.money.books import MONDAY, accounts, book_of, line_text

NOTHING = Before.nothing(1, 1)


def days(statement: Statement, key: RowKey) -> dict[int, float]:
    """What is paid on which day of the first run."""
    row = statement.rows[key][0]
    return {int(day): round(float(row[day]), 2) for day in np.flatnonzero(row)}


def test_customers_pay_after_their_term_counted_in_working_days():
    terms = cash_terms(accounts("cash: 0 EUR, customers_pay_after: 3 d"))

    statement = statement_of(book_of([1, 2, 3, 4, 5, 6]), terms, start=MONDAY, before=NOTHING)

    # Wednesday's are paid on Monday, and so on; what was shipped on Thursday is not paid yet.
    assert days(statement, "customers") == {3: 20.0, 4: 40.0, 7: 60.0}
    assert statement.left["customers"].tolist() == [300.0]


def test_a_deposit_comes_with_the_order_and_the_rest_after_shipping():
    terms = cash_terms(accounts("cash: 0 EUR, customers_pay_after: 1 d, deposit: 30 %"))
    book = book_of([0, 0, 4, 1], ordered=[3, 2, 0, 0])

    statement = statement_of(book, terms, start=MONDAY, before=NOTHING)

    assert days(statement, "deposits") == {0: 18.0, 1: 12.0}
    assert days(statement, "customers") == {3: 56.0}
    assert statement.left["customers"].tolist() == [14.0]


def test_the_term_of_the_supplier_goes_before_that_of_the_line():
    book = book_of([0] * 10, received=[20, 0, 0, 0, 0, 40, 0, 0, 0, 0])
    own = cash_terms(accounts("cash: 0 EUR, suppliers_paid_after: 1 d", supplier="paid_after: 5 cal d"))
    line = cash_terms(accounts("cash: 0 EUR, suppliers_paid_after: 1 d"))

    assert days(statement_of(book, own, start=MONDAY, before=NOTHING), "parts") == {5: -100.0}
    assert days(statement_of(book, line, start=MONDAY, before=NOTHING), "parts") == {1: -100.0, 8: -200.0}


def test_where_no_term_is_said_parts_are_paid_at_once_and_a_note_says_so():
    terms = cash_terms(accounts("cash: 0 EUR"))

    statement = statement_of(book_of([0, 0], received=[0, 20]), terms, start=MONDAY, before=NOTHING)

    assert days(statement, "parts") == {1: -100.0}
    assert "When blank is paid is not given: at once, it is assumed." in statement.notes
    assert "When customers pay is not given: they count as paying at once." in statement.notes


def test_what_a_delivery_costs_is_paid_with_the_goods():
    terms = cash_terms(accounts("cash: 0 EUR", supplier="paid_after: 2 cal d, per_delivery: 7.50 EUR"))

    statement = statement_of(book_of([0, 0, 0], received=[60, 0, 20]), terms, start=MONDAY, before=NOTHING)

    assert days(statement, "deliveries") == {2: -22.5}
    assert statement.left["deliveries"].tolist() == [-7.5]


def test_of_a_part_without_a_delivery_lot_one_delivery_comes_a_day():
    terms = cash_terms(accounts("cash: 0 EUR", part="", supplier="per_delivery: 3 EUR"))

    statement = statement_of(book_of([0, 0, 0], received=[4, 0, 6], lot=1), terms, start=MONDAY, before=NOTHING)

    assert days(statement, "parts") == {0: -20.0, 2: -30.0}
    assert days(statement, "deliveries") == {0: -3.0, 2: -3.0}


def test_wages_of_all_crews_and_shifts_are_paid_on_the_last_working_day_of_the_month():
    calendar = (
        "shifts: [{name: early, from: '06:00', to: '14:00', breaks: [{name: meal, from: '10:00', to: '10:30', paid: no}]}, "
        "{name: late, from: '14:00', to: '20:00', days: [mon]}]"
    )
    people = "{name: a, number: 2, wage: 20 EUR/h, shifts: [early]}, {name: b, number: 1, wage: 30 EUR/h}"
    terms = cash_terms(accounts("cash: 0 EUR", calendar=calendar, people=people))

    statement = statement_of(book_of([0, 0, 0]), terms, start=dt.date(2026, 3, 30), before=NOTHING)

    # Two are there 7.5 h a day at 20 EUR; one 7.5 h, and on Monday another 6 h, at 30 EUR.
    monday, other = 300.0 + 225.0 + 180.0, 300.0 + 225.0
    mondays, others = 4, 16  # of March 2026 before the 30th
    assert days(statement, "wages") == {1: -(monday + other)}
    assert days(statement, "wages before") == {1: -(mondays * monday + others * other)}
    assert statement.left["wages"].tolist() == [-other]


def test_a_crew_without_a_wage_counts_at_the_mean_of_the_others():
    people = "{name: a, number: 1, wage: 20 EUR/h}, {name: b, number: 3}"
    terms = cash_terms(accounts("cash: 0 EUR", people=people))

    statement = statement_of(book_of([0]), terms, start=MONDAY, before=NOTHING)

    assert statement.left["wages"][0] == pytest.approx(-4 * 8 * 20)


def test_a_day_off_costs_no_wages():
    calendar = "days_off: [2026-03-03], shifts: [{name: day, from: '06:00', to: '14:00'}]"
    terms = cash_terms(accounts("cash: 0 EUR", calendar=calendar, people="{name: a, number: 1, wage: 20 EUR/h}"))

    statement = statement_of(book_of([0, 0]), terms, start=MONDAY, before=NOTHING)

    assert statement.horizon.worked.tolist() == [0, 2]
    assert statement.left["wages"].tolist() == [-320.0]


def test_rent_is_paid_on_the_first_and_fixed_costs_on_the_last_of_a_month():
    terms = cash_terms(
        accounts(
            "cash: 0 EUR, floor_rent: 9 EUR/m2/month, fixed_costs: 1200 EUR/year",
            more="floor: {total: 50 m2, ways: 5 m2}",
        )
    )

    statement = statement_of(book_of([0] * 23), terms, start=dt.date(2026, 1, 30), before=NOTHING)

    # 1 February was a Sunday, 1 March too.
    assert days(statement, "rent") == {2: -450.0, 30: -450.0}
    assert days(statement, "fixed") == {1: -100.0, 29: -100.0}


def test_where_the_floor_is_not_given_what_is_known_to_stand_there_is_rented():
    terms = cash_terms(accounts("cash: 0 EUR, floor_rent: 10 EUR/m2/month"))

    assert terms.rent == pytest.approx(12 * 12 * 10)


def test_before_the_start_the_line_ran_at_its_steady_rates():
    terms = cash_terms(
        accounts("cash: 0 EUR, customers_pay_after: 2 d, suppliers_paid_after: 3 cal d", supplier="per_delivery: 8 EUR")
    )

    statement = statement_of(book_of([0] * 5), terms, start=MONDAY)

    # Ten a day at 20 EUR; of the three days before Monday only Friday was worked: 10 blanks, and half a delivery of 20.
    assert days(statement, "customers before") == {0: 200.0, 1: 200.0}
    assert days(statement, "parts before") == {0: -50.0}
    assert days(statement, "deliveries before") == {0: -4.0}


def test_what_was_owed_before_the_start_and_falls_due_after_the_horizon_is_still_owed():
    terms = cash_terms(accounts("cash: 0 EUR, customers_pay_after: 5 d"))

    statement = statement_of(book_of([0, 0]), terms, start=MONDAY)

    assert days(statement, "customers before") == {0: 200.0, 1: 200.0}
    assert statement.left["customers before"].tolist() == [600.0]


def test_an_overdrawn_account_is_dry_until_it_is_above_nothing():
    terms = cash_terms(accounts("cash: -50 EUR"))

    statement = statement_of(book_of([0, 10]), terms, start=MONDAY, before=NOTHING)

    assert statement.cash.tolist() == [[-50.0, 150.0]]
    assert statement.dry.tolist() == [True]
    assert (statement.low.tolist(), statement.low_day.tolist()) == ([-50.0], [0])


def test_what_comes_in_and_goes_out_on_one_date_is_paid_together():
    terms = cash_terms(accounts("cash: 0 EUR"))

    statement = statement_of(book_of([10], received=[40]), terms, start=MONDAY, before=NOTHING)

    assert statement.cash.tolist() == [[0.0]]
    assert statement.dry.tolist() == [False]


def test_a_book_of_another_line_is_refused():
    terms = cash_terms(accounts("cash: 0 EUR", part=""))
    book = book_of([1])
    other = type(book)(
        **{**vars(book), "shipped": np.zeros((1, 2)), "ordered": np.zeros((1, 2)), "finished": np.zeros((1, 2))}
    )

    with pytest.raises(ValueError, match="2 products and 1 parts was read, and the line has 1 and 1"):
        statement_of(other, terms, start=MONDAY)


def test_a_line_that_buys_nothing_has_cash_too():
    text = line_text("cash: 7 EUR", product="price: 20 EUR").replace(
        "uses: [{part: blank, quantity: 1, at: bend}], ", ""
    )
    text = "\n".join(row for row in text.splitlines() if not row.startswith(("parts", "suppliers")))
    none = np.zeros((2, 0), np.int64)
    book = replace(book_of([1, 2]), used=none, received=none, deliveries=none, part_stock=none)
    line = accounts_of(Line.from_text(text))

    statement = statement_of(book, cash_terms(line), start=MONDAY)

    assert statement.cash.tolist() == [[27.0, 67.0]]
    assert cash_account(book, line, start=MONDAY).closing.value == 67.0
