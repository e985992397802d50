"""How many people are at work at the same time, hour by hour? They are counted, never named."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pullwright.watch.log.laid import DAY, HOUR, Ints, distinct
from pullwright.watch.log.story.levels import integrals, unions_in_order
from pullwright.watch.log.story.measured import Measured
from pullwright.watch.log.story.measuring import t_reach
from pullwright.watch.log.story.visits import Shop

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True)
class People:
    """People with a booking going on, on working days. `hours` has: hour, mean, most. `distinct` in the whole log;
    `a_day`: different people on a working day; `at_once`: mean in working time. All nan where the log names nobody."""

    says: bool
    distinct: int
    a_day: Measured
    at_once: float
    most_at_once: int
    stations_a_day: float
    hours: pl.DataFrame
    found: str


NAN = float("nan")
MOST_DAYS = 4_000


def people_of(shop: Shop) -> People:
    """How many people have a booking going on at the same time, by the hour of a working day?"""
    import polars as pl

    laid = shop.laid
    some = np.flatnonzero((laid.person.codes >= 0) & (laid.end > laid.start))
    if "person" not in laid.events.has or not some.size:
        empty = pl.DataFrame(schema={"hour": pl.Int64, "mean": pl.Float64, "most": pl.Float64})
        return People(
            False, 0, Measured(NAN, NAN, NAN, 0), NAN, 0, NAN, empty, "The log does not say who did the work."
        )
    codes, start = laid.person.codes[some], laid.start[some]
    _, begin, until = unions_in_order(shop.by_person, laid.person.codes, laid.start, laid.end, lasting=True)
    days = shop.working_days[:MOST_DAYS]
    hours = (days[:, None] * DAY + np.arange(25) * HOUR).astype(np.int64)
    flat = np.unique(hours)
    between = dict(zip(flat[:-1].tolist(), (integrals(begin, until, flat) / HOUR).tolist(), strict=True))
    at = np.array([[between.get(int(hour), 0.0) for hour in row[:-1]] for row in hours])
    a_day = _people_a_day(codes, start, days)
    stations = _stations_a_day(shop, some)
    open_hours = at[:, at.mean(axis=0) > 0.25 * at.mean(axis=0).max()] if at.size else at
    table = pl.DataFrame({"hour": np.arange(24), "mean": at.mean(axis=0), "most": at.max(axis=0)})
    distinct, at_once = int(np.count_nonzero(np.bincount(codes))), float(open_hours.mean()) if open_hours.size else NAN
    mean = float(a_day.mean()) if a_day.size else NAN
    reach = float(t_reach(a_day.size) * a_day.std(ddof=1) / np.sqrt(a_day.size)) if a_day.size > 1 else NAN
    rows = tuple(laid.row[some[:20]].tolist())
    most = int(np.ceil(at.max())) if at.size else 0
    found = f"{mean:.3g} different people have a booking on a working day, {at_once:.3g} of them at the same time in the busy hours; {distinct} in the whole log."
    return People(
        True,
        distinct,
        Measured(mean, max(mean - reach, 0.0), mean + reach, int(a_day.size), rows),
        at_once,
        most,
        stations,
        table,
        found,
    )


def _people_a_day(codes: Ints, start: Ints, days: Ints) -> Ints:
    span = int(codes.max()) + 1
    pairs, _ = distinct((start // DAY) * span + codes)
    seen, counts = distinct(pairs // span)
    return counts[np.isin(seen, days)].astype(float)


def _stations_a_day(shop: Shop, some: Ints) -> float:
    """Different stations that one person books at on one day."""
    laid = shop.laid
    known = some[laid.station.codes[some] >= 0]
    if not known.size:
        return NAN
    person = (laid.start[known] // DAY - laid.start[known].min() // DAY) * laid.person.size + laid.person.codes[known]
    pairs, _ = distinct(person * max(laid.station.size, 1) + laid.station.codes[known])
    return float(pairs.size / distinct(person)[0].size)
