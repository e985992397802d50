"""The events of a log in one shape, whatever file they came from: what the readers give and the analyses take."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import polars as pl

EventKind = Literal["run", "set-up", "down", "other"]
EVENT_KINDS: tuple[EventKind, ...] = ("run", "set-up", "down", "other")

COLUMNS: dict[str, str] = {
    "row": "UInt32: the row of the source file, the first row under the header being 2 (of an XES file: the n-th event, from 1)",
    "case": "Categorical: what goes through the shop; null where the row does not say",
    "activity": "Categorical: what was done",
    "station": "Categorical: where; the activity where the log has no such column",
    "start": "Datetime(us), no zone: when it began, on one even scale (see `clock`); null where missing or unreadable",
    "end": "Datetime(us), no zone: when it was done, on the same scale; null where missing or unreadable",
    "clock": "Int32 seconds: what is added to start and end to get the clock on the wall there (0 unless the log names zones)",
    "span": "Float64 seconds: how long it took as the file itself says; null where it does not",
    "kind": "Categorical: one of EVENT_KINDS",
    "product": "Categorical or null",
    "person": "Categorical or null",
    "asked": "Float64 pieces or null",
    "good": "Float64 pieces or null",
    "scrap": "Float64 pieces or null",
    "held": "Float64 pieces or null",
    "rework": "Boolean, false where nothing is said",
}
"""The columns of `Events.table`, all of them always there, in this order."""


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something in a log that is not as it should be: what, how often, in which rows, and what can be done about it.

    `key` is a row of the table of oddities; `rows` are source rows, the first ones of `count` in all (at most 1,000 are
    named); `choices` are the keys of what a person may decide, the first one being what is done if nobody decides.
    """

    key: str
    count: int
    rows: tuple[int, ...]
    sentence: str
    choices: tuple[str, ...]
    column: str = ""


@dataclass(frozen=True, slots=True)
class Events:
    """A log that was read: one row an event, in the order of the source file.

    `table` has the columns of `COLUMNS`; `file` is the name that a person knows it by; `has` are the roles that the log
    itself gave (a role that is not in it has no content in `table`); `read_oddities` were met while reading (dates that
    cannot be read, dates in several formats, numbers that are words, clock times that do not exist); `unexplained` are the
    source rows (UInt32) whose lifecycle word nobody explained: they have no times, and are told among those.
    """

    table: pl.DataFrame
    file: str
    has: frozenset[str]
    read_oddities: tuple[Oddity, ...] = field(default=())
    unexplained: pl.Series | None = field(default=None, compare=False)
