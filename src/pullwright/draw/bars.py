"""A station's work content as a stacked bar, to scale, whichever way the bar runs."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pullwright.draw.columns import FigureLike, Remark, Segment, StationColumn
from pullwright.draw.hatching import ORDER
from pullwright.draw.ink import HAIR, INK, LINE, LOOK, PENCIL
from pullwright.draw.sheet import Sheet, coordinate
from pullwright.line.kinds import BY_KEY

Placing = Callable[[float, float], tuple[float, float, float, float]]
"""From start and length along the bar to left, top, width and height on the sheet."""

_CUT_ROOM = 9.0


@dataclass(frozen=True, slots=True)
class BarScale:
    """seconds at full length, and full length in drawing units."""

    seconds: float
    length: float

    def along(self, seconds: float) -> float:
        """How far along the bar this time reaches (may be beyond full length)."""
        return seconds / self.seconds * self.length

    def cuts(self, seconds: float) -> bool:
        """Whether a bar of this time does not fit and is cut."""
        return seconds > self.seconds * (1 + 1e-9)


def draw_bar(
    sheet: Sheet, column: StationColumn, takt: FigureLike, remark: Remark | None, scale: BarScale, place: Placing
) -> None:
    """The bar of one station: hatched by kind in the order of the kinds, what stands beyond takt framed when remarked.

    A station that the flow comes to again has only an outline, because its work is one and the same and drawn already.
    """
    cut = scale.cuts(column.content.value)
    end = scale.length - _CUT_ROOM if cut else scale.along(column.content.value)
    if column.same_as is not None:
        with sheet.figure(column.content, f"{column.name}: the same station again"):
            sheet.rect(*place(0.0, end), "none", PENCIL, HAIR)
        if cut:
            _cut_mark(sheet, place(end, _CUT_ROOM))
        return
    start = 0.0
    for segment in _ordered(column):
        length = min(scale.along(segment.seconds.value), end - start)
        if length > 0:
            with sheet.figure(segment.seconds, f"{column.name}: {BY_KEY[segment.kind].words}"):
                sheet.hatched(*place(start, length), segment.kind)
            start += length
    if cut:
        _cut_mark(sheet, place(end, _CUT_ROOM))
    beyond = scale.along(takt.value) if math.isfinite(takt.value) else math.inf
    if remark is not None and beyond < end:
        sheet.rect(*place(beyond, end - beyond), "none", LOOK, 2.5)


def _ordered(column: StationColumn) -> list[Segment]:
    if not column.segments:
        return [Segment("unexplained", column.content)]
    return sorted(column.segments, key=lambda segment: ORDER[segment.kind])


def _cut_mark(sheet: Sheet, box: tuple[float, float, float, float]) -> None:
    """Two slanted strokes: the bar goes on."""
    left, top, width, height = box
    if width >= height:
        for place in (0.3, 0.7):
            y = top + height * place
            sheet.line(left - 2, y + 2.5, left + width + 2, y - 2.5, INK, LINE)
        return
    for place in (0.3, 0.7):
        x = left + width * place
        sheet.path(
            f"M{coordinate(x - 2.5)} {coordinate(top + height + 2)}L{coordinate(x + 2.5)} {coordinate(top - 2)}",
            INK,
            LINE,
        )
