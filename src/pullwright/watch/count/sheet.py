"""What was counted on a round through the works: what lay there, how far somebody walked, what was not right."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Side = Literal["before", "after", "part"]
SIDES: tuple[Side, ...] = ("before", "after", "part")


@dataclass(frozen=True, slots=True)
class StockCount:
    """So many pieces lay `before` a step, `after` the last one, or of a `part`. `where` it is written, `uid` names it for ever."""

    uid: str
    side: Side
    name: str
    pieces: float
    at: datetime
    who: str = ""
    note: str = ""
    where: str = ""

    @property
    def place(self) -> str:
        """Where it lay, in words: "before hone", "of seal set"."""
        return f"of {self.name}" if self.side == "part" else f"{self.side} {self.name}"


@dataclass(frozen=True, slots=True)
class WayWalked:
    """A way of `distance_m` metres, one way, with `batch` pieces at a time; walked `trips` times that day where somebody counted."""

    uid: str
    from_: str
    to: str
    distance_m: float
    at: datetime
    batch: int | None = None
    trips: int | None = None
    who: str = ""
    note: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class DefectCount:
    """Of `looked_at` pieces `wrong` were not right; `again` of those are done again, the rest is thrown away; `what` was wrong."""

    uid: str
    step: str
    looked_at: int
    wrong: int
    at: datetime
    again: int = 0
    what: str = ""
    who: str = ""
    note: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class CountSheet:
    """A whole round of counting, or several of one sheet."""

    name: str
    stocks: tuple[StockCount, ...] = ()
    ways: tuple[WayWalked, ...] = ()
    defects: tuple[DefectCount, ...] = ()
    line: str = ""
