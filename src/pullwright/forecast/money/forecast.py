"""Cash over many runs: how low, how likely to run dry, and how much capital a wished safety takes."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.figure import Figure, Source, from_draws, from_readings
from pullwright.forecast.money.statement import ROWS, RowKey, Statement
from pullwright.forecast.money.sureness import Bands, Chance, Enough, bands_of, chance_of, enough
from pullwright.watch.sample.clusters import LEVEL


@dataclass(frozen=True)
class CashForecast:
    """What the runs of a statement tell together.

    `cash`: bands by calendar day. `dry`: the chance to end a day within the horizon with less than nothing. `low`: the lowest cash of a run, its
    draws the runs themselves; `low_day`: on which day after the start it comes, on average, and `low_date` the date of that.
    `capital`: cash at the start with which only a wished share of the runs would run dry; `more`: that, less what is in hand.
    `rows`: what came in and went out in the horizon, row by row, on average; they add up to `change`.
    """

    cash: Bands
    dry: Chance
    low: Figure
    low_day: Figure
    low_date: dt.date
    capital: Enough
    more: float
    rows: dict[RowKey, Figure]
    change: Figure


def cash_forecast(statement: Statement, *, wished: float = 0.05, level: float = LEVEL) -> CashForecast:
    """How does cash go on, and how sure is that?

    Parameters: `statement` of all runs; `wished`, the share of runs that may run dry; `level` of the intervals.
    """
    said = f"{statement.runs:,} runs of {statement.horizon.days:,} calendar days"
    low_day = from_readings("day of the lowest cash", statement.low_day.tolist(), "cal d", Source("computed", said))
    capital = enough("capital needed", statement.needed, "money", wished=wished, level=level)
    return CashForecast(
        bands_of(statement.cash),
        chance_of("chance to run dry", statement.dry, level=level),
        from_draws("lowest cash", float(np.median(statement.low)), statement.low, "money", Source("computed", f"median of {said}")),
        low_day,
        statement.horizon.date(round(low_day.value)),
        capital,
        max(capital.value - statement.opening, 0.0),
        {key: _mean(f"cash / {words}", statement.rows[key].sum(axis=1), f"{formula}; {said}") for key, (words, formula) in ROWS.items()},
        _mean("change of cash", statement.net[:, -1], f"sum of the rows; {said}"),
    )  # fmt: skip


def _mean(name: str, by_run: NDArray[np.float64], said: str) -> Figure:
    return from_readings(name, by_run.tolist(), "money", Source("computed", said))
