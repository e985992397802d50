"""What a line drawing shows: plain frozen values, filled by whoever computed the line, read by the pen.

The scene holds no arithmetic. Every number in it is a figure made elsewhere; the drawing only scales, places and
writes it. Times are in seconds, shares are 0 to 1, stock is in pieces. A value that never ends is `math.inf`;
not-a-number is refused. Where people say a time in another unit (waiting in working days), the scene carries that
figure beside the seconds: seconds are drawn, the other one is written.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from pullwright.draw.columns import FigureLike, Pile, Remark, SceneError, Segment, StationColumn, not_negative

__all__ = [
    "Branch",
    "Difference",
    "FigureLike",
    "LinePicture",
    "Loop",
    "LoopKind",
    "Pile",
    "Remark",
    "RibbonPiece",
    "SceneError",
    "Segment",
    "StationColumn",
    "WhyLink",
]

LoopKind = Literal["push", "cards", "cap", "order"]
WhyLink = Callable[[str], str]
"""From a figure's name to the address of its why."""


@dataclass(frozen=True, slots=True)
class Loop:
    """How work is released into a stretch of the flow.

    maker: index of the first column the loop lets work into; -1 is the supplier (before the first column).
    taker: index of the column whose taking lets it in, to the right of maker; the number of columns is the customer.
    kind: "cards" (as many cards as there are containers), "cap" (work in process is limited), "order" (made when an
        order comes), "push" (by schedule, whatever stands there).
    amount: cards, or pieces in the cap; None where the kind has no number.
    label: a few words, written if given ("signal at 3 left").
    """

    maker: int
    taker: int
    kind: LoopKind
    amount: FigureLike | None = None
    label: str = ""
    remark: Remark | None = None

    def __post_init__(self) -> None:
        if self.kind not in ("push", "cards", "cap", "order"):
            raise SceneError(f"loop kind {self.kind!r} is not known; allowed are push, cards, cap, order")
        if not -1 <= self.maker < self.taker:
            raise SceneError(f"a loop from column {self.taker} back to {self.maker}: the taker stands after the maker")


@dataclass(frozen=True, slots=True)
class RibbonPiece:
    """One stretch of the lead time: a wait (touch False) or work on the piece (touch True), in flow order.

    time: seconds; column: index of the station it belongs to (a wait belongs to the station it is a wait for), None
    for what comes after the last one. Where a sub-flow joins, its ribbon ends at the joined column's first touch piece.
    shown: what is written instead of the seconds, such as the same in working days; the length is drawn from `time`.
    """

    name: str
    time: FigureLike
    touch: bool
    column: int | None = None
    shown: FigureLike | None = None

    def __post_init__(self) -> None:
        not_negative(self.time, f"the time of {self.name}")

    @property
    def written(self) -> FigureLike:
        """The time as it is to be written."""
        return self.time if self.shown is None else self.shown


@dataclass(frozen=True, slots=True)
class Branch:
    """A flow of stations: the main flow, one that is assembled into another, or a product's own way to the customer.

    joins: index of the column it is assembled at, in the branch numbered `into` (0: the main flow); None for a flow
        that goes to the customer: the main one, or another product's own way.
    leaves: index of the column after which it leaves the branch numbered `out_of`; None for a flow that begins afresh.
    after: stock behind the last column: finished goods, or of a sub-flow what stands ready for the assembly.
    takt: time between two pieces in this branch, when it is not the picture's (two of them go into one product).
    """

    name: str
    columns: tuple[StationColumn, ...]
    ribbon: tuple[RibbonPiece, ...] = ()
    joins: int | None = None
    into: int = 0
    after: Pile | None = None
    loops: tuple[Loop, ...] = ()
    takt: FigureLike | None = None
    leaves: int | None = None
    out_of: int = 0

    def __post_init__(self) -> None:
        if not self.columns:
            raise SceneError(f"the flow {self.name!r} has no station; give it one or leave it out")
        for loop in self.loops:
            if loop.taker > len(self.columns):
                raise SceneError(f"a loop of {self.name!r} ends at column {loop.taker}, there are {len(self.columns)}")
        for piece in self.ribbon:
            if piece.column is not None and not 0 <= piece.column < len(self.columns):
                raise SceneError(f"{piece.name!r} belongs to column {piece.column}, there are {len(self.columns)}")


@dataclass(frozen=True, slots=True)
class LinePicture:
    """The whole line as one drawing shows it.

    title: the line's name. sentence: what was found, as a foreman would say it.
    takt: seconds between two sold pieces (infinite without demand).
    branches: the main flow first, then the others, each after the one that it joins or leaves.
    lead, touch: total lead time and total touch time (seconds); touch_share: touch over lead.
    lead_shown: what is written instead of `lead`, such as the same in working days.
    """

    title: str
    sentence: str
    takt: FigureLike
    branches: tuple[Branch, ...]
    lead: FigureLike
    touch: FigureLike
    touch_share: FigureLike | None = None
    currency: str = "EUR"
    why_link: WhyLink | None = None
    lead_shown: FigureLike | None = None

    def __post_init__(self) -> None:
        if not self.branches:
            raise SceneError("a picture needs at least the main flow")
        if math.isnan(self.takt.value) or self.takt.value <= 0:
            raise SceneError(f"takt of {self.takt.value} s cannot be drawn; it is above 0, or infinite without demand")
        for figure, what in ((self.lead, "lead time"), (self.touch, "touch time")):
            not_negative(figure, what)
        for index, branch in enumerate(self.branches):
            self._check_ends(index, branch)
            self._check_stations(index, branch)

    def _check_ends(self, index: int, branch: Branch) -> None:
        if index == 0 and (branch.joins is not None or branch.leaves is not None):
            raise SceneError(
                f"{branch.name!r} is the first branch: the first branch is the main flow, it joins and leaves nothing"
            )
        # Joining only a branch listed before itself makes circles impossible.
        for verb, column, other in (("joins", branch.joins, branch.into), ("leaves", branch.leaves, branch.out_of)):
            if column is None:
                continue
            if not 0 <= other < index:
                raise SceneError(f"{branch.name!r} {verb} branch {other}; list the flow it {verb} before it")
            columns = len(self.branches[other].columns)
            if not 0 <= column < columns:
                raise SceneError(f"{branch.name!r} {verb} column {column}, there are 0 to {columns - 1}")

    def _check_stations(self, index: int, branch: Branch) -> None:
        for place, column in enumerate(branch.columns):
            if column.same_as is None:
                continue
            other, first = column.same_as
            if not ((0, 0) <= (other, first) < (index, place) and 0 <= first < len(self.branches[other].columns)):
                raise SceneError(f"{column.name!r} is the same station as {column.same_as}: name a column before it")
            if self.branches[other].columns[first].same_as is not None:
                raise SceneError(f"{column.name!r} is the same station as one that is drawn elsewhere: name that one")

    @property
    def lead_written(self) -> FigureLike:
        """The lead time as it is to be written."""
        return self.lead if self.lead_shown is None else self.lead_shown

    def takt_of(self, branch: Branch) -> FigureLike:
        """Takt in a branch: its own where it has one, else the picture's."""
        return self.takt if branch.takt is None else branch.takt


@dataclass(frozen=True, slots=True)
class Difference:
    """One difference between two options, with its interval: written between the two drawings."""

    words: str
    figure: FigureLike
