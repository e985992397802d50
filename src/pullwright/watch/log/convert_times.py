"""Brings the moments of a log on one even scale: dates with times of day, zones, and the hours that the clock jumps over."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pullwright.watch.log.met import Met, places
from pullwright.watch.log.plan import ColumnPlan
from pullwright.watch.log.roles import Role
from pullwright.watch.log.time_forms import read_clock, read_times

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True)
class Moments:
    """One column of moments: `at` on the clock of UTC where zones are named, their `offset` in seconds (else None), and which
    cells (indices) name no zone in a column where others do: those are on the clock on the wall."""

    at: pl.Series
    offset: pl.Series | None
    bare: pl.Series | None = None


def one_time(table: pl.DataFrame, names: tuple[str, ...], plan: ColumnPlan, met: Met) -> Moments:
    """The moments of a column, or of a date and a time of day in two columns."""
    import polars as pl

    column = table[names[0]]
    read = read_times(column, day_first=plan.day_first)
    met.add("unreadable time", read.lost, f"{read.lost.len():,} cells of {names[0]} are no time that can be read.", names[0])  # fmt: skip
    if len(read.forms) > 1:
        words = "; ".join(f"{form} in {count:,}" for form, count in read.forms)
        at = _other_forms(column, read.at)
        met.add("several date formats", at, f"{names[0]} is written in {len(read.forms)} ways: {words}.", names[0])
    if len(names) == 1:
        return Moments(read.at, read.offset, read.bare)
    span, lost = read_clock(table[names[1]])
    met.add("unreadable time", lost, f"{lost.len():,} cells of {names[1]} are no time of day.", names[1])
    return Moments(pl.select(read.at.dt.truncate("1d") + span).to_series(), read.offset, read.bare)


def _other_forms(column: pl.Series, at: pl.Series) -> pl.Series:
    """The indices of the cells that are not written as most of them are."""
    import polars as pl

    if column.dtype != pl.String:
        return pl.arange(0, 0, eager=True)
    shape = column.str.strip_chars().str.replace_all(r"\d+", "9").str.replace_all(r"\p{L}{3,}\.?", "a")
    shape = shape.str.replace_all(r"[+-]9:?9$|\+9$|Z$", "z")
    usual = shape.drop_nulls().mode().sort().head(1)
    return places((shape != usual[0]) & at.is_not_null())


def on_one_scale(
    read: Mapping[Role, Moments], plan: ColumnPlan, met: Met, height: int
) -> tuple[dict[Role, pl.Series], pl.Series]:
    """The moments of all columns on one even scale, and the seconds that give the clock on the wall again.

    A moment that names no zone is taken in the zone of the plan; where the plan has none and others in the row or in the
    column do, with their offset, which is told.
    """
    import polars as pl

    some = dict(read)
    shared = plan.roles.get("start", ()), plan.roles.get("end", ())
    if all(len(names) == 2 for names in shared) and shared[0][0] == shared[1][0]:
        start, end = some["start"].at, some["end"].at
        later = pl.select(pl.when(end < start).then(end + pl.duration(days=1)).otherwise(end)).to_series()
        some["end"] = Moments(later, some["end"].offset, some["end"].bare)
    zoned = [one for one in some.values() if one.offset is not None]
    if not zoned and not plan.zone:
        flat = pl.Series("clock", [0], dtype=pl.Int32).new_from_index(0, height)
        return {role: one.at for role, one in some.items()}, flat
    clock: pl.Series | None = None
    even: dict[Role, pl.Series] = {}
    for role, one in some.items():
        name = plan.roles[role][0]
        after = even.get("start") if role == "end" else None
        at, offset = _even(one, zoned, plan.zone, met, name, after)
        even[role] = at
        known = pl.select(pl.when(at.is_not_null()).then(offset)).to_series()
        clock = known if clock is None else pl.select(pl.coalesce(clock, known)).to_series()
    if clock is None:
        clock = pl.Series([0], dtype=pl.Int32).new_from_index(0, height)
    return even, clock.fill_null(0).cast(pl.Int32).rename("clock")


def _even(
    one: Moments, zoned: list[Moments], zone: str, met: Met, name: str, after: pl.Series | None
) -> tuple[pl.Series, pl.Series]:
    import polars as pl

    at, offset, bare = one.at, one.offset, one.bare
    if offset is None and zone:
        return _from_zone(at, zone, met, name, latest_after=after)
    if offset is not None and bare is None:
        if zone and not (offset != 0).any():
            local = at.dt.replace_time_zone("UTC").dt.convert_time_zone(zone)
            offset = (local.dt.base_utc_offset() + local.dt.dst_offset()).dt.total_seconds().cast(pl.Int32)
        return at, offset
    # Some or all of these cells name no zone, and others of the log do.
    open_here = places(at.is_not_null()) if bare is None else bare
    if zone:
        met.add("zone not said", open_here, f"{open_here.len():,} times of {name} name no zone, while others do; they are taken in {zone}.", name)  # fmt: skip
        wall = at.gather(open_here)
        utc, shift = _from_zone(wall, zone, Met(met.row.gather(open_here), met.found), name, latest_after=None if after is None else after.gather(open_here))  # fmt: skip
    else:
        met.add("zone not said", open_here, f"{open_here.len():,} times of {name} name no zone, while others do; they are taken with the offset of the others around them.", name)  # fmt: skip
        known = _offsets_around(one, zoned)
        shift = known.gather(open_here)
        utc = at.gather(open_here) - pl.select(pl.duration(seconds=pl.lit(shift))).to_series()
    full = offset if offset is not None else pl.Series([0], dtype=pl.Int32).new_from_index(0, at.len())
    return at.scatter(open_here, utc), full.scatter(open_here, shift.fill_null(0))


def _offsets_around(one: Moments, zoned: list[Moments]) -> pl.Series:
    """Of each row an offset that is said: in this column, in the other one of the row, in the row before, in the row after."""
    import polars as pl

    said = []
    for other in [one, *(other for other in zoned if other is not one)]:
        if other.offset is None:
            continue
        known = pl.select(pl.when(other.at.is_not_null()).then(other.offset)).to_series()
        if other.bare is not None:
            known = known.scatter(other.bare, None)
        said.append(known)
    return pl.select(pl.coalesce(said)).to_series().fill_null(strategy="forward").fill_null(strategy="backward")


def _from_zone(
    at: pl.Series, zone: str, met: Met, name: str, *, latest_after: pl.Series | None
) -> tuple[pl.Series, pl.Series]:
    """Clock times of a zone on the even scale. Of a time that comes twice the earlier one is meant, besides an end before its start."""
    import polars as pl

    early = at.dt.replace_time_zone(zone, ambiguous="earliest", non_existent="null")
    late = at.dt.replace_time_zone(zone, ambiguous="latest", non_existent="null")
    gone = places(early.is_null() & at.is_not_null())
    met.add("clock time that does not exist", gone, f"{gone.len():,} times of {name} fall into the hour that the clock jumps over in {zone}.", name)  # fmt: skip
    twice = places(early != late)
    met.add("clock time that comes twice", twice, f"{twice.len():,} times of {name} fall into the hour that comes twice in {zone}; the earlier one is taken where it can be.", name)  # fmt: skip
    utc = early.dt.convert_time_zone("UTC").dt.replace_time_zone(None)
    if twice.len() and latest_after is not None:
        late_utc = late.dt.convert_time_zone("UTC").dt.replace_time_zone(None)
        utc = pl.select(pl.when((utc < latest_after).fill_null(value=False)).then(late_utc).otherwise(utc)).to_series()
    return utc, (at - utc).dt.total_seconds().cast(pl.Int32)
