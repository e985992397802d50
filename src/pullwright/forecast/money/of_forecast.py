"""What a forecast does to the cash: the statement of its runs at the likely inputs, and what they tell together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pullwright.account import Accounts
from pullwright.forecast.answers.interval import Floats
from pullwright.forecast.money.dates import Horizon, usual_start
from pullwright.forecast.money.forecast import CashForecast, cash_forecast
from pullwright.forecast.money.lacking import lacking_for_cash
from pullwright.forecast.money.statement import statement_of
from pullwright.forecast.money.terms import cash_terms

if TYPE_CHECKING:
    from pullwright.forecast.forecast import Forecast


@dataclass(frozen=True)
class Cash:
    """Cash of the runs: what they tell together, the lowest of each (R,), and the calendar days that they reach over."""

    forecast: CashForecast
    lows: Floats
    horizon: Horizon
    notes: tuple[str, ...]


def cash_of(forecast: Forecast, accounts: Accounts) -> Cash | None:
    """How does the cash go on in the days of a forecast? None where the line file lacks something (see `lacking_for_cash`).

    `accounts`: those of the same line, for prices, terms and wages.
    """
    if lacking_for_cash(forecast.line):
        return None
    statement = statement_of(forecast.book, cash_terms(accounts), start=usual_start(forecast.line))
    return Cash(cash_forecast(statement, level=forecast.level), statement.low, statement.horizon, statement.notes)
