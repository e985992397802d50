"""How long and how often is a line run? As its lead time and its demand ask for, and never more than memory holds."""

from __future__ import annotations

from math import ceil, isfinite, sqrt

import numpy as np

from pullwright.flow import Flow
from pullwright.forecast.errors import CannotRun, TooMuch
from pullwright.forecast.layout import Layout
from pullwright.forecast.plant import NEVER

FEWEST_DAYS, MOST_DAYS = 20, 250
"""Working days that are counted where nobody says how many: a month at least, a year at most."""
MOST_BYTES = 2_000_000_000
MOST_RUNS = 1_000_000
"""Runs from this number on are those of the draws of the inputs: they have luck of their own."""
_DAYS_BEYOND = 10_000_000
_MOST_KEPT, _FEWEST_KEPT = 6_000_000, 1_000
"""Lead times, and as many responses, that all runs of a forecast keep together, and that each run keeps at least."""
_UNDER_WAY = 16
"""Runs that are done at a time, each with all its samples."""


def checked(name: str, number: float, least: int, most: int, what: str) -> int:
    """A whole number within its bounds; ValueError naming what was read, what is allowed and what to do."""
    if number != number or number != round(number) or not least <= number <= most:
        raise ValueError(
            f"{name} of {number:g} was read; {what} from {least:,} to {most:,} are allowed: write such a whole number"
        )
    return round(number)


def days_for(flow: Flow, *, long_run: bool) -> int:
    """How many working days tell something of a line: twice the time that a piece needs, three times in the long run.

    Where the lead time has no end, two months.
    """
    lead = flow.ladder.lead_days.value
    if not isfinite(lead):
        return 2 * FEWEST_DAYS
    return int(np.clip(ceil((3 if long_run else 2) * lead), FEWEST_DAYS * (2 if long_run else 1), MOST_DAYS))


def orders_a_day(layout: Layout) -> float:
    """Orders of all products in a working day. CannotRun where nobody orders anything."""
    plant = layout.plant
    means = [float(plant.stream_numbers[k, 0]) for k in plant.order_stream if k != NEVER]
    rate = sum(layout.day / mean for mean in means if mean > 0)
    if rate <= 0:
        raise CannotRun("nobody orders anything: give a product a demand above 0, such as `demand: 20 /d`")
    return rate


def samples_for(layout: Layout, days: int) -> int:
    """Room for the lead times and responses of one run: what is ordered or scheduled, some swing, and what lies there."""
    plant = layout.plant
    ticks = sum(layout.day / float(tick) for tick in plant.step_tick if tick > 0)
    many = max(orders_a_day(layout), ticks) * days
    return ceil(1.2 * many + 10 * sqrt(many) + int(plant.stock_before.sum() + plant.stock_finished.sum())) + 500


def one_of(layout: Layout, runs: int, days: int) -> int:
    """Every how many-th lead time and response is kept, so that those of all runs fit into memory; 1: all are."""
    return ceil(samples_for(layout, days) / max(_MOST_KEPT // max(runs, 1), _FEWEST_KEPT))


def fit(layout: Layout, runs: int, days: int) -> None:
    """TooMuch where so many runs of so many days would not fit into memory."""
    if days > _DAYS_BEYOND:
        raise TooMuch(f"runs of {days:,} working days were asked for; {_DAYS_BEYOND:,} are the most")
    plant, samples = layout.plant, samples_for(layout, days)
    columns = 3 * plant.mix.size + 2 * plant.step_place.size + 2 + 4 * plant.part_lot.size
    each = 48 * ceil(samples / one_of(layout, runs, days)) + 3 * 8 * days * columns
    under_way = 48 * samples * min(runs, _UNDER_WAY)
    if runs * each + under_way > MOST_BYTES:
        most = (MOST_BYTES - under_way) // each
        raise TooMuch(
            f"{runs:,} runs of {days:,} working days would take about {(runs * each + under_way) / 1e9:,.1f} GB of memory, and {MOST_BYTES / 1e9:g} GB are "
            f"the most: run {f'{most:,} or fewer, or ' if most > 0 else ''}fewer days"
        )
