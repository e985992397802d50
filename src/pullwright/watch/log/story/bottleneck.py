"""Which station held things longest, week by week, and how sure is that?"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from pullwright.figure import percent
from pullwright.watch.log.laid import DAY, Floats, Ints
from pullwright.watch.log.story.levels import unions_in_order
from pullwright.watch.log.story.measured import MOST_ROWS
from pullwright.watch.log.story.measuring import t_reach
from pullwright.watch.log.story.visits import Shop

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class WeekBottleneck:
    """The bottleneck of one week.

    `share` of that week's working time it was the bottleneck of the moment (its uninterrupted work lasted longest),
    `low` and `high` from day to day; `second` the next one; `clear` where the lead over the second is more than
    luck; `waiting_station` held most waiting before it that week, `agrees` where it is the same.
    """

    week: str
    station: str
    share: float
    low: float
    high: float
    second: str
    second_share: float
    clear: bool
    waiting_station: str
    waiting_share: float
    agrees: bool
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Bottlenecks:
    """The bottleneck week by week, after Roser, Nakano & Tanaka (2002), and the waiting before each station beside it.

    `stations` has one row a station over the whole window: station, share (of working time as bottleneck of the moment),
    sole (of that, without another one taking over), busy (share of working time at work), waiting_share (of all working
    time waited). `weekly` has the same per week. `shifts` counts how often the bottleneck moved.
    """

    weeks: tuple[WeekBottleneck, ...]
    stations: pl.DataFrame
    weekly: pl.DataFrame
    shifts: int
    main: str
    rows: tuple[int, ...]
    found: str


MOST_STATIONS, MOST_LOOKS = 400, 12_000
GAP = 15 * 60.0
"""Seconds of working time without a booking that do not end a period of work: somebody fetches the next piece."""
MONDAY = 4 * DAY  # 1 January 1970 was a Thursday: the first Monday came four days later


def bottlenecks_of(shop: Shop) -> Bottlenecks:
    """Which station was the bottleneck, week by week?

    The bottleneck of a moment is the station that has been and will be at work longest without a pause (Roser, Nakano &
    Tanaka 2002, from memory); pauses of up to 15 working minutes count as work, and closed hours do not count at all. The
    log is looked at in equal steps of working time, 12,000 looks at most, at the 400 stations with most work.
    """
    names = shop.laid.station.names
    some = np.flatnonzero((shop.laid.station.codes >= 0) & (shop.laid.end > shop.laid.start))
    total = shop.working_seconds
    if not some.size or total <= 0:
        return _nothing("The log does not show any station at work.")
    codes = shop.laid.station.codes[some]
    booked = np.bincount(codes, (shop.laid.end[some] - shop.laid.start[some]) / 1e6, len(names))
    chosen = np.argsort(-booked, kind="stable")[:MOST_STATIONS]
    chosen = chosen[booked[chosen] > 0]
    # The working clock never runs back: what is in order by the clock on the wall is in order by it.
    group, begin, until = unions_in_order(
        shop.by_station, shop.laid.station.codes, shop.worked_start, shop.worked_end, int(GAP * 1e6), lasting=True
    )
    looks = (
        (np.arange(min(MOST_LOOKS, max(int(total / 60), 50))) + 0.5)
        * total
        / min(MOST_LOOKS, max(int(total / 60), 50))
        * 1e6
    )
    length, busy, begins, ends = _periods(group, begin, until, chosen, looks)
    anybody = length.max(axis=0) > 0
    holder = np.where(anybody, length.argmax(axis=0), -1)
    when = _dates(shop, looks)
    sole = _sole(holder, ends, begins, looks)
    waiting = _waiting(shop, chosen)
    day = when // DAY
    week = (when - MONDAY) // (7 * DAY)
    share = np.array([(holder == k).sum() for k in range(chosen.size)]) / max(anybody.sum(), 1)
    labels = [names[code] for code in chosen.tolist()]
    weeks, weekly = _weeks(shop, labels, holder, anybody, busy, week, day, waiting, chosen)
    stations = _stations(labels, share, sole, busy.mean(axis=1), waiting)
    main = labels[int(share.argmax())] if share.max() > 0 else ""
    moved = sum(1 for one, other in pairwise(weeks) if one.station != other.station)
    rows = tuple(shop.laid.row[some[codes == chosen[int(share.argmax())]][:MOST_ROWS]].tolist())
    return Bottlenecks(
        weeks, stations, weekly, moved, main, rows, _sentence(main, float(share.max()), weeks, moved, waiting, labels)
    )


def _periods(
    group: Ints, begin: Ints, until: Ints, chosen: Ints, looks: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """For each station and look: how long the period of work around it lasts (0: none), whether it works, when that period
    begins (infinite: none) and ends (0: none)."""
    shape = (chosen.size, looks.size)
    length, starts, ends = np.zeros(shape, np.float32), np.full(shape, np.inf), np.zeros(shape)
    edges = np.searchsorted(group, [chosen, chosen + 1])
    for k, (first, last) in enumerate(edges.T.tolist()):
        begins, untils = begin[first:last], until[first:last]
        if not begins.size:
            continue
        at = np.maximum(np.searchsorted(begins, looks, side="right") - 1, 0)
        working = (begins[at] <= looks) & (looks < untils[at])
        length[k] = np.where(working, untils[at] - begins[at], 0)
        starts[k] = np.where(working, begins[at], np.inf)
        ends[k] = np.where(working, untils[at], 0)
    return length, (length > 0).astype(np.float32), starts, ends


def _sole(holder: Ints, ends: Floats, begins: Floats, looks: Floats) -> Floats:
    """The share of looks at which a station holds alone: the one that takes over from it has not begun its period yet."""
    alone = np.zeros(ends.shape[0])
    change = np.flatnonzero(np.diff(holder)) + 1
    runs = np.split(np.arange(holder.size), change)
    for k, run in enumerate(runs):
        station = holder[run[0]]
        if station < 0:
            continue
        takes_over = np.inf
        if k + 1 < len(runs) and holder[runs[k + 1][0]] >= 0:
            takes_over = begins[holder[runs[k + 1][0]], runs[k + 1][0]]
        alone[station] += int((looks[run] < takes_over).sum())
    return alone / max(int((holder >= 0).sum()), 1)


def _dates(shop: Shop, looks: Floats) -> Ints:
    """The moments of the looks on the clock, by way of one moment in a hundred of the working time."""
    grid = np.linspace(shop.low, shop.high, 200_001).astype(np.int64)
    worked = shop.worked(grid) * 1e6
    return grid[np.minimum(np.searchsorted(worked, looks), grid.size - 1)]


def _waiting(shop: Shop, chosen: Ints) -> Floats:
    """The share of all waiting (clock) that is before each station."""
    visits = shop.visits
    known = (visits.station >= 0) & np.isfinite(visits.waiting)
    waits = np.bincount(visits.station[known], visits.waiting[known], shop.laid.station.size)
    return waits[chosen] / max(float(waits.sum()), 1e-9)


def _weeks(
    shop: Shop,
    labels: list[str],
    holder: Ints,
    anybody: Floats,
    busy: Floats,
    week: Ints,
    day: Ints,
    waiting: Floats,
    chosen: Ints,
) -> tuple[tuple[WeekBottleneck, ...], pl.DataFrame]:
    import polars as pl

    visits = shop.visits
    arrived = (visits.arrival - MONDAY) // (7 * DAY)
    place = np.full(shop.laid.station.size + 1, -1)
    place[chosen] = np.arange(chosen.size)
    first = int(week.min())
    many = int(week.max()) - first + 1
    known = np.isfinite(visits.waiting) & (place[visits.station] >= 0) & (arrived >= first) & (arrived < first + many)
    cells = (arrived[known] - first) * len(labels) + place[visits.station[known]]
    waited = np.bincount(cells, visits.waiting[known], many * len(labels)).reshape(many, len(labels)).astype(float)
    by_station = shop.by_station
    edges = np.searchsorted(shop.laid.station.codes[by_station], [chosen, chosen + 1]).T
    starts = shop.laid.start[by_station]
    told, frames = [], []
    for one in np.unique(week).tolist():
        mine = (week == one) & anybody
        monday = str(np.datetime64(0, "D") + int((one * 7 * DAY + MONDAY) // DAY))
        if not mine.any():
            continue
        share = np.bincount(holder[mine], minlength=len(labels)) / mine.sum()
        waits = waited[one - first]
        wait_share = waits / waits.sum() if waits.sum() > 0 else waits
        frames.append(
            pl.DataFrame(
                {
                    "week": [monday] * len(labels),
                    "station": labels,
                    "share": share,
                    "busy": busy[:, mine].mean(axis=1).astype(float),
                    "waiting_share": wait_share,
                }
            )
        )
        begin, until = edges[int(share.argmax())].tolist()
        moments = int(one) * 7 * DAY + MONDAY + np.array([0, 7 * DAY])
        since, before = (begin + np.searchsorted(starts[begin:until], moments)).tolist()
        rows = shop.laid.row[np.sort(by_station[since:before])[:MOST_ROWS]]
        told.append(_week(labels, holder, mine, day, share, wait_share, monday, tuple(rows.tolist())))
    schema = {
        "week": pl.String,
        "station": pl.String,
        "share": pl.Float64,
        "busy": pl.Float64,
        "waiting_share": pl.Float64,
    }
    return tuple(told), pl.concat(frames) if frames else pl.DataFrame(schema=schema)


def _week(
    labels: list[str],
    holder: Ints,
    mine: Floats,
    day: Ints,
    share: Floats,
    waits: Floats,
    monday: str,
    rows: tuple[int, ...],
) -> WeekBottleneck:
    first = int(share.argmax())
    others = np.where(np.arange(share.size) == first, -1.0, share)
    second = int(others.argmax()) if share.size > 1 else first
    days = np.unique(day[mine])
    mine_share, lead = np.zeros(days.size), np.zeros(days.size)
    for k, one in enumerate(days.tolist()):
        now = holder[mine & (day == one)]
        mine_share[k] = (now == first).mean()
        lead[k] = mine_share[k] - (now == second).mean()
    reach = float(t_reach(days.size) * mine_share.std(ddof=1) / np.sqrt(days.size)) if days.size > 1 else float("nan")
    margin = float(t_reach(days.size) * lead.std(ddof=1) / np.sqrt(days.size)) if days.size > 1 else float("inf")
    low, high = (
        (max(share[first] - reach, 0.0), min(share[first] + reach, 1.0)) if reach == reach else (float("nan"),) * 2
    )
    held = int(waits.argmax()) if waits.sum() > 0 else first
    return WeekBottleneck(
        monday, labels[first], float(share[first]), float(low), float(high), labels[second] if others.max() > 0 else "",
        float(max(others.max(), 0.0)), bool(lead.mean() > margin), labels[held] if waits.sum() > 0 else "", float(waits[held]) if waits.sum() > 0 else 0.0,
        bool(waits.sum() > 0 and held == first), rows,
    )  # fmt: skip


def _stations(labels: list[str], share: Floats, sole: Floats, busy: Floats, waiting: Floats) -> pl.DataFrame:
    import polars as pl

    table = pl.DataFrame(
        {"station": labels, "share": share, "sole": sole, "busy": busy.astype(float), "waiting_share": waiting}
    )
    return table.sort("share", descending=True)


def _nothing(found: str) -> Bottlenecks:
    import polars as pl

    empty = {
        "station": pl.String,
        "share": pl.Float64,
        "sole": pl.Float64,
        "busy": pl.Float64,
        "waiting_share": pl.Float64,
    }
    return Bottlenecks(
        (),
        pl.DataFrame(schema=empty),
        pl.DataFrame(schema={"week": pl.String, **{k: v for k, v in empty.items() if k != "sole"}}),
        0,
        "",
        (),
        found,
    )


def _sentence(
    main: str, share: float, weeks: tuple[WeekBottleneck, ...], moved: int, waiting: Floats, labels: list[str]
) -> str:
    if not main:
        return "No station stands out as the bottleneck."
    led = sum(1 for one in weeks if one.station == main)
    said = f"{main} was the bottleneck most often: in {percent(share)} of the time that anything worked, and first in {led} of {len(weeks)} weeks."
    clear = sum(1 for one in weeks if one.clear)
    if moved:
        said += (
            f" It moved {moved} times from one week to the next; in {clear} of the weeks the lead is more than luck."
        )
    if waiting.size and waiting.max() > 0:
        longest = labels[int(waiting.argmax())]
        said += (
            f" Most of the waiting, {percent(waiting.max())}, was before {longest if longest != main else 'it, too'}."
        )
    return said
