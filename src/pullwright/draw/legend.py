"""How to read the drawing, in words under it: only what this drawing really shows."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from pullwright.draw.bars import BarScale
from pullwright.draw.columns import StationColumn
from pullwright.draw.hatching import ORDER
from pullwright.draw.ink import FAINT, HAIR, INK, LINE, PENCIL, SMALL
from pullwright.draw.lettering import MARK_WIDTH, Row, Run, height_of, words
from pullwright.draw.loops import LOOP_LOOKS
from pullwright.draw.out_of_place import remarks_of
from pullwright.draw.scales import Scales, Squares, piles_of
from pullwright.draw.scene import LinePicture
from pullwright.draw.sheet import Sheet
from pullwright.line.kinds import BY_KEY, KINDS, KindKey

_SWATCH = 22.0
_BETWEEN = 18.0

Sample = Callable[[Sheet, float, float], None]
"""Draws a sample with this left edge and this middle height."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A sample and the words that say what it means."""

    sample: Sample
    words: str


def draw_entries(sheet: Sheet, entries: Sequence[Entry], left: float, top: float, width: float) -> float:
    """The entries one after another, like words on a line; returns the bottom."""
    x, y, deepest = left, top, top
    for entry in entries:
        rows = words(entry.words, width - _SWATCH, SMALL, 4, PENCIL)
        wide = _SWATCH + max(row.width for row in rows)
        if x > left and x + wide > left + width:
            x, y = left, deepest + 3
        entry.sample(sheet, x, y + 0.5 * height_of(rows[:1]))
        deepest = max(deepest, sheet.block(x + _SWATCH, y, rows))
        x += wide + _BETWEEN
    return deepest


def reading_help(
    sheet: Sheet,
    pictures: Sequence[LinePicture],
    scales: Scales,
    squares: Squares,
    left: float,
    top: float,
    width: float,
) -> float:
    """The reading help of one drawing, or of several on common scales; returns the bottom."""
    with sheet.group("How to read this drawing", "What the hatches, squares, loops and marks mean."):
        top = sheet.block(left, top, (Row((Run("How to read this", INK, bold=True),), SMALL),)) + 2
        return draw_entries(sheet, tuple(_entries(pictures, scales, squares)), left, top, width)


def hatch_entries(kinds: set[KindKey]) -> tuple[Entry, ...]:
    """One entry per kind of time, in the order of the kinds."""
    return tuple(Entry(_hatch(kind), BY_KEY[kind].words) for kind in sorted(kinds, key=lambda key: ORDER[key]))


def mark_entry() -> Entry:
    """What the look-here mark means."""
    return Entry(
        lambda sheet, x, y: sheet.mark(x + (_SWATCH - MARK_WIDTH) / 2, y), "look here: something is out of place"
    )


def _entries(pictures: Sequence[LinePicture], scales: Scales, squares: Squares) -> Iterator[Entry]:
    columns = [column for picture in pictures for branch in picture.branches for column in branch.columns]
    yield from hatch_entries({kind.key for kind in KINDS if any(_has(column, kind.key) for column in columns)})
    yield Entry(_takt, "takt: time between two sold pieces")
    times = [column.content.value for column in columns]
    pieces = [piece for picture in pictures for branch in picture.branches for piece in branch.ribbon]
    if any(BarScale(scales.bar_seconds, 1.0).cuts(time) for time in times) or any(
        math.isinf(piece.time.value) for piece in pieces
    ):
        yield Entry(_cut_sample, "cut: goes on beyond the paper, its number says how far")
    if any(column.same_as is not None for column in columns):
        yield Entry(_ghost, "outline: the same station again, its bar is drawn where the flow first comes to it")
    yield from _pile_entries(pictures, squares)
    branches = [branch for picture in pictures for branch in picture.branches]
    if any(branch.joins is not None for branch in branches):
        yield Entry(_dot, "full dot on the line: a flow comes in")
    if any(branch.leaves is not None for branch in branches):
        yield Entry(_ring, "ring on the line: a flow leaves")
    kinds = {loop.kind for picture in pictures for branch in picture.branches for loop in branch.loops}
    yield from (Entry(_loop(kind), look.meaning) for kind, look in LOOP_LOOKS.items() if kind in kinds)
    if kinds:
        yield Entry(_ends, "a loop runs from who takes (bar) back to who makes (dot)")
    if pieces:
        yield Entry(_ribbon, "lead time to scale: dark is work on the piece, light is waiting")
    if any(remarks_of(picture) for picture in pictures):
        yield mark_entry()


