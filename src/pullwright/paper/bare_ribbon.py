"""The lead-time ribbon with station numbers in place of a list: for lines whose list would fill the sheet."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.draw import LinePicture
from pullwright.draw.axis import station_numbers
from pullwright.draw.ink import HAIR, INK, PENCIL, SMALL
from pullwright.draw.lettering import Row, Run, height_of, words
from pullwright.draw.ribbon_time import Stretch, span, strips_of
from pullwright.draw.sheet import Sheet

READING = (
    "numbers: where on it the work of each station lies; the times stand at the stations and at the stock before them"
)
_HEIGHT = 16.0
_BETWEEN = 6.0


@dataclass(frozen=True, slots=True)
class Numbers:
    """Station numbers written around one place; "3–5" where there is no room for each."""

    first: str
    last: str
    place: float

    @property
    def row(self) -> Row:
        """The numbers as a line of text."""
        text = self.first if self.first == self.last else f"{self.first}–{self.last}"
        return Row((Run(text, PENCIL),), SMALL)


def draw_bare_ribbon(sheet: Sheet, picture: LinePicture, left: float, top: float, width: float) -> float:
    """The main flow's ribbon to scale, touch the only dark ink, station numbers over it; returns the bottom."""
    strip = strips_of(picture)[0]
    if not strip.stretches:
        return top
    per_second = width / (span(picture) or 1.0)
    numbers = station_numbers(picture)[0]
    places = [
        (numbers[stretch.piece.column], left + (stretch.start + stretch.end) / 2 * per_second)
        for stretch in strip.stretches
        if stretch.piece.touch and stretch.piece.column is not None
    ]
    placed = without_overlap(places)
    for one in placed:
        sheet.write(one.place, top, one.row, "middle")
    top += height_of((placed[0].row,)) if placed else 0.0
    with sheet.group("Lead time", "Waiting and touch time in flow order, to scale."):
        for stretch in strip.stretches:
            _draw(sheet, stretch, left + stretch.start * per_second, top, (stretch.end - stretch.start) * per_second)
    return sheet.block(left, top + _HEIGHT + 4, words(READING, width, SMALL, 2, PENCIL))


def without_overlap(places: list[tuple[str, float]]) -> tuple[Numbers, ...]:
    """Numbers at their places from left to right; neighbours that would touch are written as a range.

    >>> [(one.first, one.last) for one in without_overlap([("1", 0.0), ("2", 3.0), ("3", 80.0)])]
    [('1', '2'), ('3', '3')]
    """
    placed: list[Numbers] = []
    for number, place in places:
        one = Numbers(number, number, place)
        while placed and placed[-1].place + placed[-1].row.width / 2 + _BETWEEN > one.place - one.row.width / 2:
            before = placed.pop()
            one = Numbers(before.first, one.last, (before.place + one.place) / 2)
        placed.append(one)
    return tuple(placed)


def _draw(sheet: Sheet, stretch: Stretch, left: float, top: float, width: float) -> None:
    if stretch.piece.touch:
        sheet.rect(left, top, width, _HEIGHT, INK, INK, HAIR)
        return
    sheet.rect(left, top, width, _HEIGHT, "none", PENCIL, HAIR)
    if stretch.cut:
        for shift in (-4.0, 4.0):
            middle = left + width / 2 + shift
            sheet.line(middle - 3, top + _HEIGHT + 3, middle + 3, top - 3, PENCIL)
