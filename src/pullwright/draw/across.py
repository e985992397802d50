"""The wide layout: stations side by side, work above, stock and stations in the middle, loops below them."""

from __future__ import annotations

import math
from collections.abc import Iterable

from pullwright.draw.across_layout import MARGIN, Across
from pullwright.draw.axis import first_cells, row_order
from pullwright.draw.bars import Placing, draw_bar
from pullwright.draw.ink import BODY, FAINT, HAIR, HEAVY, INK, LINE, PENCIL, SMALL
from pullwright.draw.lettering import Row, figure_rows, height_of, one_line, remark_rows, words
from pullwright.draw.loops_across import LoopsOfBand
from pullwright.draw.piles import draw_pile, height_of_pile, pile_rows
from pullwright.draw.scene import LinePicture, Pile
from pullwright.draw.sheet import Sheet
from pullwright.draw.station_words import called, manned, work_in_words

_BENCH_HEIGHT = 20.0
_MOST_TABLES = 4


def draw_across(sheet: Sheet, picture: LinePicture, layout: Across, top: float) -> tuple[float, dict[int, float]]:
    """All bands of the picture; returns the bottom, and where each main station stands (only if all are in one band)."""
    y = top
    firsts = first_cells(picture)
    used = max(first + len(branch.columns) for first, branch in zip(firsts, picture.branches, strict=True)) + 1
    for band in range(layout.grid.bands):
        cells = layout.grid.cells_of(band)
        if cells.start >= used:
            break
        floors: dict[int, float] = {}
        trunks: list[tuple[int, float, int]] = []
        for branch in row_order(picture):
            strip = _Strip(sheet, picture, layout, branch, firsts[branch], cells)
            if not strip.here:
                continue
            y = strip.draw(y)
            floors[branch] = strip.floor
            if strip.join in cells:
                trunks.append((picture.branches[branch].into, strip.floor, strip.join))
            y += 10
        for into, floor, cell in trunks:
            sheet.upright(layout.trunk(cell), floor, floors[into], INK, LINE)
            sheet.dot(layout.trunk(cell), floors[into], 3.0)
        y += 8
    places: dict[int, float] = {}
    if used <= layout.grid.in_band:
        main = picture.branches[0]
        places = {
            column: layout.bench_left(firsts[0] + column) + layout.bench / 2 for column in range(len(main.columns))
        }
    return y, places


