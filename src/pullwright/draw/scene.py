"""What a line drawing shows: plain frozen values, filled by whoever computed the line, read by the pen.

The scene holds no arithmetic. Every number in it is a figure made elsewhere; the drawing only scales, places and
writes it. Times are in seconds, shares are 0 to 1, stock is in pieces. A value that never ends is `math.inf`;
not-a-number is refused.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, Protocol

from pullwright.line.kinds import BY_KEY, KindKey

LoopKind = Literal["push", "cards", "cap", "order"]
WhyLink = Callable[[str], str]
"""From a figure's name to the address of its why."""


class SceneError(ValueError):
    """The scene contradicts itself, so that no honest drawing of it exists."""


class FigureLike(Protocol):
    """What the pen needs to know of a figure; `pullwright.figure.Figure` is one."""

    @property
    def name(self) -> str: ...

    @property
    def value(self) -> float: ...

    @property
    def unit(self) -> str: ...

    def text(self, currency: str = ...) -> str:
        """The whole figure as one reads it: "6.2 d (4.9 to 7.8)"."""
        ...

    def parts(self, currency: str = ...) -> tuple[str, str, str]:
        """Value, unit and interval apart: ("6.2", "d", "4.9 to 7.8"); unit and interval may be empty."""
        ...


@dataclass(frozen=True, slots=True)
class Remark:
    """Something is out of place here. The only reason for colour, and always drawn with its mark and its word.

    word: one to three words that are written beside the mark ("beyond takt", "too much stock").
    detail: one sentence for the tooltip and the screen reader.
    """

    word: str
    detail: str = ""

    def __post_init__(self) -> None:
        if not self.word.strip():
            raise SceneError("a remark has no word: colour is never shown without one; write one to three words")


@dataclass(frozen=True, slots=True)
class Segment:
    """One kind of time in a station's bar: seconds per piece at the station, per kind of `pullwright.line.kinds`."""

    kind: KindKey
    seconds: FigureLike

    def __post_init__(self) -> None:
        if self.kind not in BY_KEY:
            raise SceneError(f"kind {self.kind!r} is not known; allowed are {', '.join(BY_KEY)}")
        _not_negative(self.seconds, f"the {self.kind} time of a station")


@dataclass(frozen=True, slots=True)
class Pile:
    """Stock that stands before a station (or, as `Branch.after`, behind the last one).

    pieces: counted or computed stock (mean stock where it is a forecast); infinite when the queue grows without end.
    per_container: pieces in one container; one small square is drawn per container, the last one perhaps not full.
    needed: pieces that the pull plan needs here; None when nobody has worked that out yet (drawn pale, not as surplus).
    capacity: pieces there is room for; None when unknown or unlimited.
    lasts: how long a piece waits here, or the pile feeds the line (seconds); None when unknown.
    remark: set it when there is too much or too little; it colours the stock beyond the need.
    name: what lies here, for the screen reader ("castings before milling"); may be empty.
    """

    pieces: FigureLike
    per_container: float = 1.0
    needed: FigureLike | None = None
    capacity: FigureLike | None = None
    lasts: FigureLike | None = None
    remark: Remark | None = None
    name: str = ""

    def __post_init__(self) -> None:
        _not_negative(self.pieces, "stock")
        if not (self.per_container > 0 and math.isfinite(self.per_container)):
            raise SceneError(f"{self.per_container} pieces per container is not possible; write a number above 0")
        for figure, what in ((self.needed, "needed stock"), (self.capacity, "room for stock"), (self.lasts, "time")):
            if figure is not None:
                _not_negative(figure, what)

    @property
    def containers(self) -> float:
        """Containers that stand here, the last one perhaps not full: a whole number, or infinite."""
        return self._containers(self.pieces.value)

    @property
    def needed_containers(self) -> float | None:
        """Containers that the pull plan needs here; None when that is not known."""
        return None if self.needed is None else self._containers(self.needed.value)

    def _containers(self, pieces: float) -> float:
        # The small allowance keeps 30 pieces in boxes of 0.1 from becoming 301 boxes by rounding of the division.
        exact = pieces / self.per_container
        return exact if math.isinf(exact) else float(math.ceil(exact * (1 - 1e-12)))


