"""What the person decided about the oddities of a log, and the events that the analyses then use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from .events import Events

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True)
class Decided:
    """A log after the person's decisions.

    `events` are those that the analyses use: every one has a start and an end that is not before it. `source` is the log
    as it was read, nothing taken away. `aside` has one row for each event that is not used: row, why (the key of the
    oddity), and one for nothing else. `changed` has one row for each event that is used with another time or name than
    the file's: row, why. `decisions` (key of the oddity to key of the choice, all of them) and `merges` (role to
    spelling to the name it is taken as) are plain and can be written down and given back to `decide`.
    """

    events: Events
    source: Events
    aside: pl.DataFrame
    changed: pl.DataFrame
    decisions: Mapping[str, str]
    merges: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def as_dict(self) -> dict[str, object]:
        """The decisions as plain values for JSON."""
        return {
            "decisions": dict(self.decisions),
            "merges": {role: dict(names) for role, names in self.merges.items()},
        }
