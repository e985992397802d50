"""Turns the columns of a log into events, as a plan says: one row an event, nothing lost without being counted."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from pullwright.watch.log.events import COLUMNS, EVENT_KINDS, Events, Oddity
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.lifecycle import paired
from pullwright.watch.log.numbers_read import read_numbers, read_spans
from pullwright.watch.log.plan import ColumnPlan, check_zone
from pullwright.watch.log.raw import ROW, RawLog
from pullwright.watch.log.roles import BY_ROLE, Role
from pullwright.watch.log.time_forms import read_clock, read_times

if TYPE_CHECKING:
    import polars as pl

MOST_ROWS = 1_000
_YES = ("y", "yes", "true", "1", "x", "j", "ja", "o", "oui", "s", "si", "sí", "v", "vrai", "wahr", "rework", "nacharbeit", "nok")  # fmt: skip
CHOICES: dict[str, tuple[str, ...]] = {
    "unreadable time": ("leave it out", "stop"),
    "several date formats": ("read each in its own format",),
    "unreadable number": ("take it as not said",),
    "clock time that does not exist": ("leave it out",),
    "clock time that comes twice": ("take the earlier one",),
    "unknown kind": ("take it as other",),
}


@dataclass
class _Met:
    """What was met on the way, and the rows of the file."""

    row: pl.Series
    found: list[Oddity] = field(default_factory=list)

    def add(self, key: str, at: pl.Series, sentence: str, column: str) -> None:
        """Note the cells at these indices."""
        if at.len():
            rows = tuple(self.row.gather(at.head(MOST_ROWS)).to_list())
            self.found.append(Oddity(key, at.len(), rows, sentence, CHOICES[key], column))


def to_events(raw: RawLog, plan: ColumnPlan) -> Events:
    """The events of a log as its plan of columns says.

    A row with a start and an end is an event. Rows that are one moment are paired where a lifecycle column says what
    began and what ended (the first start with the first end of the same case, step and station, or by the column that
    ties them); without such a column the moment is the end. Cells that cannot be read are null and are told as oddities.
    Errors: LogError where the plan lacks the case, the step or any time, or names columns that are not there.
    """
    import polars as pl

    _check(raw, plan)
    table = raw.table
    met = _Met(table[ROW])
    times, clock = _all_times(table, plan, met)
    columns: dict[str, pl.Series] = {ROW: table[ROW].cast(pl.UInt32)}
    for role in ("case", "activity", "station"):
        name = plan.column(role) or plan.column("activity")
        columns[role] = _words(table[name])
    height = table.height
    empty_time = pl.Series([None], dtype=pl.Datetime("us")).new_from_index(0, height)
    columns["start"] = times.get("start", empty_time)
    columns["end"] = times.get("end", empty_time)
    columns["clock"] = clock
    columns["span"] = _spans(table, plan, met)
    columns["kind"] = _kinds(table, plan, met)
    for role in ("product", "person"):
        name = plan.column(role)  # type: ignore[arg-type]
        columns[role] = _words(table[name]) if name else pl.Series([None], dtype=pl.Categorical).new_from_index(0, height)  # fmt: skip
    for role in ("asked", "good", "scrap", "held"):
        columns[role] = _numbers(table, plan, role, met)  # type: ignore[arg-type]
    columns["rework"] = _rework(table, plan)
    has = set(plan.roles)
    if "moment" in times:
        if "lifecycle" in has:
            made = pl.DataFrame({**columns, "moment": times["moment"]})
            phase = _phases(table, plan)
            made = paired(made, phase, table[plan.instance] if plan.instance else None)
            has -= {"moment", "lifecycle"}
            has |= {"start", "end"}
            return _whole(made, raw, has, met)
        columns["end"] = times["moment"]
        has = (has - {"moment"}) | {"end"}
    return _whole(pl.DataFrame(columns), raw, has, met)


def _whole(made: pl.DataFrame, raw: RawLog, has: set[Role], met: _Met) -> Events:
    return Events(made.select(list(COLUMNS)), raw.name, frozenset(has), tuple(met.found))


def _check(raw: RawLog, plan: ColumnPlan) -> None:
    for role in ("case", "activity"):
        if not plan.column(role):
            words = BY_ROLE[role]
            raise LogError(f"no column for {words.words}", "one column for it", f"say which it is: {words.question}", file=raw.name)  # fmt: skip
    if not any(plan.column(role) for role in ("start", "end", "moment")):
        raise LogError("no column of times", "a start and an end, or a moment", "say which columns hold them", file=raw.name)  # fmt: skip
    plan.with_roles(
        {role: names for role, names in plan.roles.items() if any(name not in raw.headers for name in names)}
    )
    for role, names in plan.roles.items():
        for name in names:
            if name not in raw.table.columns:
                raise LogError(f"the column {name!r} for {BY_ROLE[role].words}", "a column of the file", "guess the columns again", file=raw.name, column=name)  # fmt: skip
    if plan.zone:
        check_zone(plan.zone)


def _words(column: pl.Series) -> pl.Series:
    import polars as pl

    if column.dtype == pl.Categorical:
        return column
    if column.dtype.is_float() and column.drop_nulls().len() and (column.drop_nulls().round() == column.drop_nulls()).all():  # fmt: skip
        column = column.cast(pl.Int64, strict=False)
    text = column.cast(pl.String)
    coded = text.cast(pl.Categorical)
    names = coded.unique().drop_nulls().cast(pl.String)
    if any(name != name.strip() or not name for name in names.to_list()):
        stripped = text.str.strip_chars()
        coded = stripped.set(stripped == "", None).cast(pl.Categorical)
    return coded


def _all_times(table: pl.DataFrame, plan: ColumnPlan, met: _Met) -> tuple[dict[Role, pl.Series], pl.Series]:
    """The moments of the log on one even scale, and what is added to them to get the clock on the wall."""
    import polars as pl

    read: dict[Role, tuple[pl.Series, pl.Series | None]] = {}
    for role in ("start", "end", "moment"):
        names = plan.roles.get(role, ())
        if names:
            read[role] = _one_time(table, names, plan, met)
    shared = plan.roles.get("start", ()), plan.roles.get("end", ())
    if all(len(names) == 2 for names in shared) and shared[0][0] == shared[1][0]:
        (start, _), (end, offset) = read["start"], read["end"]
        later = pl.select(pl.when(end < start).then(end + pl.duration(days=1)).otherwise(end)).to_series()
        read["end"] = later, offset
    height = table.height
    zoned = any(offset is not None for _, offset in read.values())
    if not zoned and not plan.zone:
        flat = pl.Series("clock", [0], dtype=pl.Int32).new_from_index(0, height)
        return {role: at for role, (at, _) in read.items()}, flat
    clock: pl.Series | None = None
    even: dict[Role, pl.Series] = {}
    for role, (at, offset) in read.items():
        name = plan.roles[role][0]
        if offset is None and plan.zone:
            at, offset = _from_zone(at, plan.zone, met, name, latest_after=even.get("start") if role == "end" else None)  # fmt: skip
        elif offset is not None and plan.zone and not (offset != 0).any():
            local = at.dt.replace_time_zone("UTC").dt.convert_time_zone(plan.zone)
            offset = (local.dt.base_utc_offset() + local.dt.dst_offset()).dt.total_seconds().cast(pl.Int32)
        even[role] = at
        if offset is not None:
            known = pl.select(pl.when(at.is_not_null()).then(offset)).to_series()
            clock = known if clock is None else pl.select(pl.coalesce(clock, known)).to_series()
    if clock is None:
        clock = pl.Series([0], dtype=pl.Int32).new_from_index(0, height)
    return even, clock.fill_null(0).cast(pl.Int32).rename("clock")


def _one_time(
    table: pl.DataFrame, names: tuple[str, ...], plan: ColumnPlan, met: _Met
) -> tuple[pl.Series, pl.Series | None]:
    import polars as pl

    column = table[names[0]]
    read = read_times(column, day_first=plan.day_first)
    met.add("unreadable time", read.lost, f"{read.lost.len():,} cells of {names[0]} are no time that can be read.", names[0])  # fmt: skip
    if len(read.forms) > 1:
        most = max(count for _, count in read.forms)
        words = "; ".join(f"{form} in {count:,}" for form, count in read.forms)
        at = _other_forms(column, read.at, most, read.forms)
        met.add("several date formats", at, f"{names[0]} is written in {len(read.forms)} ways: {words}.", names[0])
    if len(names) == 1:
        return read.at, read.offset
    span, lost = read_clock(table[names[1]])
    met.add("unreadable time", lost, f"{lost.len():,} cells of {names[1]} are no time of day.", names[1])
    return pl.select(read.at.dt.truncate("1d") + span).to_series(), read.offset


def _other_forms(column: pl.Series, at: pl.Series, most: int, forms: tuple[tuple[str, int], ...]) -> pl.Series:
    """The indices of the cells that are not written as most of them are."""
    import polars as pl

    if column.dtype != pl.String:
        return pl.arange(0, 0, eager=True)
    shape = column.str.strip_chars().str.replace_all(r"\d+", "9")
    usual = shape.drop_nulls().mode().head(1)
    return pl.arange(0, column.len(), eager=True).filter((shape != usual[0]).fill_null(value=False) & at.is_not_null())


def _from_zone(
    at: pl.Series, zone: str, met: _Met, name: str, *, latest_after: pl.Series | None
) -> tuple[pl.Series, pl.Series]:
    """Clock times of a zone on the even scale. Of a time that comes twice the earlier one is meant, besides an end before its start."""
    import polars as pl

    early = at.dt.replace_time_zone(zone, ambiguous="earliest", non_existent="null")
    late = at.dt.replace_time_zone(zone, ambiguous="latest", non_existent="null")
    index = pl.arange(0, at.len(), eager=True)
    gone = index.filter(early.is_null() & at.is_not_null())
    met.add("clock time that does not exist", gone, f"{gone.len():,} times of {name} fall into the hour that the clock jumps over in {zone}.", name)  # fmt: skip
    twice = index.filter((early != late).fill_null(value=False))
    met.add("clock time that comes twice", twice, f"{twice.len():,} times of {name} fall into the hour that comes twice in {zone}; the earlier one is taken where it can be.", name)  # fmt: skip
    utc = early.dt.convert_time_zone("UTC").dt.replace_time_zone(None)
    if twice.len() and latest_after is not None:
        late_utc = late.dt.convert_time_zone("UTC").dt.replace_time_zone(None)
        utc = pl.select(pl.when((utc < latest_after).fill_null(value=False)).then(late_utc).otherwise(utc)).to_series()
    return utc, (at - utc).dt.total_seconds().cast(pl.Int32)


def _spans(table: pl.DataFrame, plan: ColumnPlan, met: _Met) -> pl.Series:
    import polars as pl

    name = plan.column("span")
    if not name:
        return pl.Series([None], dtype=pl.Float64).new_from_index(0, table.height)
    value, lost = read_spans(table[name], unit=plan.span_unit, decimal=plan.decimal)
    met.add("unreadable number", lost, f"{lost.len():,} cells of {name} are no duration that can be read.", name)
    return value.cast(pl.Float64)


def _numbers(table: pl.DataFrame, plan: ColumnPlan, role: Role, met: _Met) -> pl.Series:
    import polars as pl

    name = plan.column(role)
    if not name:
        return pl.Series([None], dtype=pl.Float64).new_from_index(0, table.height)
    value, lost = read_numbers(table[name], decimal=plan.decimal)
    met.add("unreadable number", lost, f"{lost.len():,} cells of {name} are no number.", name)
    return value.cast(pl.Float64)


def _kinds(table: pl.DataFrame, plan: ColumnPlan, met: _Met) -> pl.Series:
    import polars as pl

    name = plan.column("kind")
    if not name:
        return pl.Series(["run"], dtype=pl.Categorical).new_from_index(0, table.height)
    words = table[name].cast(pl.String).str.strip_chars()
    distinct = words.unique().drop_nulls()
    known = {word.strip(): kind for word, kind in plan.meanings.items()}
    strange = [word for word in distinct.to_list() if word and word not in known]
    if strange:
        at = pl.arange(0, words.len(), eager=True).filter(words.is_in(strange).fill_null(value=False))
        met.add("unknown kind", at, f"{', '.join(strange[:5])}: nobody said what {name} means by that.", name)
    for kind in known.values():
        if kind not in EVENT_KINDS:
            raise LogError(f"the kind {kind!r}", ", ".join(EVENT_KINDS))
    # A row that says no kind is work like any other.
    return words.replace_strict({**known, **dict.fromkeys(strange, "other")} or {"": "run"}, default="run", return_dtype=pl.String).fill_null("run").cast(pl.Categorical)  # fmt: skip


def _phases(table: pl.DataFrame, plan: ColumnPlan) -> pl.Series:
    import polars as pl

    words = table[plan.column("lifecycle")].cast(pl.String).str.strip_chars()
    known = {word.strip(): phase for word, phase in plan.phases.items()}
    return words.replace_strict(known or {"": "other"}, default="end", return_dtype=pl.String).fill_null("end")


def _rework(table: pl.DataFrame, plan: ColumnPlan) -> pl.Series:
    import polars as pl

    name = plan.column("rework")
    if not name:
        return pl.Series([False]).new_from_index(0, table.height)
    column = table[name]
    if column.dtype == pl.Boolean:
        return column.fill_null(value=False)
    text = column.cast(pl.String).str.strip_chars().str.to_lowercase()
    number, _ = read_numbers(column, decimal=plan.decimal)
    return (text.is_in(_YES) | (number > 0).fill_null(value=False)).fill_null(value=False)
