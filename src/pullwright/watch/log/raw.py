"""A log as its file gives it: the columns and headers as they were written, and what was noticed on the way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl

ROW = "row"
"""The column of `RawLog.table` that says in which row of the file it stands; a column of that name is "row (2)"."""


@dataclass(frozen=True, slots=True)
class RawLog:
    """A file as a table: `row` (UInt32, as a spreadsheet counts them) and the columns of the file, as text or typed.

    `name` is what people call the file, `form` what it is in words, `headers` the names of the columns, `noticed` what a
    person should know about how it was read.
    """

    table: pl.DataFrame
    name: str
    form: str
    headers: tuple[str, ...]
    noticed: tuple[str, ...] = ()
