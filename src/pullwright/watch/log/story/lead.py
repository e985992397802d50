"""How long does a case take from its first begin to its last end, cases that are not through yet counted as such?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pullwright.figure import percent
from pullwright.watch.log.laid import DAY, Flags, Floats, Ints, edges_of, in_groups, run_lengths
from pullwright.watch.log.story.measured import MOST_ROWS, Measured
from pullwright.watch.log.story.measuring import NONE, mean
from pullwright.watch.log.story.survival import percentiles
from pullwright.watch.log.story.visits import Shop, Visits

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class LeadTime:
    """Lead time of all cases or of one product, in working days (`worked`) and in calendar days (`calendar`).

    `percentiles` pair a share with a lead time and its interval ("half of the cases within ..."): shares 0.5, 0.8, 0.9,
    0.95; nan where the log is too short to say. `method` is "order statistics" where every case was seen from begin to end and "Kaplan-Meier" where
    some are still open. `finished`, `open`: cases seen to the end, and seen from their begin but not through yet;
    `touch_share`: touch time by lead time, both in working time, over the finished cases.
    """

    name: str
    finished: int
    open: int
    mean_worked: Measured
    mean_calendar: Measured
    worked: tuple[tuple[float, Measured], ...]
    calendar: tuple[tuple[float, Measured], ...]
    touch_share: float
    method: str


@dataclass(frozen=True)
class LeadTimes:
    """Lead times of all cases, by product, and by week of completion.

    `begun_before` cases were under way when the log begins: their lead time is unknown and they stand in no number.
    `weeks` has: week (its Monday), finished, median_worked (days), mean_worked, touch_share. `cases` has one row a case:
    case, product, start, end, worked_days, calendar_days, state ("finished", "open", "begun before"), row. `trend` is
    the rank correlation of lead time with the moment of completion, `trend_p` its p-value (nan where too few).
    """

    all: LeadTime
    products: tuple[LeadTime, ...]
    begun_before: int
    weeks: pl.DataFrame
    cases: pl.DataFrame
    trend: float
    trend_p: float
    rows: tuple[int, ...]
    found: str


SHARES = (0.5, 0.8, 0.9, 0.95)
STATES = ("finished", "open", "begun before")
MOST_PRODUCTS = 200


def lead_of(shop: Shop, begun_before: Flags, open_still: Flags) -> LeadTimes:
    """How long do orders take? `begun_before` and `open_still`: which orders (in the order of `visits.begins`) the log cuts off."""
    visits = shop.visits
    start = visits.start[visits.begins]
    end = np.maximum.reduceat(visits.end, visits.begins) if visits.begins.size else start
    by_clock = (end - start) / DAY
    day = max(shop.calendar.day_seconds, 1.0)
    worked = (shop.worked(end) - shop.worked(start)) / day if start.size else by_clock
    state = np.where(begun_before, 2, np.where(open_still, 1, 0))
    touch = _touch(shop) / day if start.size else by_clock
    product = visits.product[visits.begins]
    rows = visits.row[visits.begins]

    def lead(name: str, some: Ints) -> LeadTime:
        mine = state[some]
        seen, done, ended = some[mine != 2], some[mine == 0], mine[mine != 2] == 0
        share = float(min(touch[done].sum() / worked[done].sum(), 1.0)) if worked[done].sum() > 0 else float("nan")
        return LeadTime(
            name, int(done.size), int((mine == 1).sum()), mean(worked[done], rows[done]), mean(by_clock[done], rows[done]),
            percentiles(worked[seen], ended, SHARES, rows[seen]), percentiles(by_clock[seen], ended, SHARES, rows[seen]), share,
            "order statistics" if ended.all() else "Kaplan-Meier",
        )  # fmt: skip

    everything = lead("all", np.arange(start.size))
    known = np.flatnonzero(product >= 0)
    by_product = in_groups(known, product, shop.laid.product.size)
    counts = np.bincount(product[known], minlength=shop.laid.product.size)
    begins = np.cumsum(counts) - counts
    products = tuple(
        lead(shop.laid.product.names[code], by_product[begins[code] : begins[code] + counts[code]])
        for code in np.argsort(-counts, kind="stable")[:MOST_PRODUCTS].tolist()
        if counts[code]
    )
    done = state == 0
    trend, chance = _trend(worked[done], end[done])
    cases = _cases(shop, visits, start, end, worked, by_clock, state)
    return LeadTimes(
        everything, products if len(products) > 1 else (), int(begun_before.sum()), _weeks(worked[done], touch[done], by_clock[done], end[done]),
        cases, trend, chance, tuple(rows[:MOST_ROWS].tolist()), _sentence(everything, products, trend, chance),
    )  # fmt: skip


def _touch(shop: Shop) -> Floats:
    """Working seconds in which each order is worked on: those of its visits, no more than was booked."""
    visits = shop.visits
    inside = shop.worked(visits.end) - shop.worked(visits.start)
    return np.add.reduceat(np.minimum(np.nan_to_num(visits.run + visits.setup), inside), visits.begins)


def _trend(worked: Floats, end: Ints) -> tuple[float, float]:
    if worked.size < 10 or np.all(worked == worked[0]) or np.all(end == end[0]):
        return float("nan"), float("nan")
    from scipy.special import stdtr

    ranks = [_ranks(values) for values in (worked, end)]
    one, other = (rank - (rank.size + 1) / 2 for rank in ranks)
    trend = float(np.clip((one @ other) / np.sqrt((one @ one) * (other @ other)), -1.0, 1.0))
    freedom = worked.size - 2
    with np.errstate(divide="ignore"):
        t = trend * np.sqrt(freedom / np.float64(1 - trend * trend))
    return trend, float(2 * stdtr(freedom, -abs(t)))


def _ranks(values: Floats) -> Floats:
    """Ranks from 1, equal values sharing the middle one of theirs (Spearman 1904).

    >>> _ranks(np.array([3.0, 1.0, 3.0]))
    array([2.5, 1. , 2.5])
    """
    order = np.argsort(values, kind="stable")
    begins = edges_of(values[order])
    lengths = run_lengths(begins, order.size)
    ranks = np.empty(order.size)
    ranks[order] = np.repeat(begins + (lengths + 1) / 2, lengths)
    return ranks


def _weeks(worked: Floats, touch: Floats, by_clock: Floats, end: Ints) -> pl.DataFrame:
    import polars as pl

    table = pl.DataFrame({"end": end, "worked": worked, "touch": touch, "clock": by_clock})
    week = pl.col("end").cast(pl.Datetime("us")).dt.truncate("1w").dt.date()
    return (
        table.group_by(week.alias("week"))
        .agg(
            finished=pl.len(), median_worked=pl.col("worked").median(), mean_worked=pl.col("worked").mean(),
            touch_share=(pl.col("touch").sum() / pl.col("clock").sum()).clip(0, 1),
        )
        .sort("week")
    )  # fmt: skip


def _cases(
    shop: Shop, visits: Visits, start: Ints, end: Ints, worked: Floats, by_clock: Floats, state: Ints
) -> pl.DataFrame:
    import polars as pl

    def named(codes: Ints, names: tuple[str, ...]) -> pl.Series:
        places = pl.Series(codes.astype(np.int64))
        return pl.Series([*names, None], dtype=pl.String).gather(places.set(places < 0, len(names)))

    at = visits.begins
    return pl.DataFrame(
        {
            "case": named(visits.case[at], shop.laid.case.names), "product": named(visits.product[at], shop.laid.product.names),
            "start": pl.Series(start).cast(pl.Datetime("us")), "end": pl.Series(end).cast(pl.Datetime("us")), "worked_days": worked,
            "calendar_days": by_clock, "state": named(state, STATES), "row": visits.row[at],
        }
    )  # fmt: skip


def _sentence(all_of_them: LeadTime, products: tuple[LeadTime, ...], trend: float, chance: float) -> str:
    if not all_of_them.finished:
        return "No order is seen from its begin to its end."
    half, most = (next((one for share, one in all_of_them.worked if share == wanted), NONE) for wanted in (0.5, 0.9))
    if not half.known:
        return (
            f"{all_of_them.finished:,} orders are seen from begin to end; too few are through to say how long it takes."
        )
    said = f"Half of the orders are through within {_days(half)}"
    said += f", nine in ten within {_days(most)}." if most.known else "."
    if all_of_them.touch_share == all_of_them.touch_share:
        said += f" In {percent(all_of_them.touch_share)} of that working time it is worked on."
    if chance < 0.01 and abs(trend) >= 0.2:
        said += f" It gets {'longer' if trend > 0 else 'shorter'} from week to week."
    return said


def _days(one: Measured) -> str:
    return f"{one.value:.3g} working days"