@dataclass(frozen=True, slots=True)
class StationColumn:
    """One station on the line's axis, with the pile before it.

    name: as people call it; steps: names of the steps done here.
    segments: seconds of the station's time per piece and kind, already shared by its machines and people, so that the
        bar may be compared with takt. A kind may come several times; order does not matter.
    content: the sum of the segments (seconds per piece), written over the bar.
    load: content against takt as a share, written beside it; None when there is no demand to hold it against.
    machines: machines side by side (0 for a bench without one); people: in words, e.g. "1.5 people"; may be empty.
    queue: stock before the station; None when nothing can stand there.
    remark: what is out of place. A bar beyond takt gets one by itself if you give none.
    """

    name: str
    content: FigureLike
    segments: tuple[Segment, ...] = ()
    load: FigureLike | None = None
    steps: tuple[str, ...] = ()
    machines: int = 1
    people: str = ""
    queue: Pile | None = None
    remark: Remark | None = None

    def __post_init__(self) -> None:
        _not_negative(self.content, f"the work content of {self.name}")
        total = math.fsum(segment.seconds.value for segment in self.segments) if self.segments else 0.0
        if self.segments and not math.isclose(total, self.content.value, rel_tol=1e-6, abs_tol=1e-9):
            raise SceneError(
                f"the segments of {self.name} add up to {total:g} s, its work content says {self.content.value:g} s: "
                "put the difference into a segment of kind 'unexplained'"
            )

    def beyond(self, takt: FigureLike) -> Remark | None:
        """What is out of place at this station: the remark given, else that its bar stands beyond takt."""
        if self.remark is None and self.content.value > takt.value * (1 + 1e-9):
            return Remark("beyond takt", "One piece takes longer here than the time between two sold pieces.")
        return self.remark


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
    """

    name: str
    time: FigureLike
    touch: bool
    column: int | None = None

    def __post_init__(self) -> None:
        _not_negative(self.time, f"the time of {self.name}")


@dataclass(frozen=True, slots=True)
class Branch:
    """A flow of stations: the main flow, or one that is assembled into another.

    joins: index of the column it is assembled at, in the branch numbered `into` (0: the main flow); None for the main.
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
    branches: the main flow first, then those that are assembled into it.
    lead, touch: total lead time and total touch time (seconds); touch_share: touch over lead.
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

    def __post_init__(self) -> None:
        if not self.branches:
            raise SceneError("a picture needs at least the main flow")
        if math.isnan(self.takt.value) or self.takt.value <= 0:
            raise SceneError(f"takt of {self.takt.value} s cannot be drawn; it is above 0, or infinite without demand")
        for figure, what in ((self.lead, "lead time"), (self.touch, "touch time")):
            _not_negative(figure, what)
        for index, branch in enumerate(self.branches):
            self._check_join(index, branch)

    def _check_join(self, index: int, branch: Branch) -> None:
        if (branch.joins is None) != (index == 0):
            raise SceneError(
                f"{branch.name!r} is branch {index}: the first branch is the main flow and joins nothing, "
                "every other one says at which column it is assembled"
            )
        if branch.joins is None:
            return
        # Joining only a branch listed before itself makes circles impossible.
        if not 0 <= branch.into < index:
            raise SceneError(f"{branch.name!r} joins branch {branch.into}; list the flow it joins before it")
        columns = len(self.branches[branch.into].columns)
        if not 0 <= branch.joins < columns:
            raise SceneError(f"{branch.name!r} joins column {branch.joins}, there are 0 to {columns - 1}")

    def takt_of(self, branch: Branch) -> FigureLike:
        """Takt in a branch: its own where it has one, else the picture's."""
        return self.takt if branch.takt is None else branch.takt


@dataclass(frozen=True, slots=True)
class Difference:
    """One difference between two options, with its interval: written between the two drawings."""

    words: str
    figure: FigureLike


def _not_negative(figure: FigureLike, what: str) -> None:
    if math.isnan(figure.value) or figure.value < 0:
        raise SceneError(f"{what} ({figure.name}) is {figure.value}; it is 0 or more")
