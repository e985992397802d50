"""Money and floor of runs, day by day: a closed statement of cash, what is bound, the chain of one unit, and what many runs tell of it."""

from pullwright.forecast.money.assumed import ASSUMED
from pullwright.forecast.money.beside import difference_of
from pullwright.forecast.money.bound import Bound, bound_of
from pullwright.forecast.money.cash_account import CashAccount, cash_account
from pullwright.forecast.money.chain import UnitChain, chain_of
from pullwright.forecast.money.dates import Horizon, Term, usual_start
from pullwright.forecast.money.day_book import DayBook
from pullwright.forecast.money.forecast import CashForecast, cash_forecast
from pullwright.forecast.money.lacking import CannotCount, Lacking, lacking_for_cash
from pullwright.forecast.money.room import FloorBook, FloorForecast, floor_book, floor_forecast
from pullwright.forecast.money.statement import ROWS, RowKey, Statement, statement_of
from pullwright.forecast.money.sureness import Bands, Chance, Enough
from pullwright.forecast.money.terms import Before, CashTerms, cash_terms
from pullwright.forecast.money.worth import PieceCosts, piece_costs

__all__ = [
    "ASSUMED", "ROWS", "Bands", "Before", "Bound", "CannotCount", "CashAccount", "CashForecast", "CashTerms", "Chance", "DayBook", "Enough", "FloorBook",
    "FloorForecast", "Horizon", "Lacking", "PieceCosts", "RowKey", "Statement", "Term", "UnitChain", "bound_of", "cash_account", "cash_forecast", "cash_terms",
    "chain_of", "difference_of", "floor_book", "floor_forecast", "lacking_for_cash", "piece_costs", "statement_of", "usual_start",
]  # fmt: skip
