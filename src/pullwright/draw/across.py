"""The wide layout: stations side by side, work above, stock and stations in the middle, loops below them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pullwright.draw.across_layout import MARGIN, Across, Cells, Part, rows_beside, rows_of_main
from pullwright.draw.bars import Placing, draw_bar
from pullwright.draw.columns import Remark, StationColumn
from pullwright.draw.floor_across import draw_floor
from pullwright.draw.ink import BODY, FAINT, INK, LINE, PENCIL, SMALL
from pullwright.draw.lettering import Row, figure_rows, height_of, one_line, remark_rows, titled, words
from pullwright.draw.loops_across import LoopsOfPart
from pullwright.draw.scene import LinePicture
from pullwright.draw.sheet import Sheet
from pullwright.draw.station_words import (
    called,
    coming_in,
    flow_called,
    going_out,
    name_rows,
    same_station,
    where_to,
    work_in_words,
)
from pullwright.draw.told import told

_LEAST_BARS = 30.0


def draw_across(sheet: Sheet, picture: LinePicture, layout: Across, top: float) -> tuple[float, dict[int, float]]:
    """All flows; returns the bottom, and where each main station stands (only if all are in one row)."""
    y, places = draw_main(sheet, picture, layout, top)
    return draw_others(sheet, picture, layout, y), places


def draw_main(sheet: Sheet, picture: LinePicture, layout: Across, top: float) -> tuple[float, dict[int, float]]:
    """The main flow; returns the bottom, and where each of its stations stands (only if all are in one row)."""
    cells = layout.main
    rows = rows_of_main(picture, cells)
    y = top
    for parts in rows:
        y = _Row(sheet, picture, layout, cells, parts).draw(y) + 10
    if len(rows) > 1:
        return y, {}
    (part,) = rows[0]
    return y, {column: cells.bench_left(part, column) + cells.bench / 2 for column in part.columns[:-1]}


def draw_others(sheet: Sheet, picture: LinePicture, layout: Across, top: float) -> float:
    """The flows besides the main one, several in a row; returns the bottom."""
    y = top
    for parts in rows_beside(picture, layout.beside):
        y = _Row(sheet, picture, layout, layout.beside, parts).draw(y) + 10
    return y


@dataclass(frozen=True, slots=True)
class Said:
    """What is written over a station's bar: what is out of place, its work content, its load."""

    remark: Remark | None
    remarked: tuple[Row, ...]
    content: tuple[Row, ...]
    load: tuple[Row, ...]