def _pile_entries(pictures: Sequence[LinePicture], squares: Squares) -> Iterator[Entry]:
    piles = [pile for picture in pictures for pile in piles_of(picture)]
    if not piles:
        return
    size = "a container" if squares.per_square == 1 else f"{squares.per_square:,} containers"
    yield Entry(_square("none", INK), f"one square = {size}")
    known = [(pile.containers, pile.needed_containers) for pile in piles if pile.needed_containers is not None]
    if any(need > 0 for _, need in known):
        yield Entry(_square(PENCIL, "none"), "filled: stock that the pull plan needs")
    if any(have > need for have, need in known):
        yield Entry(_square("none", INK), "outline: stock beyond the need")
    if any(have < need for have, need in known):
        yield Entry(_square("none", PENCIL, "1.5 1.5"), "dashed: needed, not there")
    if any(pile.needed is None and pile.containers > 0 for pile in piles):
        yield Entry(_square(FAINT, "none"), "pale: need not worked out yet")
    if any(math.isinf(pile.containers) for pile in piles):
        yield Entry(_dots, "three dots on top: grows without end")


def _has(column: StationColumn, kind: KindKey) -> bool:
    if not column.segments:
        return kind == "unexplained" and column.content.value > 0
    return any(segment.kind == kind and segment.seconds.value > 0 for segment in column.segments)


def _hatch(kind: KindKey) -> Sample:
    return lambda sheet, x, y: sheet.hatched(x, y - 6, 16, 12, kind)


def _square(fill: str, stroke: str, dashes: str = "") -> Sample:
    return lambda sheet, x, y: sheet.path(f"M{x + 4:g} {y - 4:g}h8v8h-8z", stroke, 1.0, fill, dashes)


def _loop(kind: str) -> Sample:
    look = next(look for key, look in LOOP_LOOKS.items() if key == kind)

    def draw(sheet: Sheet, x: float, y: float) -> None:
        tone = PENCIL if kind == "push" else INK
        for shift in (-1.5, 1.5) if look.double else (0.0,):
            sheet.line(x, y + shift, x + 16, y + shift, tone, LINE, look.dashes)
        if kind == "cards":
            for place in (4.0, 10.0):
                sheet.rect(x + place, y - 3.5, 3, 7, INK)

    return draw


def _takt(sheet: Sheet, x: float, y: float) -> None:
    sheet.line(x, y, x + 16, y, INK, LINE)


def _ghost(sheet: Sheet, x: float, y: float) -> None:
    sheet.rect(x + 3, y - 6, 10, 12, "none", PENCIL, HAIR)


def _dot(sheet: Sheet, x: float, y: float) -> None:
    sheet.line(x, y, x + 16, y, INK, HAIR)
    sheet.dot(x + 8, y, 3.0)


def _ring(sheet: Sheet, x: float, y: float) -> None:
    sheet.line(x, y, x + 16, y, INK, HAIR)
    sheet.dot(x + 8, y, 3.0, "none", INK)


def _cut_sample(sheet: Sheet, x: float, y: float) -> None:
    for shift in (4.0, 9.0):
        sheet.line(x + shift - 2, y + 6, x + shift + 3, y - 6, INK, LINE)


def _ends(sheet: Sheet, x: float, y: float) -> None:
    sheet.line(x + 3, y, x + 13, y, INK, LINE)
    sheet.dot(x + 3, y, 2.6)
    sheet.line(x + 13, y - 4, x + 13, y + 4, INK, 2.0)


def _ribbon(sheet: Sheet, x: float, y: float) -> None:
    sheet.rect(x, y - 5, 16, 10, "none", PENCIL, HAIR)
    sheet.rect(x + 8, y - 5, 2, 10, INK)


def _dots(sheet: Sheet, x: float, y: float) -> None:
    for place in range(3):
        sheet.dot(x + 3 + 5 * place, y, 1.5)
