"""What stands at one place of the axis: a station with its bar and the pile before it; and what a figure has to know."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

from pullwright.line.kinds import BY_KEY, KindKey


class SceneError(ValueError):
    """The scene contradicts itself, so that no honest drawing of it exists."""


class FigureLike(Protocol):
    """What the pen needs to know of a figure; `pullwright.figure.Figure` is one.

    One that also has `interval()`, the two numbers between which it lies, has them written where they are far apart.
    """

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
        not_negative(self.seconds, f"the {self.kind} time of a station")


@dataclass(frozen=True, slots=True)
class Pile:
    """Stock that stands before a station (or, as `Branch.after`, behind the last one).

    pieces: counted or computed stock (mean stock where it is a forecast); infinite when the queue grows without end.
    per_container: pieces in one container; one small square is drawn per container, the last one perhaps not full.
    needed: pieces that the pull plan needs here; None when nobody has worked that out yet (drawn pale, not as surplus).
    capacity: pieces there is room for; None when unknown or unlimited.
    lasts: how long a piece waits here, or the pile feeds the line (seconds); None when unknown.
    lasts_shown: what is written instead of `lasts`, such as the same in working days.
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
    lasts_shown: FigureLike | None = None

    def __post_init__(self) -> None:
        not_negative(self.pieces, "stock")
        if not (self.per_container > 0 and math.isfinite(self.per_container)):
            raise SceneError(f"{self.per_container} pieces per container is not possible; write a number above 0")
        for figure, what in ((self.needed, "needed stock"), (self.capacity, "room for stock"), (self.lasts, "time")):
            if figure is not None:
                not_negative(figure, what)

    @property
    def lasts_written(self) -> FigureLike | None:
        """How long it lasts, as it is to be written."""
        return self.lasts if self.lasts_shown is None else self.lasts_shown

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

    name: as people call it; steps: names of the steps done here, written under it where they are called otherwise.
    segments: seconds of the station's time per piece and kind, already shared by its machines and people, so that the
        bar may be compared with takt. A kind may come several times; order does not matter.
    content: the sum of the segments (seconds per piece), written over the bar.
    load: content against takt as a share, written beside it; None when there is no demand to hold it against.
    machines: machines side by side (0 for a bench without one); people: in words, e.g. "1.5 people"; may be empty.
    queue: stock before the station; None when nothing can stand there.
    remark: what is out of place. A bar beyond takt gets one by itself if you give none.
    same_as: branch and column where this station stands already, when the flow comes to it again: its bar is drawn
        there, here only its outline.
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
    same_as: tuple[int, int] | None = None

    def __post_init__(self) -> None:
        not_negative(self.content, f"the work content of {self.name}")
        total = math.fsum(segment.seconds.value for segment in self.segments) if self.segments else 0.0
        if self.segments and not math.isclose(total, self.content.value, rel_tol=1e-6, abs_tol=1e-9):
            raise SceneError(
                f"the segments of {self.name} add up to {total:g} s, its work content says {self.content.value:g} s: "
                "put the difference into a segment of kind 'unexplained'"
            )

    def beyond(self, takt: FigureLike) -> Remark | None:
        """What is out of place at this station: the remark given, else that its bar stands beyond takt."""
        if self.remark is None and self.same_as is None and self.content.value > takt.value * (1 + 1e-9):
            return Remark("beyond takt", "One piece takes longer here than the time between two sold pieces.")
        return self.remark


def not_negative(figure: FigureLike, what: str) -> None:
    """SceneError where a time or stock is below 0 or not a number."""
    if math.isnan(figure.value) or figure.value < 0:
        raise SceneError(f"{what} ({figure.name}) is {figure.value}; it is 0 or more")
