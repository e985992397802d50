"""How much was in the shop, day by day and before each step, and does Little's law hold on the log itself?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pullwright.figure import percent
from pullwright.watch.log.laid import DAY, Flags, Floats, Ints, stable_order
from pullwright.watch.log.story.levels import integrals
from pullwright.watch.log.story.measured import MOST_ROWS
from pullwright.watch.log.story.visits import Shop
from pullwright.watch.log.story.way import Way

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class Little:
    """Little's law as a check of the data. Times in seconds of the clock.

    `area` is the integral of the number of cases in the shop over the window, from its daily curve; `time_in_window` the
    time of all cases inside the window, added up case by case: the two must be equal whatever the log (`exact_error` is
    their relative difference). `mean_wip` = area / window. The steady-state check sets it beside `rate` (cases finished
    a second) times `mean_lead` (of the cases finished); `ratio` is that product by mean_wip, 1 where the window is long
    and steady. What makes the difference, as time by mean_wip and window: `from_open` cases not finished in the window,
    `from_before` time of finished cases that lies before it.
    """

    window: float
    area: float
    time_in_window: float
    exact_error: float
    mean_wip: float
    rate: float
    mean_lead: float
    ratio: float
    from_open: float
    from_before: float
    cause: str


@dataclass(frozen=True)
class Wip:
    """Work in process over time.

    `days` has one row a date: day, cases and pieces (means over that day; pieces nan where the log has no quantities),
    cases_end (at its last moment), begun, finished. `waiting` has: day, step, cases (mean number waiting before that
    step). `before` gives for each step, in usual order, the mean number of cases waiting before it over the window.
    """

    days: pl.DataFrame
    waiting: pl.DataFrame
    before: tuple[tuple[str, float], ...]
    mean_cases: float
    mean_pieces: float
    little: Little
    rows: tuple[int, ...]
    found: str


MOST_STEPS_SHOWN = 12
SETTLED = 0.15
"""Rate times lead time may differ by so much of what is in the shop before it is said why."""


def wip_of(shop: Shop, way: Way, begun_before: Flags, open_still: Flags) -> Wip:
    """How much is in the shop over time, and does Little's law (Little 1961) hold on the log itself?

    `begun_before` and `open_still`: which orders (in the order of `visits.begins`) the log cuts off. An order is in the shop
    from its first begin to its last end; one that the log cuts off, from the first or to the last moment of the log.
    """
    visits = shop.visits
    begins = visits.begins
    first = visits.start[begins]
    last = np.maximum.reduceat(visits.end, begins) if begins.size else first
    low, high = shop.low, max(shop.high, shop.low + 1)
    start = np.where(begun_before, low, first)
    end = np.where(open_still, high, last)
    days = np.arange(low // DAY, (high - 1) // DAY + 2) * DAY
    edges = np.clip(days, low, high)
    lasts = np.maximum(np.diff(edges), 1)
    area = integrals(start, end, edges)
    size = _pieces(shop)
    known = np.isfinite(size)
    in_pieces = (
        integrals(start[known], end[known], edges, size[known]) / lasts if known.any() else np.full(lasts.size, np.nan)
    )
    little = _little(start, end, low, high, float(area.sum()), begun_before, open_still, last - first)
    order = [one.step for one in way.order]
    waits, before = _waiting(shop, order, edges, lasts, high - low)
    day = _dates(days[:-1])
    table = _table(day, area / lasts, in_pieces, start, end, edges)
    mean_pieces = float(np.sum(in_pieces * lasts) / lasts.sum()) if known.any() else float("nan")
    return Wip(
        table, _waiting_table(day, waits), before, little.mean_wip, mean_pieces, little, tuple(visits.row[begins[:MOST_ROWS]].tolist()),
        _sentence(little, table, before),
    )  # fmt: skip


def _pieces(shop: Shop) -> Floats:
    """Pieces of each order: what it asks for, or the most that any of its visits did."""
    visits = shop.visits
    if not visits.begins.size:
        return np.zeros(0)
    most = np.fmax.reduceat(visits.pieces, visits.begins)
    asked = shop.laid.pieces("asked")
    return (
        most
        if asked is None
        else np.where(np.isfinite(asked[visits.place[visits.begins]]), asked[visits.place[visits.begins]], most)
    )


def _little(
    start: Ints, end: Ints, low: int, high: int, area: float, before: Flags, still: Flags, seen: Ints
) -> Little:
    window = float(high - low)
    inside = float((np.minimum(end, high) - np.maximum(start, low)).sum()) if start.size else 0.0
    through = ~still & ~before
    rate = float((~still).sum() / window)
    lead = float(seen[through].mean()) if through.any() else float("nan")
    mean_wip = area / window
    ratio = rate * lead / mean_wip if mean_wip > 0 else float("nan")
    from_open = float((end - start)[still].sum()) / window
    from_before = float((end - start)[before & ~still].sum()) / window
    error = abs(area - inside) / max(inside, 1.0)
    return Little(
        window / 1e6, area / 1e6, inside / 1e6, error, mean_wip, rate * 1e6, lead / 1e6, ratio, from_open, from_before,
        _cause(ratio, int(still.sum()), int(before.sum()), start.size),
    )  # fmt: skip


def _cause(ratio: float, still: int, before: int, cases: int) -> str:
    if ratio != ratio:
        return "Nothing is through, so that rate times lead time cannot be set beside what is in the shop."
    if abs(ratio - 1) <= SETTLED:
        return f"Rate times lead time gives {percent(ratio)} of what is in the shop: the log agrees with itself."
    cut = f"{before:,} orders were under way when the log begins and {still:,} when it ends, of {cases:,}"
    if ratio < 1:
        return f"Rate times lead time gives {percent(ratio)} of what is in the shop. {cut}: the longest ones are not through, so that the lead time of those that are is too short."
    return f"Rate times lead time gives {percent(ratio)} of what is in the shop. {cut}; the shop was fuller or faster at one end of the log than at the other."


def _waiting(
    shop: Shop, order: list[str], edges: Ints, lasts: Ints, window: int
) -> tuple[dict[str, Floats], tuple[tuple[str, float], ...]]:
    visits, names = shop.visits, shop.laid.step.names
    total = (
        np.bincount(visits.step, np.nan_to_num(visits.waiting), len(names)) * 1e6 / window
        if visits.size
        else np.zeros(len(names))
    )
    codes = {name: code for code, name in enumerate(names)}
    before = tuple((step, float(total[codes[step]])) for step in order)
    shown = sorted(order, key=lambda step: -total[codes[step]])[:MOST_STEPS_SHOWN]
    place = np.full(len(names), -1, np.int64)
    place[[codes[step] for step in shown]] = np.arange(len(shown))
    waited = np.flatnonzero((place[visits.step] >= 0) & (visits.arrival < visits.start))
    at = place[visits.step[waited]]
    by_step = waited[stable_order(at)]
    ends = np.cumsum(np.bincount(at, minlength=len(shown)))
    waits = {}
    for step, since, until in zip(shown, [0, *ends.tolist()], ends.tolist(), strict=False):
        mine = by_step[since:until]
        waits[step] = integrals(visits.arrival[mine], visits.start[mine], edges) / lasts
    return waits, before


def _dates(days: Ints) -> Ints:
    return days // DAY


def _table(day: Ints, cases: Floats, pieces: Floats, start: Ints, end: Ints, edges: Ints) -> pl.DataFrame:
    import polars as pl

    begun = np.histogram(start, np.append(edges[:-1], np.inf))[0] if start.size else np.zeros(day.size, np.int64)
    done = np.histogram(end, np.append(edges[:-1], np.inf))[0] if end.size else np.zeros(day.size, np.int64)
    return pl.DataFrame(
        {
            "day": pl.Series(day.astype(np.int32)).cast(pl.Date), "cases": cases, "pieces": pieces,
            "cases_end": (np.cumsum(begun) - np.cumsum(done)).astype(float), "begun": begun, "finished": done,
        }
    )  # fmt: skip


def _waiting_table(day: Ints, waits: dict[str, Floats]) -> pl.DataFrame:
    import polars as pl

    dates = pl.Series(day.astype(np.int32)).cast(pl.Date)
    frames = [pl.DataFrame({"day": dates, "step": [step] * day.size, "cases": cases}) for step, cases in waits.items()]
    return (
        pl.concat(frames) if frames else pl.DataFrame(schema={"day": pl.Date, "step": pl.String, "cases": pl.Float64})
    )


def _sentence(little: Little, table: pl.DataFrame, before: tuple[tuple[str, float], ...]) -> str:
    if not little.area > 0:
        return "Nothing is in the shop for any time."
    most = table.row(int(table["cases"].arg_max() or 0), named=True)
    said = f"{little.mean_wip:.3g} orders are in the shop on average, at most {most['cases']:.3g} on {most['day']}."
    piles = [(step, cases) for step, cases in before if cases > 0]
    if piles:
        step, cases = max(piles, key=lambda one: one[1])
        said += f" The largest pile waits before {step}: {cases:.3g} at any time."
    return said