class _Row:
    """One row of the drawing: parts of flows side by side, their layers on common heights."""

    def __init__(
        self, sheet: Sheet, picture: LinePicture, layout: Across, cells: Cells, parts: tuple[Part, ...]
    ) -> None:
        self.sheet, self.picture, self.layout, self.cells, self.parts = sheet, picture, layout, cells, parts

    def draw(self, top: float) -> float:
        y = self._headings(top)
        if any(True for _ in self._stations()):
            y = self._work(y)
        y, joints = self._names(y)
        y, floor = draw_floor(self.sheet, self.picture, self.layout.squares, self.cells, self.parts, joints, y)
        bottoms = [LoopsOfPart(self.sheet, self.picture, self.cells, part).draw(y, floor) for part in self.parts]
        return max(bottoms)

    def _stations(self) -> Iterator[tuple[Part, int, StationColumn]]:
        for part in self.parts:
            columns = self.picture.branches[part.branch].columns
            yield from ((part, column, columns[column]) for column in part.columns if column < len(columns))

    def _headings(self, top: float) -> float:
        if len(self.picture.branches) == 1:
            return top
        bottom = top
        for part in self.parts:
            room = self.cells.cell * len(part.columns) + self.cells.tail
            if self.picture.branches[part.branch].name == self.picture.title:
                continue
            goes_on = " (goes on)" if part.columns.start else ""
            row = one_line(flow_called(self.picture, part.branch) + goes_on, room, BODY, PENCIL, bold=True)
            bottom = max(bottom, self.sheet.write(part.left, top, row))
        return bottom + 2 if bottom > top else top

    def _work(self, top: float) -> float:
        cells, sheet = self.cells, self.sheet
        said = [(part, column, station, self._said(part, station)) for part, column, station in self._stations()]
        content_top = top + _tallest(one.remarked for *_, one in said)
        load_top = content_top + _tallest(one.content for *_, one in said)
        bars_top = load_top + _tallest(one.load for *_, one in said) + 5
        base = bars_top + self._tallest_bar()
        for part, column, station, one in said:
            x = cells.bench_left(part, column)
            about = work_in_words(self.picture, station)
            with sheet.group(f"Work at {called(self.picture, part.branch, column)}", about):
                sheet.block(x, content_top - height_of(one.remarked), one.remarked)
                sheet.block(x, content_top, one.content)
                sheet.block(x, load_top, one.load)
                takt = self.picture.takt_of(self.picture.branches[part.branch])
                draw_bar(sheet, station, takt, one.remark, self.layout.bars, self._standing(x, base))
        for part in self.parts:
            self._ground(part, bars_top, base)
        return base + 4

    def _said(self, part: Part, station: StationColumn) -> Said:
        currency, room = self.picture.currency, self.cells.text
        remark = station.beyond(self.picture.takt_of(self.picture.branches[part.branch]))
        said = remark_rows(remark, room)
        if station.same_as is not None:
            rows = words(same_station(self.picture, station), room, SMALL, 2, PENCIL)
            return Said(remark, said, titled(rows, work_in_words(self.picture, station)), ())
        content = figure_rows(station.content, currency, room, interval=told(station.content, currency).wide)
        if station.load is None:
            return Said(remark, said, content, ())
        load_said = told(station.load, currency)
        unsure = load_said.wide or load_said.may_be_beyond
        load = figure_rows(station.load, currency, room, SMALL, after="of takt", interval=unsure)
        return Said(remark, said, content, load)

    def _tallest_bar(self) -> float:
        bars = self.layout.bars
        times = [station.content.value for *_, station in self._stations()]
        takts = [self.picture.takt_of(self.picture.branches[part.branch]).value for part in self.parts]
        length = max((bars.along(time) for time in times + takts if math.isfinite(time)), default=0.0)
        return bars.length if any(map(math.isinf, times)) else min(max(length, _LEAST_BARS), bars.length)

    def _standing(self, left: float, base: float) -> Placing:
        return lambda start, length: (left, base - start - length, self.cells.bench, length)

    def _ground(self, part: Part, top: float, base: float) -> None:
        """The line that a part's bars stand on, and its takt."""
        columns = self.picture.branches[part.branch].columns
        last = min(part.columns.stop, len(columns)) - 1
        if last < part.columns.start:
            return
        left, right = part.left, self.cells.x(part, last) + self.cells.cell - 10
        self.sheet.line(left, base, right, base, FAINT)
        self._takt_line(part, left, right, top, base)

    def _takt_line(self, part: Part, left: float, right: float, top: float, base: float) -> None:
        takt = self.picture.takt_of(self.picture.branches[part.branch])
        along = self.layout.bars.along(takt.value)
        drawn = math.isfinite(takt.value) and along <= self.layout.bars.length * (1 + 1e-9)
        y = base - along if drawn else (top + base) / 2
        with self.sheet.group("Takt", told(takt, self.sheet.currency).text):
            if part.takt:
                room = MARGIN - 22
                rows = words("takt", room, SMALL, 1, PENCIL) + figure_rows(takt, self.sheet.currency, room, SMALL)
                text_top = min(max(y - height_of(rows) / 2, top - 12), base - height_of(rows))
                self.sheet.block(left - MARGIN + 8, text_top, rows)
            if drawn:
                self.sheet.line(left - 12, y, right, y, INK, LINE)

    def _names(self, top: float) -> tuple[float, dict[tuple[int, int], float]]:
        """Names under the bars; returns the bottom, and at which height it is said that flows come in, by branch and column."""
        cells, bottom = self.cells, top
        joints: dict[tuple[int, int], float] = {}
        for part, column, _ in self._stations():
            x, index = cells.bench_left(part, column), part.branch
            y = self.sheet.block(x, top, name_rows(self.picture, index, column, cells.text))
            into = words(coming_in(self.picture, index, column), cells.text, SMALL, 2, PENCIL)
            if into:
                joints[(index, column)] = y + height_of(into[:1]) / 2
            y = self.sheet.block(x, y, into)
            out = words(going_out(self.picture, index, column), cells.text, SMALL, 2, PENCIL)
            bottom = max(bottom, self.sheet.block(x, y, out))
        for part in self.parts:
            end = len(self.picture.branches[part.branch].columns)
            if end in part.columns:
                x = cells.bench_left(part, end)
                rows = words(where_to(self.picture, part.branch), min(cells.text, cells.right - x), SMALL, 3, PENCIL)
                bottom = max(bottom, self.sheet.block(x, top, rows))
        return bottom + 6, joints


def _tallest(blocks: Iterable[tuple[Row, ...]]) -> float:
    return max((height_of(rows) for rows in blocks), default=0.0)
