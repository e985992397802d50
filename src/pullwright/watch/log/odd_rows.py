"""Rows that are odd by themselves: twice there, without an end, ending before they begin, longer than any shift."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from .found import Found, counted
from .laid import ABSENT, Ints, distinct
from .looked import Looked

if TYPE_CHECKING:
    import polars as pl

TOLERATED = 59.0
"""Seconds by which the file's own span may differ from end less start: files often keep minutes."""
LONG = 8 * 3600.0
"""A booking of more than so many seconds, most of them while nobody works, was probably left on."""


def duplicates(log: Looked) -> Found | None:
    """Rows that are the same as an earlier one in every column."""
    repeats = _repeats(log.laid.events.table.drop("row"), log.likely_repeats)
    return counted(log, repeats, "{n} the same as an earlier one in every column")


def nearly(log: Looked) -> Found | None:
    """Rows of the same order, step, station and times as an earlier one, that differ in something else."""
    table = log.laid.events.table
    likely = log.likely_repeats
    same = _repeats(table.select("case", "activity", "station", "start", "end", "person", "kind"), likely)
    same = np.setdiff1d(same, _repeats(table.drop("row"), likely), assume_unique=True)
    same = same[log.whole[same]]
    return counted(
        log,
        same,
        "{n} booked at the same moments as an earlier one of the same order, step and station, with other quantities",
    )


def _repeats(table: pl.DataFrame, at: Ints) -> Ints:
    """The places of rows that came before, of those at these places."""
    import polars as pl

    if not at.size:
        return np.zeros(0, np.int64)
    some = table[at].with_columns(pl.col(pl.Categorical).cast(pl.String))
    repeated = ~some.is_duplicated().to_numpy() | _first(some)
    places: Ints = at[~repeated]
    return places


def _first(table: pl.DataFrame) -> np.ndarray:
    import polars as pl

    return table.select(pl.struct(pl.all()).is_first_distinct()).to_series().to_numpy()


def negative(log: Looked) -> Found | None:
    """Rows that end before they begin."""
    return counted(
        log, np.flatnonzero(log.whole & (log.laid.end < log.laid.start)), "{n} before it begins", verb="ends"
    )


def zero(log: Looked) -> Found | None:
    """Rows that take no time."""
    at = np.flatnonzero(log.whole & (log.laid.end == log.laid.start))
    return counted(log, at, "{n} no time at all", verb="takes")


def no_start(log: Looked) -> Found | None:
    """Rows without a start."""
    at = np.flatnonzero((log.laid.start == ABSENT) & (log.laid.end != ABSENT))
    return counted(log, at, "{n} no start", verb="has")


def no_end(log: Looked) -> Found | None:
    """Rows without an end."""
    at = np.flatnonzero((log.laid.end == ABSENT) & (log.laid.start != ABSENT))
    return counted(log, at, "{n} no end", verb="has")


def no_time(log: Looked) -> Found | None:
    """Rows with neither; those whose lifecycle word nobody explained are told while reading."""
    at = np.flatnonzero((log.laid.end == ABSENT) & (log.laid.start == ABSENT) & ~log.laid.unexplained)
    return counted(log, at, "{n} neither a start nor an end", verb="has")


def span_differs(log: Looked) -> Found | None:
    """Rows whose own span is another than end less start."""
    if "span" not in log.laid.events.has:
        return None
    span = log.laid.events.table["span"].fill_null(np.nan).to_numpy()
    with np.errstate(invalid="ignore"):
        off = np.abs(span - log.seconds) > TOLERATED
    return counted(
        log,
        np.flatnonzero(off & log.timed),
        "{n} how long it took, and it is not the time from start to end",
        verb="says",
    )


def long_spans(log: Looked) -> Found | None:
    """Bookings that go on mostly while nobody works."""
    calendar = log.calendar
    some = np.flatnonzero(log.timed & (np.nan_to_num(log.seconds) > LONG))
    if not some.size or not calendar.sure:
        return None
    worked = (log.clock.until(log.laid.wall_end[some]) - log.clock.until(log.laid.wall_start[some])) / 1e6
    with np.errstate(invalid="ignore"):
        left_on = worked < 0.5 * log.seconds[some]
    return counted(
        log,
        some[left_on],
        "{n} longer than 8 h, most of it while nobody works: worked through, or left on?",
        verb="goes on",
    )


def midnight(log: Looked) -> Found | None:
    """Bookings that begin or end at midnight to the second."""
    day = 86_400_000_000
    at = (log.laid.wall_start % day == 0) & (log.laid.start != ABSENT)
    at |= (log.laid.wall_end % day == 0) & (log.laid.end != ABSENT)
    found = np.flatnonzero(at)
    night = log.calendar.calendar
    # A shop that works through midnight has moments there like anywhere else.
    usual = at.size / 1440 * 3
    if found.size <= usual and any(shift.end <= shift.start for shift in night.shifts):
        return None
    return counted(
        log,
        found,
        "{n} midnight to the second with a start or an end, as a date without a time of day does",
        verb="touches",
    )


def rounded(log: Looked) -> Found | None:
    """Moments that were written down by the quarter of an hour, or by five minutes."""
    at = log.laid.start[log.laid.start != ABSENT]
    if at.size < 20:
        return None
    for minutes, words in ((60, "the full hour"), (15, "the quarter of an hour"), (5, "five minutes")):
        share = float((at % (minutes * 60_000_000) == 0).mean())
        if share > 0.6:
            places = np.flatnonzero(log.laid.start % (minutes * 60_000_000) == 0)
            return Found(
                places,
                f"{share * 100:.0f} % of the starts are written down to {words}: shorter work cannot be told from this log.",
            )
    return None


def crowded(log: Looked) -> Found | None:
    """Moments at which very many bookings begin: somebody booked a whole day at once."""
    start = log.laid.start
    some = np.flatnonzero(start != ABSENT)
    if some.size < 40:
        return None
    moments, counts = distinct(start[some])
    limit = max(12, 6 * int(np.ceil(np.quantile(counts, 0.9))))
    busy = moments[counts >= limit]
    many = int(busy.size)
    if not many:
        return None
    crowd = busy[np.minimum(np.searchsorted(busy, start[some]), many - 1)] == start[some]
    return counted(
        log,
        some[crowd],
        f"{{n}} at {'one moment' if many == 1 else f'{many:,} moments'} together with {limit - 1} others or more: booked afterwards, all at once?",
        verb="begins",
    )


def empty_columns(log: Looked) -> Found | None:
    """Columns that say nothing, because they are empty in every row."""
    told = []
    for name in sorted(
        log.laid.events.has & {"station", "product", "person", "asked", "good", "scrap", "held", "span"}
    ):
        column = log.laid.events.table[name]
        if column.len() and column.null_count() == column.len():
            told.append(f"{name} is empty")
    if not told:
        return None
    return Found(np.zeros(0, np.int64), f"Columns that say nothing: {', '.join(told)}.", count=len(told))
