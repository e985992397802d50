"""The narrow layout: the line runs down the page, so that letters keep their size and all bars start at one edge.

A phone shows three or four columns at most side by side; bars that are to be held against one takt line and loops that
reach over ten stations would be torn apart there. Running downwards, nothing is cut and one scrolls as one reads.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pullwright.draw.axis import joined_by
from pullwright.draw.bars import BarScale, draw_bar
from pullwright.draw.ink import BODY, HAIR, HEAVY, INK, LINE, PENCIL, SMALL
from pullwright.draw.insets import EDGE, insets_of
from pullwright.draw.lettering import Row, figure_rows, flowing, remark_rows, words
from pullwright.draw.loops import loop_rows
from pullwright.draw.loops_down import draw_loops_down
from pullwright.draw.piles import draw_pile, height_of_pile, pile_rows
from pullwright.draw.scales import Scales, Squares, squares_for
from pullwright.draw.scene import Branch, LinePicture, Pile, StationColumn
from pullwright.draw.sheet import Sheet
from pullwright.draw.station_words import called, manned, work_in_words

_HANG = 12.0
_BAR = 18.0
_PILE_ROOM = 58.0


@dataclass(frozen=True, slots=True)
class Down:
    """The narrow layout in a width: scales of squares and bars."""

    width: float
    squares: Squares
    bars: BarScale


def down_for(scales: Scales, width: float) -> Down:
    """The narrow layout, the same for all pictures that share the scales; even the deepest sub-flow has room for it."""
    room = width - EDGE - scales.inset - _HANG
    return Down(
        width,
        squares_for(scales.most_containers, room, _PILE_ROOM),
        BarScale(scales.bar_seconds, room - 4),
    )


def draw_down(sheet: Sheet, picture: LinePicture, layout: Down, top: float) -> float:
    """The whole flow from top to bottom; returns the bottom."""
    return _Column(sheet, picture, layout).flow(0, top)


class _Column:
    """The flow as it is written downwards."""

    def __init__(self, sheet: Sheet, picture: LinePicture, layout: Down) -> None:
        self.sheet, self.picture, self.layout = sheet, picture, layout
        self.insets = insets_of(picture)

    def flow(self, index: int, top: float) -> float:
        """One flow with all that joins it; returns its bottom."""
        sheet, branch = self.sheet, self.picture.branches[index]
        left, spine = self.insets[index].left, self.insets[index].line
        words_left = spine + _HANG
        room = self.layout.width - EDGE - words_left
        y = top
        if len(self.picture.branches) > 1:
            y = (
                sheet.block(left, y, words(branch.name, self.layout.width - EDGE - left, BODY, 2, PENCIL, bold=True))
                + 4
            )
        start = y
        sheet.line(spine - 5, start, spine + 5, start, INK, LINE)
        y += 8
        places: list[float] = []
        y = self._takt(branch, words_left, y, room)
        y = self._loops_into(index, -1, words_left, y, room)
        for column in range(len(branch.columns)):
            station = branch.columns[column]
            if station.queue is not None:
                y = self._pile(station.queue, words_left, y, room, f"before {called(self.picture, index, column)}")
            for child, _ in joined_by(self.picture, index, column):
                y, child_spine = self.flow(child, y + 4), self.insets[child].line
                sheet.line(child_spine, y, spine, y, INK, LINE)
                sheet.dot(spine, y, 2.6)
                into = f"into {called(self.picture, index, column)}"
                beside = self.layout.width - EDGE - child_spine - 8
                y = sheet.block(child_spine + 8, y - 6, words(into, beside, SMALL, 2, PENCIL)) + 10
            places.append(y + 9)
            y = self._station(index, column, words_left, spine, y, room)
        if branch.after is not None:
            y = self._pile(branch.after, words_left, y, room, "finished")
        places.append(y + 9)
        end = words("customer", room, BODY, 1, PENCIL) if index == 0 else ()
        y = sheet.block(words_left, y, end) + 6
        bottom = places[-1] if index == 0 else y
        sheet.line(spine, start, spine, bottom, INK, HAIR)
        if index == 0:
            sheet.line(spine - 5, bottom, spine + 5, bottom, INK, LINE)
        draw_loops_down(
            sheet, branch.loops, self.insets[index], start, places, lambda end: called(self.picture, index, end)
        )
        return y

    def _takt(self, branch: Branch, left: float, top: float, room: float) -> float:
        takt = self.picture.takt_of(branch)
        rows = figure_rows(takt, self.sheet.currency, room, SMALL, before="takt")
        return self.sheet.block(left, top, rows) + 2

    def _pile(self, pile: Pile, left: float, top: float, room: float, where: str) -> float:
        sheet, squares = self.sheet, self.layout.squares
        floor = top + height_of_pile(pile, squares)
        draw_pile(sheet, left, floor, pile, squares, pile.name or f"Stock {where}")
        rows = pile_rows(pile, sheet.currency, room)
        return sheet.block(left, floor + 2, flowing(rows, room)) + 8

    def _station(self, index: int, column: int, left: float, spine: float, top: float, room: float) -> float:
        sheet, branch = self.sheet, self.picture.branches[index]
        station, takt = branch.columns[column], self.picture.takt_of(branch)
        remark = station.beyond(takt)
        with sheet.group(f"Work at {called(self.picture, index, column)}", work_in_words(station, sheet.currency)):
            sheet.line(spine, top + 9, spine + 8, top + 9, INK, HEAVY)
            y = sheet.block(left, top, words(called(self.picture, index, column), room, BODY, 3))
            y = sheet.block(left, y, words(manned(station), room, SMALL, 2, PENCIL))
            y = sheet.block(left, y, remark_rows(remark, room)) + 5
            bar_top = y
            draw_bar(
                sheet,
                station,
                takt,
                remark,
                self.layout.bars,
                lambda start, length: (left + start, bar_top, length, _BAR),
            )
            self._takt_tick(takt.value, left, bar_top)
            y = sheet.block(left, bar_top + _BAR + 5, flowing(self._numbers(station, room), room))
            y = self._loops_into(index, column, left, y, room)
        return y + 12

    def _numbers(self, station: StationColumn, room: float) -> tuple[Row, ...]:
        rows = figure_rows(station.content, self.sheet.currency, room)
        if station.load is None:
            return rows
        return rows + figure_rows(station.load, self.sheet.currency, room, BODY, after="of takt")

    def _takt_tick(self, takt: float, left: float, top: float) -> None:
        along = self.layout.bars.along(takt)
        if math.isfinite(takt) and along <= self.layout.bars.length * (1 + 1e-9):
            self.sheet.line(left + along, top - 4, left + along, top + _BAR + 4, INK, LINE)

    def _loops_into(self, index: int, maker: int, left: float, top: float, room: float) -> float:
        """Words of the loops that let work in here, since there is no room for them beside their lines."""
        for loop in self.picture.branches[index].loops:
            if loop.maker != maker:
                continue
            taker = called(self.picture, index, loop.taker)
            whereto = f"as far as {taker}" if loop.kind == "push" else f"back from {taker}"
            top = self.sheet.block(left, top, loop_rows(loop, self.sheet.currency, room, whereto))
        return top
