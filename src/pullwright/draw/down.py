"""The narrow layout: the line runs down the page, so that letters keep their size and all bars start at one edge.

A phone shows three or four columns at most side by side; bars that are to be held against one takt line and loops that
reach over ten stations would be torn apart there. Running downwards, nothing is cut and one scrolls as one reads.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.draw.axis import joined_by, left_by
from pullwright.draw.bars import BarScale, draw_bar
from pullwright.draw.columns import Pile, StationColumn
from pullwright.draw.ink import BODY, HAIR, HEAVY, INK, LINE, PENCIL, SMALL
from pullwright.draw.insets import EDGE, Inset
from pullwright.draw.lettering import Row, figure_rows, flowing, remark_rows, words
from pullwright.draw.loops import loop_rows
from pullwright.draw.loops_down import draw_loops_down
from pullwright.draw.piles import draw_pile, height_of_pile, pile_rows
from pullwright.draw.scales import Scales, Squares, squares_for
from pullwright.draw.scene import Branch, LinePicture
from pullwright.draw.sheet import Sheet
from pullwright.draw.station_words import (
    called,
    coming_in,
    flow_called,
    going_out,
    name_rows,
    same_station,
    where_to,
    whole_names,
    work_in_words,
)
from pullwright.draw.told import told

_HANG = 12.0
_BAR = 18.0
_PILE_ROOM = 58.0


@dataclass(frozen=True, slots=True)
class Down:
    """The narrow layout in a width: scales of squares and bars, and how far flows are set in."""

    width: float
    squares: Squares
    bars: BarScale
    inset: Inset


def down_for(scales: Scales, width: float) -> Down:
    """The narrow layout, the same for all pictures that share the scales."""
    room = width - EDGE - scales.inset.line - _HANG
    return Down(
        width,
        squares_for(scales.most_containers, room, _PILE_ROOM),
        BarScale(scales.bar_seconds, room - 4),
        scales.inset,
    )


def draw_down(sheet: Sheet, picture: LinePicture, layout: Down, flows: Sequence[int], top: float) -> float:
    """These flows from top to bottom, one after the other; returns the bottom."""
    column = _Column(sheet, picture, layout)
    for index in flows:
        top = column.flow(index, top) + 8
    return top


class _Column:
    """Flows as they are written downwards."""

    def __init__(self, sheet: Sheet, picture: LinePicture, layout: Down) -> None:
        self.sheet, self.picture, self.layout = sheet, picture, layout
        self.spine = layout.inset.line
        self.left = self.spine + _HANG
        self.room = layout.width - EDGE - self.left

    def flow(self, index: int, top: float) -> float:
        """One flow; returns its bottom."""
        sheet, branch, spine = self.sheet, self.picture.branches[index], self.spine
        left, room = self.left, self.room
        y = top
        if len(self.picture.branches) > 1 and branch.name != self.picture.title:
            name = words(flow_called(self.picture, index), self.layout.width - 2 * EDGE, BODY, 3, PENCIL, bold=True)
            y = sheet.block(EDGE, y, name) + 4
        start = y
        if branch.leaves is None:
            sheet.line(spine - 5, start, spine + 5, start, INK, LINE)
        else:
            sheet.dot(spine, start - 3, 3.0, "none", INK)
        y += 8
        places: list[float] = []
        y = self._takt(branch, left, y, room)
        y = self._loops_into(index, -1, left, y, room)
        for column in range(len(branch.columns)):
            station = branch.columns[column]
            if station.queue is not None:
                y = self._pile(station.queue, left, y, room, f"before {called(self.picture, index, column)}")
            joining = joined_by(self.picture, index, column)
            y = self._joint(coming_in(self.picture, index, column, names=True), joining, y, full=True)
            places.append(y + 9)
            y = self._station(index, column, left, spine, y, room)
            leaving = left_by(self.picture, index, column)
            y = self._joint(going_out(self.picture, index, column, names=True), leaving, y, full=False)
        if branch.after is not None:
            y = self._pile(branch.after, left, y, room, "finished")
        places.append(y + 9)
        y = sheet.block(left, y, words(where_to(self.picture, index), room, BODY, 3, PENCIL)) + 6
        bottom = places[-1]
        sheet.line(spine, start, spine, bottom, INK, HAIR)
        if branch.joins is None:
            sheet.line(spine - 5, bottom, spine + 5, bottom, INK, LINE)
        else:
            sheet.dot(spine, bottom, 3.0)
        draw_loops_down(
            sheet, branch.loops, self.layout.inset, start, places, lambda end: called(self.picture, index, end)
        )
        return y

    def _joint(self, said: str, flows: Sequence[tuple[int, Branch]], top: float, full: bool) -> float:
        """Where flows come in (a full dot) or leave (a ring), with their letters."""
        if not said:
            return top
        sheet, spine = self.sheet, self.spine
        with sheet.group("Comes in here" if full else "Leaves here", whole_names(self.picture, flows)):
            sheet.line(spine + 3, top + 8, spine + _HANG - 2, top + 8, INK, LINE)
            sheet.dot(spine, top + 8, 3.0, *((INK,) if full else ("none", INK)))
            return sheet.block(self.left, top, words(said, self.room, SMALL, 3, PENCIL)) + 8

    def _takt(self, branch: Branch, left: float, top: float, room: float) -> float:
        takt = self.picture.takt_of(branch)
        rows = figure_rows(takt, self.sheet.currency, room, SMALL, before="takt")
        return self.sheet.block(left, top, rows) + 2

    def _pile(self, pile: Pile, left: float, top: float, room: float, where: str) -> float:
        sheet, squares = self.sheet, self.layout.squares
        floor = top + height_of_pile(pile, squares)
        draw_pile(sheet, left, floor, pile, squares, f"Stock {where}")
        rows = pile_rows(pile, sheet.currency, room)
        return sheet.block(left, floor + 2, flowing(rows, room)) + 8

    def _station(self, index: int, column: int, left: float, spine: float, top: float, room: float) -> float:
        sheet, branch = self.sheet, self.picture.branches[index]
        station, takt = branch.columns[column], self.picture.takt_of(branch)
        remark = station.beyond(takt)
        with sheet.group(f"Work at {called(self.picture, index, column)}", work_in_words(self.picture, station)):
            sheet.line(spine, top + 9, spine + 8, top + 9, INK, HEAVY)
            y = sheet.block(left, top, name_rows(self.picture, index, column, room))
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
        if station.same_as is not None:
            return words(same_station(self.picture, station), room, SMALL, 2, PENCIL)
        currency = self.sheet.currency
        rows = figure_rows(station.content, currency, room, interval=told(station.content, currency).wide)
        if station.load is None:
            return rows
        load_said = told(station.load, currency)
        unsure = load_said.wide or load_said.may_be_beyond
        return rows + figure_rows(station.load, currency, room, BODY, after="of takt", interval=unsure)

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
