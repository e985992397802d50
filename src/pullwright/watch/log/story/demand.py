"""How many a working day: pieces begun and finished, by product, and how uneven?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pullwright.watch.log.laid import DAY, Flags, Floats, Ints, first_rows, in_groups
from pullwright.watch.log.story.measured import MOST_ROWS, Measured
from pullwright.watch.log.story.measuring import t_reach
from pullwright.watch.log.story.visits import Shop

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class ProductDemand:
    """One product: cases and pieces finished and begun per working day, and the cv of the daily pieces finished.

    Pieces are cases where the log has no quantities (`unit` is "pieces" or "cases"). `share` is of all finished.
    """

    product: str
    cases_finished: int
    finished: Measured
    begun: Measured
    cv_finished: float
    cv_begun: float
    share: float
    lot: float
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Demand:
    """Demand by product, largest first. `days` has: day, product, begun, finished (working days only)."""

    products: tuple[ProductDemand, ...]
    unit: str
    working_days: int
    days: pl.DataFrame
    rows: tuple[int, ...]
    found: str


MOST_PRODUCTS = 500


def demand_of(shop: Shop, begun_before: Flags, open_still: Flags) -> Demand:
    """How much of each product is begun and finished on a working day, and how uneven is that?"""
    visits = shop.visits
    begins, last = visits.begins, visits.last
    days = shop.working_days
    end = np.maximum.reduceat(visits.end, begins) if begins.size else np.zeros(0, np.int64)
    amount, unit = _amounts(shop)
    product = visits.product[begins]
    names = [*shop.laid.product.names, "all"]
    codes = np.where(product >= 0, product, len(names) - 1)
    finished = ~open_still
    into = ~begun_before
    done_day, begun_day = _place(end[finished], days), _place(visits.start[begins][into], days)
    size = len(names)
    total = np.bincount(codes[finished], amount[finished], size)
    cases = np.bincount(codes[finished], minlength=size)
    seen = np.bincount(codes, minlength=size)
    ranked = [code for code in np.argsort(-total, kind="stable").tolist() if cases[code] or seen[code]][:MOST_PRODUCTS]
    place = np.full(size, -1, np.int64)
    place[ranked] = np.arange(len(ranked))
    out_of = _by_day(place[codes[finished]], done_day, amount[finished], len(ranked), days.size)
    into_it = _by_day(place[codes[into]], begun_day, amount[into], len(ranked), days.size)
    named = first_rows(place[codes[finished]], visits.row[last][finished], len(ranked), MOST_ROWS)
    by_product = in_groups(np.arange(codes.size), codes, size)
    ends = np.cumsum(seen)
    told = []
    frames: list[tuple[str, Floats, Floats]] = []
    for code, out, came, rows in zip(ranked, out_of, into_it, named, strict=True):
        name = names[code] if code < len(names) - 1 or product.max(initial=-1) >= 0 else "all"
        name = name if code < len(names) - 1 else ("all" if product.max(initial=-1) < 0 else "not said")
        lot = float(amount[by_product[ends[code - 1] if code else 0 : ends[code]]].mean())
        told.append(
            ProductDemand(
                name, int(cases[code]), _a_day(out, rows), _a_day(came, rows), _cv(out), _cv(came),
                float(total[code] / total.sum()) if total.sum() > 0 else 0.0, lot, rows,
            )
        )  # fmt: skip
        frames.append((name, came, out))
    return Demand(
        tuple(told),
        unit,
        int(days.size),
        _days(days, frames),
        tuple(visits.row[last[:MOST_ROWS]].tolist()),
        _sentence(told, unit, days.size),
    )


def _amounts(shop: Shop) -> tuple[Floats, str]:
    """Pieces of each order: what its last visit gave good, what it asked for, or one each where the log has no quantities."""
    visits = shop.visits
    good, asked = visits.good[visits.last], shop.laid.pieces("asked")
    if "good" in shop.laid.events.has and good.sum() > 0:
        return good, "pieces"
    if asked is not None and visits.size:
        return np.nan_to_num(asked[visits.place[visits.begins]], nan=1.0), "pieces"
    return np.ones(visits.begins.size), "cases"


def _place(at: Ints, days: Ints) -> Ints:
    """The working day on which something counts: its own, or the next one."""
    return np.minimum(np.searchsorted(days, at // DAY), max(days.size - 1, 0))


def _by_day(place: Ints, day: Ints, amount: Floats, products: int, days: int) -> Floats:
    """How much of each product on each working day? Shape (products, days); a place below 0 is left out."""
    known = place >= 0
    cells = place[known] * max(days, 1) + day[known]
    return np.bincount(cells, amount[known], products * max(days, 1)).reshape(products, max(days, 1))[:, :days]


def _a_day(counts: Floats, rows: tuple[int, ...]) -> Measured:
    mean = float(counts.mean()) if counts.size else float("nan")
    reach = float(t_reach(counts.size) * counts.std(ddof=1) / np.sqrt(counts.size)) if counts.size > 1 else float("nan")
    return Measured(mean, max(mean - reach, 0.0), mean + reach, int(counts.size), rows)


def _cv(counts: Floats) -> float:
    return float(counts.std(ddof=1) / counts.mean()) if counts.size > 1 and counts.mean() > 0 else float("nan")


def _days(days: Ints, frames: list[tuple[str, Floats, Floats]]) -> pl.DataFrame:
    import polars as pl

    dates = pl.Series(days.astype(np.int32)).cast(pl.Date)
    kept = [
        pl.DataFrame(
            {"day": dates, "product": [name] * days.size, "begun": came.astype(float), "finished": out.astype(float)}
        )
        for name, came, out in frames[:60]
    ]
    return (
        pl.concat(kept)
        if kept
        else pl.DataFrame(schema={"day": pl.Date, "product": pl.String, "begun": pl.Float64, "finished": pl.Float64})
    )


def _sentence(told: list[ProductDemand], unit: str, days: int) -> str:
    if not told or not days:
        return "Nothing is finished in this log."
    total = sum(one.finished.value for one in told)
    said = f"{total:.3g} {unit if unit == 'pieces' else 'orders'} are finished on a working day, over {days:,} of them"
    if len(told) == 1:
        return said + "."
    top = 0
    part = 0.0
    while part < 0.8 and top < len(told):
        part += told[top].share
        top += 1
    if len(told) <= 3:
        return f"{said}: {', '.join(f'{one.finished.value:.3g} of {one.product}' for one in told)}."
    return f"{said}; {top} of {len(told)} products make four fifths of them."
