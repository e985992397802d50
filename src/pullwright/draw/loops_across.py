"""Pull loops under one band of a wide drawing: where their ends are, and in which band their words stand."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.draw.across_layout import Across
from pullwright.draw.axis import station_numbers
from pullwright.draw.ink import PENCIL, SMALL
from pullwright.draw.lettering import Row, words
from pullwright.draw.loops import Hung, Lane, draw_loops, hang, height_of_loops, lanes_of, loop_rows, shift_of
from pullwright.draw.scene import LinePicture, Loop
from pullwright.draw.sheet import Sheet
from pullwright.draw.station_words import called

_LEAST_WORDS = 60.0


@dataclass(frozen=True, slots=True)
class LoopsOfBand:
    """The loops of one flow in one band. first: the flow's first cell; here: its first and last cell in this band."""

    sheet: Sheet
    picture: LinePicture
    layout: Across
    index: int
    first: int
    here: tuple[int, int]

    def draw(self, top: float, floor: float) -> float:
        """The loops below `top`, their legs up to the floor; returns the bottom."""
        hung = [self._hung(lane) for lane in lanes_of(self.picture.branches[self.index].loops) if self._reaches(lane)]
        if not hung:
            return top
        draw_loops(self.sheet, hung, top + 6, floor, lambda column: called(self.picture, self.index, column))
        return top + 6 + height_of_loops(hung)

    def _reaches(self, lane: Lane) -> bool:
        begin, end = self.first + max(lane.loop.maker, 0), self.first + lane.loop.taker
        return begin <= self.here[1] and end >= self.here[0]

    def _hung(self, lane: Lane) -> Hung:
        grid, loop = self.layout.grid, lane.loop
        edges = (grid.x(self.here[0]) - 8, grid.x(self.here[1]) + grid.cell - 8)
        ends = (self._leg(loop.maker, "maker", lane.depth), self._leg(loop.taker, "taker", lane.depth))
        return hang(lane, ends, edges, lambda room: self._words(loop, room))

    def _words(self, loop: Loop, room: float) -> tuple[Row, ...]:
        """The loop's own words where most of it hangs; in its other bands only where it goes."""
        bands = self._steps_by_band(loop)
        if len(bands) == 1:
            return loop_rows(loop, self.sheet.currency, room)
        whereto = f"back from {self._number(loop.taker)} to {self._number(loop.maker)}"
        most = max(bands, key=lambda band: (bands[band], -band))
        if self.here[0] // self.layout.grid.in_band == most:
            return loop_rows(loop, self.sheet.currency, room, whereto)
        return words(whereto, room, SMALL, 2, PENCIL) if room > _LEAST_WORDS else ()

    def _steps_by_band(self, loop: Loop) -> dict[int, int]:
        """Steps from cell to cell that a loop takes in each band."""
        in_band = self.layout.grid.in_band
        # A maker that is the last of its band has its leg there, though no step.
        bands = {(self.first + max(loop.maker, 0)) // in_band: 0}
        for cell in range(self.first + loop.maker + 1, self.first + loop.taker + 1):
            bands[cell // in_band] = bands.get(cell // in_band, 0) + 1
        return bands

    def _number(self, column: int) -> str:
        numbers = station_numbers(self.picture)[self.index]
        return numbers[column] if 0 <= column < len(numbers) else called(self.picture, self.index, column)

    def _leg(self, column: int, end: str, depth: int) -> float | None:
        """The x of a loop's leg at a column's end; None when that is in another band."""
        layout, cell = self.layout, self.first + max(column, 0)
        if not self.here[0] <= cell <= self.here[1]:
            return None
        if column == -1:
            return layout.grid.x(cell) - 8
        if self.index > 0 and column == len(self.picture.branches[self.index].columns):
            # A sub-flow ends where it comes down into the station it joins; its own legs stay on its side.
            return layout.trunk(cell) - 10 + shift_of(end, depth) / 2
        return layout.bench_left(cell) + layout.bench - 5 + shift_of(end, depth)
