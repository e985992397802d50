"""Turns the columns of a log into events, as a plan says: one row an event, nothing lost without being counted."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TYPE_CHECKING, TypeVar

from pullwright.watch.log.convert_times import Moments, on_one_scale, one_time
from pullwright.watch.log.events import COLUMNS, EVENT_KINDS, Events, Oddity
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.lifecycle import paired
from pullwright.watch.log.met import Met, places
from pullwright.watch.log.numbers_read import read_numbers, read_spans
from pullwright.watch.log.plan import ColumnPlan, check_zone
from pullwright.watch.log.raw import ROW, RawLog
from pullwright.watch.log.roles import BY_ROLE, Role

if TYPE_CHECKING:
    import polars as pl

T = TypeVar("T")
_TIMES: tuple[Role, ...] = ("start", "end", "moment")
_WORDS: tuple[Role, ...] = ("case", "activity", "station", "product", "person")
_NUMBERS: tuple[Role, ...] = ("asked", "good", "scrap", "held")
_YES = ("y", "yes", "true", "1", "x", "j", "ja", "o", "oui", "s", "si", "sí", "v", "vrai", "wahr", "rework", "nacharbeit", "nok")  # fmt: skip
WORKERS = max(2, min(4, os.cpu_count() or 2))
"""So many columns are read at once."""


def to_events(raw: RawLog, plan: ColumnPlan) -> Events:
    """The events of a log as its plan of columns says.

    A row with a start and an end is an event. Rows that are one moment are paired where a lifecycle column says what
    began and what ended (the first start with the first end of the same case, step and station, or by the column that
    ties them); without such a column the moment is the end. Cells that cannot be read are null and are told as oddities; a row whose lifecycle
    word nobody explained has no start and no end, so that `decide` sets it aside.
    Errors: LogError where the plan lacks the case, the step or any time, or names columns that are not there.
    """
    import polars as pl

    _check(raw, plan)
    table = raw.table
    height = table.height
    with ThreadPoolExecutor(WORKERS) as pool:
        jobs = _Jobs(table[ROW], pool)
        moments = {role: jobs.ask(_timed(table, plan.roles[role], plan)) for role in _TIMES if role in plan.roles}
        words: dict[str, Future[pl.Series]] = {}
        for role in _WORDS:
            name = plan.column(role) or (plan.column("activity") if role == "station" else "")
            if name and name not in words:
                words[name] = pool.submit(_words, table[name])
        span = jobs.ask(lambda met: _spans(table, plan, met))
        kind = jobs.ask(lambda met: _kinds(table, plan, met))
        numbers = {role: jobs.ask(_numbered(table, plan, role)) for role in _NUMBERS}
        rework = pool.submit(_rework, table, plan)
        met = Met(table[ROW])
        times, clock = on_one_scale({role: one.result() for role, one in moments.items()}, plan, met, height)
        columns: dict[str, pl.Series] = {ROW: table[ROW].cast(pl.UInt32)}
        nothing = pl.Series([None], dtype=pl.Categorical).new_from_index(0, height)
        for role in _WORDS:
            name = plan.column(role) or (plan.column("activity") if role == "station" else "")
            columns[role] = words[name].result() if name else nothing
        empty_time = pl.Series([None], dtype=pl.Datetime("us")).new_from_index(0, height)
        columns["start"] = times.get("start", empty_time)
        columns["end"] = times.get("end", empty_time)
        columns.update({"clock": clock, "span": span.result(), "kind": kind.result()})
        columns.update({role: one.result() for role, one in numbers.items()})
        columns["rework"] = rework.result()
    met.found[:0] = jobs.found(0, len(moments))
    met.found += jobs.found(len(moments))
    has = set(plan.roles)
    if "moment" in times:
        if "lifecycle" in has:
            made = pl.DataFrame({**columns, "moment": times["moment"]})
            phase = _phases(table, plan, met)
            made = paired(made, phase, table[plan.instance] if plan.instance else None)
            has -= {"moment", "lifecycle"}
            has |= {"start", "end"}
            return _whole(made, raw, has, met, table[ROW].filter(phase == "unknown").cast(pl.UInt32))
        columns["end"] = times["moment"]
        has = (has - {"moment"}) | {"end"}
    return _whole(pl.DataFrame(columns), raw, has, met)


class _Jobs:
    """Columns that are read side by side, each with its own list of what it met, so that the order is always the same."""

    def __init__(self, row: pl.Series, pool: ThreadPoolExecutor) -> None:
        self.row, self.pool = row, pool
        self.met: list[Met] = []

    def ask(self, make: Callable[[Met], T]) -> Future[T]:
        """Begin to read one."""
        self.met.append(Met(self.row))
        return self.pool.submit(make, self.met[-1])

    def found(self, first: int, after: int | None = None) -> list[Oddity]:
        """What was met in these of them."""
        return [one for met in self.met[first:after] for one in met.found]


def _timed(table: pl.DataFrame, names: tuple[str, ...], plan: ColumnPlan) -> Callable[[Met], Moments]:
    return lambda met: one_time(table, names, plan, met)


def _numbered(table: pl.DataFrame, plan: ColumnPlan, role: Role) -> Callable[[Met], pl.Series]:
    return lambda met: _numbers(table, plan, role, met)


def _whole(made: pl.DataFrame, raw: RawLog, has: set[Role], met: Met, unexplained: pl.Series | None = None) -> Events:
    return Events(made.select(list(COLUMNS)), raw.name, frozenset(has), tuple(met.found), unexplained)


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
    if ((names != names.str.strip_chars()) | (names == "")).any():
        stripped = text.str.strip_chars()
        coded = stripped.set(stripped == "", None).cast(pl.Categorical)
    return coded


def _spans(table: pl.DataFrame, plan: ColumnPlan, met: Met) -> pl.Series:
    import polars as pl

    name = plan.column("span")
    if not name:
        return pl.Series([None], dtype=pl.Float64).new_from_index(0, table.height)
    value, lost = read_spans(table[name], unit=plan.span_unit, decimal=plan.decimal)
    met.add("unreadable number", lost, f"{lost.len():,} cells of {name} are no duration that can be read.", name)
    return value.cast(pl.Float64)


def _numbers(table: pl.DataFrame, plan: ColumnPlan, role: Role, met: Met) -> pl.Series:
    import polars as pl

    name = plan.column(role)
    if not name:
        return pl.Series([None], dtype=pl.Float64).new_from_index(0, table.height)
    value, lost = read_numbers(table[name], decimal=plan.decimal)
    met.add("unreadable number", lost, f"{lost.len():,} cells of {name} are no number.", name)
    return value.cast(pl.Float64)


def _kinds(table: pl.DataFrame, plan: ColumnPlan, met: Met) -> pl.Series:
    import polars as pl

    name = plan.column("kind")
    if not name:
        return pl.Series(["run"], dtype=pl.Categorical).new_from_index(0, table.height)
    coded = _words(table[name])
    distinct = coded.unique().drop_nulls()
    known = {word.strip(): kind for word, kind in plan.meanings.items()}
    for meant in known.values():
        if meant not in EVENT_KINDS:
            raise LogError(f"the kind {meant!r}", ", ".join(EVENT_KINDS))
    words = distinct.cast(pl.String).to_list()
    strange = pl.Series([word not in known for word in words], dtype=pl.Boolean)
    if strange.any():
        at = places(coded.to_physical().is_in(distinct.to_physical().filter(strange).implode()))
        some = sorted(word for word in words if word not in known)
        met.add("unknown kind", at, f"{', '.join(some[:5])}: nobody said what {name} means by that.", name)
    # A row that says no kind is work like any other.
    kinds = pl.Series([known.get(word, "other") for word in words], dtype=pl.String)
    return _translated(coded, distinct, kinds, "run").cast(pl.Categorical)


def _phases(table: pl.DataFrame, plan: ColumnPlan, met: Met) -> pl.Series:
    """Of each row "start", "end", "other", or "unknown" where nobody said what its word means, or it has none."""
    import polars as pl

    name = plan.column("lifecycle")
    coded = _words(table[name])
    distinct = coded.unique().drop_nulls()
    known = {word.strip(): phase for word, phase in plan.phases.items()}
    words = distinct.cast(pl.String).to_list()
    phases = pl.Series([known.get(word, "unknown") for word in words], dtype=pl.String)
    phase = _translated(coded, distinct, phases, "unknown")
    at = places(phase == "unknown")
    some = sorted(word for word in words if word not in known)
    if coded.null_count():
        some.append("nothing")
    met.add("unknown lifecycle word", at, f"{at.len():,} rows say {', '.join(some[:5])} in {name}, and nobody said whether that is a start or an end; they are set aside.", name)  # fmt: skip
    return phase


def _translated(coded: pl.Series, distinct: pl.Series, to: pl.Series, otherwise: str) -> pl.Series:
    """The word that stands for each word of a column; `otherwise` where it is empty."""
    import polars as pl

    if not distinct.len():
        return pl.Series([otherwise], dtype=pl.String).new_from_index(0, coded.len())
    found = coded.to_physical().replace_strict(distinct.to_physical(), to, default=otherwise, return_dtype=pl.String)
    return found.fill_null(otherwise)


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
