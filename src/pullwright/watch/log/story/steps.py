"""What does each step take: touch time per booking and per piece, waiting before it, set-ups, lots?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.figure import percent
from pullwright.watch.log.laid import Floats, Ints, edges_of, order_within, tallied
from pullwright.watch.log.story.measured import MOST_ROWS, Measured
from pullwright.watch.log.story.measuring import means, ratios, spreads
from pullwright.watch.log.story.visits import Shop, Visits
from pullwright.watch.log.story.way import Way


@dataclass(frozen=True, slots=True)
class StepWork:
    """One step. Times are seconds.

    `touch`: a visit of one case, all its bookings together, set-ups left out; `touch_cv` its spread (standard deviation
    by mean); `per_piece`: touch time by pieces (good, scrapped and held), over all; `waiting`: clock time from the end
    of the case's visit before to the begin of this one, `waiting_worked` its part in working time; `setup`: one set-up,
    `setup_every`: visits to a set-up; `setup_from` says "kind" where the log marks set-ups, "inferred" where they were
    taken from longer first pieces after a change of product, "" where nothing is known. `lot`: pieces of a visit.
    `stations` are where it is done, with the share of its visits.
    """

    step: str
    cases: int
    visits: int
    bookings: int
    touch: Measured
    touch_cv: float
    booking: Measured
    per_piece: Measured
    waiting: Measured
    waiting_worked: Measured
    waiting_median: float
    setup: Measured
    setup_every: float
    setup_from: str
    lot: Measured
    stations: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Steps:
    """All steps in their usual order; `touch_total` and `waiting_total` are seconds over all cases (waiting by the clock)."""

    steps: tuple[StepWork, ...]
    touch_total: float
    waiting_total: float
    rows: tuple[int, ...]
    found: str

    def of(self, step: str) -> StepWork:
        """The row of one step. Raises KeyError where the log has no such step."""
        for row in self.steps:
            if row.step == step:
                return row
        raise KeyError(f"the log has no step {step!r} (it has: {', '.join(row.step for row in self.steps[:10])})")


ENOUGH_CHANGES = 10
"""So many visits after a change of product, and without one, before a set-up is inferred from them."""
CLEAR = 3.0
"""So many standard errors the difference must be."""


def steps_of(shop: Shop, way: Way) -> Steps:
    """How much work is in each step, how long does an order wait before it, how are its set-ups and lots?"""
    visits, names = shop.visits, shop.laid.step.names
    size = len(names)
    run = np.where(visits.run > 0, visits.run, np.nan)
    waiting, worked = visits.waiting, _worked_waiting(shop, visits)
    touch = means(visits.step, run, size, visits.row)
    booking = ratios(visits.step, np.nan_to_num(run), visits.bookings.astype(float), size, visits.row)
    per_piece = ratios(
        visits.step, np.nan_to_num(run), np.where(np.isfinite(run), visits.pieces, np.nan), size, visits.row
    )
    wait = means(visits.step, waiting, size, visits.row)
    wait_worked = means(visits.step, worked, size, visits.row)
    setups = means(visits.step, np.where(visits.setup > 0, visits.setup, np.nan), size, visits.row)
    lots = means(visits.step, visits.pieces, size, visits.row)
    cv, median = spreads(visits.step, run, size), _medians(visits.step, waiting, size)
    count, bookings = np.bincount(visits.step, minlength=size), np.bincount(visits.step, visits.bookings, size)
    with_setup = np.bincount(visits.step[visits.setup > 0], minlength=size)
    inferred = _inferred(visits, size) if not with_setup.any() else {}
    where = _stations(visits)
    rows = []
    for one in way.order:
        code = names.index(one.step)
        setup, every, source = setups[code], float("nan"), ""
        if with_setup[code]:
            every, source = float(count[code] / with_setup[code]), "kind"
        elif code in inferred:
            setup, every = inferred[code]
            source = "inferred"
        rows.append(
            StepWork(
                one.step, one.cases, int(count[code]), int(bookings[code]), touch[code], float(cv[code]), booking[code],
                per_piece[code], wait[code], wait_worked[code], float(median[code]), setup, every, source, lots[code],
                where.get(code, ()),
            )
        )  # fmt: skip
    touch_total, waiting_total = float(np.nansum(run)), float(np.nansum(waiting))
    return Steps(
        tuple(rows),
        touch_total,
        waiting_total,
        tuple(visits.row[:MOST_ROWS].tolist()),
        _sentence(rows, touch_total, waiting_total, float(np.nansum(worked))),
    )


def _worked_waiting(shop: Shop, visits: Visits) -> Floats:
    if not visits.size:
        return np.zeros(0)
    return np.where(visits.is_first, np.nan, (visits.worked_start - visits.worked_arrival) / 1e6)


def _medians(codes: Ints, values: Floats, groups: int) -> Floats:
    import polars as pl

    table = pl.DataFrame({"group": codes.astype(np.int64), "value": values}).filter(pl.col("value").is_finite())
    found = table.group_by("group").agg(pl.col("value").median())
    medians = np.full(groups, np.nan)
    medians[found["group"].to_numpy()] = found["value"].to_numpy()
    return medians


def _inferred(visits: Visits, size: int) -> dict[int, tuple[Measured, float]]:
    """Set-ups where the log marks none: how much longer a visit takes after a change of product at its station."""
    known = np.flatnonzero((visits.product >= 0) & (visits.station >= 0) & (visits.run > 0))
    order = known[order_within(visits.station[known], visits.start[known], visits.end[known])]
    if order.size < 2 * ENOUGH_CHANGES:
        return {}
    changed = np.zeros(order.size, bool)
    changed[1:] = visits.product[order[1:]] != visits.product[order[:-1]]
    first = np.zeros(order.size, bool)
    first[edges_of(visits.station[order])] = True
    order, changed = order[~first], changed[~first]
    found = {}
    for code in range(size):
        mine = visits.step[order] == code
        after, same = visits.run[order[mine & changed]], visits.run[order[mine & ~changed]]
        if min(after.size, same.size) < ENOUGH_CHANGES:
            continue
        longer = float(after.mean() - same.mean())
        error = float(np.sqrt(after.var(ddof=1) / after.size + same.var(ddof=1) / same.size))
        if longer > CLEAR * error:
            rows = tuple(visits.row[order[mine & changed][:MOST_ROWS]].tolist())
            reach = 1.6448536269514722 * error
            found[code] = (
                Measured(longer, max(longer - reach, 0.0), longer + reach, int(after.size), rows),
                float(mine.sum() / after.size),
            )
    return found


def _stations(visits: Visits) -> dict[int, tuple[tuple[str, float], ...]]:
    known = visits.station >= 0
    stations, names = max(visits.shop.laid.station.size, 1), visits.shop.laid.station.names
    steps = max(visits.shop.laid.step.size, 1)
    pairs, counts = tallied(visits.step[known].astype(np.int64) * stations + visits.station[known], steps * stations)
    found: dict[int, list[tuple[str, float]]] = {}
    for pair, count in zip(pairs.tolist(), counts.tolist(), strict=True):
        found.setdefault(pair // stations, []).append((names[pair % stations], float(count)))
    return {
        step: tuple((name, count / sum(c for _, c in some)) for name, count in sorted(some, key=lambda one: -one[1]))
        for step, some in found.items()
    }


def _sentence(rows: list[StepWork], touch: float, waiting: float, worked: float) -> str:
    if not rows:
        return "The log has no steps."
    if not touch + waiting > 0:
        return f"{len(rows)} steps, and no time in any of them."
    share = percent(touch / (touch + worked)) if touch + worked > 0 else percent(0.0)
    said = f"Of the working time that orders spend at and before their steps, {share} is work and the rest is waiting."
    longest = max(rows, key=lambda one: one.waiting.value * one.waiting.count if one.waiting.known else 0.0)
    if longest.waiting.known and waiting > 0:
        part = longest.waiting.value * longest.waiting.count / waiting
        said += f" The largest part of the waiting by the clock, {percent(part)}, is before {longest.step}."
    return said