class _Strip:
    """One flow's part of one band."""

    def __init__(
        self, sheet: Sheet, picture: LinePicture, layout: Across, index: int, first: int, cells: range
    ) -> None:
        self.sheet, self.picture, self.layout = sheet, picture, layout
        self.index, self.first, self.cells = index, first, cells
        self.branch = picture.branches[index]
        self.takt = picture.takt_of(self.branch)
        count = len(self.branch.columns)
        self.end = first + count
        self.join = self.end if index > 0 else -1
        self.here = [cell for cell in cells if first <= cell <= self.end]
        self.stations = [(cell, self.branch.columns[cell - first]) for cell in self.here if cell < self.end]
        self.floor = 0.0

    def draw(self, top: float) -> float:
        y = self._heading(top)
        if self.stations:
            y = self._work(y)
        y = self._names(y)
        y = self._stock(y)
        return self._loops(y)

    def _heading(self, top: float) -> float:
        if len(self.picture.branches) == 1:
            return top
        goes_on = "" if self.here[0] == self.first else " (goes on)"
        left = self.layout.grid.x(self.here[0])
        room = self.layout.grid.cell * len(self.here) - 10
        return self.sheet.write(left, top, one_line(self.branch.name + goes_on, room, BODY, PENCIL, bold=True)) + 2

    def _work(self, top: float) -> float:
        layout, sheet = self.layout, self.sheet
        remarks = {cell: column.beyond(self.takt) for cell, column in self.stations}
        said = {cell: remark_rows(remark, layout.text) for cell, remark in remarks.items()}
        content = {c: figure_rows(column.content, sheet.currency, layout.text) for c, column in self.stations}
        load = {
            c: figure_rows(column.load, sheet.currency, layout.text, SMALL, after="of takt")
            for c, column in self.stations
            if column.load is not None
        }
        content_top = top + _tallest(said.values())
        load_top = content_top + _tallest(content.values())
        bars_top = load_top + _tallest(load.values()) + 5
        base = bars_top + self._tallest_bar()
        for cell, column in self.stations:
            x = layout.bench_left(cell)
            with sheet.group(f"Work at {self._called(cell)}", work_in_words(column, sheet.currency)):
                sheet.block(x, content_top - height_of(said[cell]), said[cell])
                sheet.block(x, content_top, content[cell])
                sheet.block(x, load_top, load.get(cell, ()))
                draw_bar(sheet, column, self.takt, remarks[cell], layout.bars, self._standing(x, base))
        left, right = layout.grid.x(self.here[0]), layout.grid.x(self.stations[-1][0]) + layout.grid.cell - 10
        sheet.line(left, base, right, base, FAINT)
        self._takt_line(left, right, bars_top, base)
        return base + 4

    def _tallest_bar(self) -> float:
        times = [column.content.value for _, column in self.stations] + [self.takt.value]
        length = max((self.layout.bars.along(time) for time in times if math.isfinite(time)), default=0.0)
        cut = any(math.isinf(column.content.value) for _, column in self.stations)
        return self.layout.bars.length if cut else min(max(length, 30.0), self.layout.bars.length)

    def _standing(self, left: float, base: float) -> Placing:
        return lambda start, length: (left, base - start - length, self.layout.bench, length)

    def _takt_line(self, left: float, right: float, top: float, base: float) -> None:
        room = MARGIN - 22
        rows = words("takt", room, SMALL, 1, PENCIL) + figure_rows(self.takt, self.sheet.currency, room, SMALL)
        along = self.layout.bars.along(self.takt.value)
        drawn = math.isfinite(self.takt.value) and along <= self.layout.bars.length * (1 + 1e-9)
        y = base - along if drawn else (top + base) / 2
        # A sub-flow may begin far from the margin: the words stand at the line's left end all the same.
        x = left - MARGIN + 8
        text_top = min(max(y - height_of(rows) / 2, top - 12), base - height_of(rows))
        with self.sheet.group("Takt", self.takt.text(self.sheet.currency)):
            self.sheet.block(x, text_top, rows)
            if drawn:
                self.sheet.line(left - 12, y, right, y, INK, LINE)

    def _names(self, top: float) -> float:
        layout, bottom = self.layout, top
        for cell, column in self.stations:
            rows = words(self._called(cell), layout.text, BODY, 3)
            rows += words(manned(column), layout.text, SMALL, 2, PENCIL)
            bottom = max(bottom, self.sheet.block(layout.bench_left(cell), top, rows))
        if self.end in self.cells:
            bottom = max(bottom, self.sheet.block(layout.bench_left(self.end), top, self._end_rows()))
        return bottom + 6

    def _end_rows(self) -> tuple[Row, ...]:
        if self.branch.joins is None:
            return words("customer", self.layout.text, BODY, 1, PENCIL)
        into = called(self.picture, self.branch.into, self.branch.joins)
        return words(f"into {into}", self.layout.text, SMALL, 3, PENCIL)

    def _stock(self, top: float) -> float:
        layout = self.layout
        piles = [(cell, column.queue) for cell, column in self.stations if column.queue is not None]
        if self.branch.after is not None and self.end in self.cells:
            piles.append((self.end, self.branch.after))
        tall = max((height_of_pile(pile, layout.squares) for _, pile in piles), default=0.0)
        self.floor = top + max(tall, _BENCH_HEIGHT if self.stations else 8.0)
        self._floor_line()
        for cell, column in self.stations:
            self._bench(layout.bench_left(cell), column.machines)
        bottom = self.floor + 6
        for cell, pile in piles:
            bottom = max(bottom, self._pile(cell, pile))
        return bottom

    def _pile(self, cell: int, pile: Pile) -> float:
        layout, sheet = self.layout, self.sheet
        where = "finished" if cell == self.end else f"before {self._called(cell)}"
        draw_pile(sheet, layout.grid.x(cell), self.floor, pile, layout.squares, pile.name or f"Stock {where}")
        if cell == self.join:
            # The joining line comes down here, so the words stand on its far side.
            return sheet.block(layout.bench_left(cell), self.floor + 3, pile_rows(pile, sheet.currency, layout.text))
        ends = {end for loop in self.branch.loops for end in (loop.maker, loop.taker)}
        room = layout.pile_text if cell - self.first in ends else layout.pile_text_alone
        return sheet.block(layout.grid.x(cell), self.floor + 3, pile_rows(pile, sheet.currency, room))

    def _floor_line(self) -> None:
        layout, sheet = self.layout, self.sheet
        left, right = layout.grid.x(self.here[0]) - 8, layout.grid.x(self.here[-1]) + layout.grid.cell - 10
        if self.end in self.cells:
            right = layout.trunk(self.end) if self.index > 0 else layout.bench_left(self.end) + layout.bench
        sheet.line(left, self.floor, right, self.floor, INK, HAIR)
        if self.here[0] == self.first:
            sheet.line(left, self.floor - 5, left, self.floor + 5, INK, LINE)
        else:
            self._goes_on(left - 12)
        if self.end not in self.cells:
            self._goes_on(right + 4)
        elif self.index == 0:
            sheet.line(right, self.floor - 5, right, self.floor + 5, INK, LINE)

    def _goes_on(self, left: float) -> None:
        for step in range(3):
            self.sheet.dot(left + 4 * step, self.floor, 1.0)

    def _bench(self, left: float, machines: int) -> None:
        """A table for each machine, up to four; a bench without machine has a thin top."""
        tables = machines if 0 < machines <= _MOST_TABLES else 1
        pitch = self.layout.bench / tables
        top = self.floor - _BENCH_HEIGHT + 4
        for place in range(tables):
            x, wide = left + place * pitch, pitch - (5 if tables > 1 else 0)
            self.sheet.line(x, top, x + wide, top, INK, HEAVY if machines else HAIR)
            for leg in (x + 3, x + wide - 3):
                self.sheet.line(leg, top, leg, self.floor, INK, HAIR)

    def _loops(self, top: float) -> float:
        cells = (self.here[0], self.here[-1])
        hanging = LoopsOfBand(self.sheet, self.picture, self.layout, self.index, self.first, cells)
        return hanging.draw(top, self.floor)

    def _called(self, cell: int) -> str:
        return called(self.picture, self.index, cell - self.first)


def _tallest(blocks: Iterable[tuple[Row, ...]]) -> float:
    return max((height_of(rows) for rows in blocks), default=0.0)
