"""What is met while cells are read: how often, in which rows of the file, and what is done about it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from pullwright.watch.log.events import Oddity

if TYPE_CHECKING:
    import polars as pl

MOST_ROWS = 1_000
MET_CHOICES: dict[str, tuple[str, ...]] = {
    "unreadable time": ("leave it out",),
    "several date formats": ("read each in its own format",),
    "zone not said": ("take the zone of the others",),
    "unreadable number": ("take it as not said",),
    "clock time that does not exist": ("leave it out",),
    "clock time that comes twice": ("take the earlier one",),
    "unknown kind": ("take it as other",),
    "unknown lifecycle word": ("set aside",),
}
"""Of each kind what is done; it is put right in the plan of the columns, not row by row."""


@dataclass
class Met:
    """What was met on the way, and the rows of the file."""

    row: pl.Series
    found: list[Oddity] = field(default_factory=list)

    def add(self, key: str, at: pl.Series, sentence: str, column: str) -> None:
        """Note the cells at these indices."""
        if at.len():
            rows = tuple(self.row.gather(at.head(MOST_ROWS)).to_list())
            self.found.append(Oddity(key, at.len(), rows, sentence, MET_CHOICES[key], column))


def places(told: pl.Series) -> pl.Series:
    """The indices at which a column of yes, no and null says yes."""
    return told.fill_null(value=False).arg_true()
