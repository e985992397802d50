"""Cash over many runs: how low, how likely to run dry, and how much capital a wished safety takes."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from pullwright.figure import Figure, Source, from_draws, from_readings
from pullwright.forecast.money.statement import Statement
from pullwright.forecast.money.sureness import Bands, Chance, Enough, bands_of, chance_of, enough, in_runs
from pullwright.watch.sample.clusters import LEVEL


@dataclass(frozen=True)
class CashForecast:
    """What the runs of a statement tell together.

    `cash`: bands by calendar day. `dry`: the chance to end a day within the horizon with less than nothing. `low`: the lowest cash of a run, its
    draws the runs themselves; `low_day`: on which day after the start it comes, on average, and `low_date` the date of that.
    `capital`: cash at the start with which only a wished share of the runs would run dry; `more`: so much of it is not in hand.
    """

    cash: Bands
    dry: Chance
    low: Figure
    low_day: Figure
    low_date: dt.date
    capital: Enough
    more: Enough


def cash_forecast(statement: Statement, *, wished: float = 0.05, level: float = LEVEL) -> CashForecast:
    """How does cash go on, and how sure is that?

    Parameters: `statement` of all runs; `wished`, the share of runs that may run dry; `level` of the intervals.
    """
    said = f"{in_runs(statement.runs)} of {statement.horizon.days:,} calendar days"
    low_day = from_readings(
        "day of the lowest cash", statement.low_day.tolist(), "cal d", Source("computed", f"mean of {said}")
    )
    low = from_draws(
        "lowest cash",
        float(np.median(statement.low)),
        statement.low,
        "money",
        Source("computed", f"median of {said}; its draws are the runs"),
    )
    return CashForecast(
        bands_of(statement.cash),
        chance_of("chance to run dry", statement.dry, level=level),
        low,
        low_day,
        statement.horizon.date(round(low_day.value)),
        enough("capital needed", statement.needed, "money", wished=wished, level=level),
        enough("more capital needed", np.maximum(-statement.low, 0.0), "money", wished=wished, level=level),
    )
