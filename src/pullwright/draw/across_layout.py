"""How the wide layout divides its width: cells on the axis, each with room for a pile and a station."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pullwright.draw.axis import Grid, grid_for
from pullwright.draw.bars import BarScale
from pullwright.draw.scales import Scales, Squares, squares_for

MARGIN = 84.0
RIGHT = 16.0
_BAR_LENGTH = 130.0
_BETWEEN_CELLS = 14.0
_PILE_ROOM = 100.0


@dataclass(frozen=True, slots=True)
class Across:
    """The wide layout of one picture: its grid, and how a cell is divided between pile and station."""

    grid: Grid
    pile: float
    bench: float
    squares: Squares
    bars: BarScale

    @property
    def text(self) -> float:
        """Room for words from a station's left edge to the next one's."""
        return self.grid.cell - _BETWEEN_CELLS

    @property
    def pile_text(self) -> float:
        """Room for words under a pile, up to where the legs of the loops come down."""
        return self.pile + self.bench - 18.0

    @property
    def pile_text_alone(self) -> float:
        """Room for words under a pile where no loop ends: up to the next pile."""
        return self.grid.cell - 8.0

    def bench_left(self, cell: int) -> float:
        """Left edge of the station in a cell."""
        return self.grid.x(cell) + self.pile

    def trunk(self, cell: int) -> float:
        """Where a sub-flow comes down into the station of this cell."""
        return self.bench_left(cell) - 6.0


def across_for(scales: Scales, width: float) -> Across:
    """The wide layout in this width, the same for all pictures that share the scales."""
    grid = grid_for(scales.cells, MARGIN, width - MARGIN - RIGHT)
    if grid.bands > 1:
        # The words of the last station reach beyond its cell, into what is the next station's pile elsewhere.
        grid = replace(grid, cell=(width - MARGIN - RIGHT) / (grid.in_band + 0.5))
    room = grid.cell - _BETWEEN_CELLS
    pile, bench = min(0.5 * room, 120.0), min(0.5 * room, 64.0)
    return Across(
        grid=grid,
        pile=pile,
        bench=bench,
        squares=squares_for(scales.most_containers, pile - 12.0, _PILE_ROOM),
        bars=BarScale(scales.bar_seconds, _BAR_LENGTH),
    )
