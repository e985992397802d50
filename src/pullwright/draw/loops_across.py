"""Pull loops under one part of a flow in a wide drawing: where their ends are, and in which part their words stand."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.draw.across_layout import Cells, Part
from pullwright.draw.axis import number_of
from pullwright.draw.ink import PENCIL, SMALL
from pullwright.draw.lettering import Row, words
from pullwright.draw.loops import Hung, Lane, draw_loops, hang, height_of_loops, lanes_of, loop_rows, shift_of
from pullwright.draw.scene import LinePicture, Loop
from pullwright.draw.sheet import Sheet
from pullwright.draw.station_words import called

_LEAST_WORDS = 60.0


@dataclass(frozen=True, slots=True)
class LoopsOfPart:
    """The loops of one flow under one of its parts."""

    sheet: Sheet
    picture: LinePicture
    cells: Cells
    part: Part

    def draw(self, top: float, floor: float) -> float:
        """The loops below `top`, their legs up to the floor; returns the bottom."""
        loops = self.picture.branches[self.part.branch].loops
        hung = [self._hung(lane) for lane in lanes_of(loops) if self._reaches(lane.loop)]
        if not hung:
            return top
        draw_loops(self.sheet, hung, top + 6, floor, lambda column: called(self.picture, self.part.branch, column))
        return top + 6 + height_of_loops(hung)

    def _reaches(self, loop: Loop) -> bool:
        columns = self.part.columns
        return max(loop.maker, 0) <= columns[-1] and loop.taker >= columns.start

    def _hung(self, lane: Lane) -> Hung:
        cells, loop, columns = self.cells, lane.loop, self.part.columns
        edges = (cells.x(self.part, columns.start) - 8, cells.x(self.part, columns[-1]) + cells.cell - 8)
        ends = (self._leg(loop.maker, "maker", lane.depth), self._leg(loop.taker, "taker", lane.depth))
        return hang(lane, ends, edges, lambda room: self._words(loop, room))

    def _words(self, loop: Loop, room: float) -> tuple[Row, ...]:
        """The loop's own words where most of it hangs; in its other parts only where it goes."""
        steps = self._steps_by_row(loop)
        if len(steps) == 1:
            return loop_rows(loop, self.sheet.currency, room)
        whereto = f"back from {self._number(loop.taker)} to {self._number(loop.maker)}"
        most = max(steps, key=lambda row: (steps[row], -row))
        if self._row(self.part.columns.start) == most:
            return loop_rows(loop, self.sheet.currency, room, whereto)
        return words(whereto, room, SMALL, 2, PENCIL) if room > _LEAST_WORDS else ()

    def _steps_by_row(self, loop: Loop) -> dict[int, int]:
        """Steps from cell to cell that a loop takes in each row of its flow."""
        # A maker that is the last of its row has its leg there, though no step.
        rows = {self._row(max(loop.maker, 0)): 0}
        for column in range(loop.maker + 1, loop.taker + 1):
            rows[self._row(column)] = rows.get(self._row(column), 0) + 1
        return rows

    def _row(self, column: int) -> int:
        return column // self.part.in_row

    def _number(self, column: int) -> str:
        columns = self.picture.branches[self.part.branch].columns
        if 0 <= column < len(columns):
            return number_of(self.part.branch, column)
        return called(self.picture, self.part.branch, column)

    def _leg(self, column: int, end: str, depth: int) -> float | None:
        """The x of a loop's leg at a column's end; None when that is in another row."""
        cells, part = self.cells, self.part
        if max(column, 0) not in part.columns:
            return None
        if column == -1:
            return cells.x(part, 0) - 8
        return cells.bench_left(part, column) + cells.bench - 5 + shift_of(end, depth)
