"""What many runs tell of cash together."""

from __future__ import annotations

import numpy as np
import pytest

from pullwright.forecast.money import Before, DayBook, Statement, cash_forecast, cash_terms, statement_of
from tests.forecast.money.books import MONDAY, accounts, book_of


def statement_with(cash: float, runs: int = 100) -> Statement:
    """Run number n buys on its first day so many lots that it needs 100 n, and ships 10 a day for 20 EUR from then on."""
    books = [book_of([0, 10, 10, 10, 10], received=[20 * n, 0, 0, 0, 0]) for n in range(runs)]
    terms = cash_terms(accounts("cash: 0 EUR"))
    return statement_of(DayBook.stacked(books), terms, start=MONDAY, cash=cash, before=Before.nothing(1, 1))


def test_the_chance_to_run_dry_is_the_share_of_runs_with_a_day_below_nothing():
    forecast = cash_forecast(statement_with(9000.0))

    # Runs 91 to 99 need more than 9000.
    assert (forecast.dry.found, forecast.dry.of) == (9, 100)


def test_the_capital_needed_leaves_no_more_runs_dry_than_wished():
    statement = statement_with(3000.0)

    forecast = cash_forecast(statement, wished=0.05)

    assert forecast.capital.value == 9400.0
    assert forecast.more.value == 6400.0
    with_it = statement_with(forecast.capital.value)
    assert np.count_nonzero(with_it.dry) == 5
    assert np.count_nonzero(statement_with(forecast.capital.value - 1.0).dry) == 6


def test_capital_does_not_depend_on_the_cash_in_hand():
    assert cash_forecast(statement_with(0.0)).capital.value == cash_forecast(statement_with(500.0)).capital.value
    assert cash_forecast(statement_with(1e6)).more.value == 0.0


def test_bands_go_through_the_runs_of_each_day():
    forecast = cash_forecast(statement_with(0.0, runs=101))

    assert forecast.cash.values[:, 0] == pytest.approx([-9500.0, -5000.0, -500.0])
    assert forecast.cash.values[:, 4] == pytest.approx([-8700.0, -4200.0, 300.0])


def test_the_expected_day_of_the_lowest_cash_is_the_mean_of_the_runs():
    early, late = book_of([0] * 10, received=[20] + [0] * 9), book_of([0] * 10, received=[0] * 9 + [20])
    terms = cash_terms(accounts("cash: 0 EUR"))
    statement = statement_of(DayBook.stacked([early, late]), terms, start=MONDAY, before=Before.nothing(1, 1))

    forecast = cash_forecast(statement)

    assert statement.low_day.tolist() == [0, 11]
    assert forecast.low_day.value == 5.5
    assert forecast.low.value == -100.0
