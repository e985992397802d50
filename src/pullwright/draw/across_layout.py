"""How the wide layout divides its width: cells on the axis, and which stretch of which flow stands in which row."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pullwright.draw.axis import reading_order
from pullwright.draw.bars import BarScale
from pullwright.draw.scales import Scales, Squares, squares_for
from pullwright.draw.scene import LinePicture

MARGIN = 84.0
RIGHT = 16.0
_LEAST_CELL = 100.0
_WIDEST_CELL = 300.0
_WIDEST_SIDE_CELL = 114.0
_BETWEEN_CELLS = 14.0
_BETWEEN_FLOWS = 26.0
_LAST_WORDS = 0.5
"""The words of the last station in a row reach beyond its cell, into what is the next one's pile elsewhere."""


@dataclass(frozen=True, slots=True)
class Heights:
    """How high bars and piles may be at most, in drawing units."""

    bar: float
    pile: float


USUAL = Heights(bar=124.0, pile=96.0)
DENSE = Heights(bar=80.0, pile=48.0)


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of one flow in a row: its columns (the one behind the last is the flow's end), and its left edge.

    takt: whether takt is written before it, because it is not the one of the part before; in_row: columns of the flow in
    a row, where it is cut.
    """

    branch: int
    columns: range
    left: float
    takt: bool
    in_row: int


@dataclass(frozen=True, slots=True)
class Cells:
    """How a row is divided into cells, and a cell between pile and station; `right` is the right edge of the paper's room."""

    cell: float
    in_row: int
    pile: float
    bench: float
    right: float

    @property
    def text(self) -> float:
        """Room for words from a station's left edge to the next one's."""
        return self.cell - _BETWEEN_CELLS

    def pile_text(self, maker: bool, taker: bool) -> float:
        """Room for words under a pile: up to where a loop's leg comes down at the maker or the taker, else to the next pile."""
        if taker:
            return self.pile + self.bench - 18.0
        return self.pile + self.bench - 7.0 if maker else self.cell - 8.0

    @property
    def tail(self) -> float:
        """How far the words of the last cell reach beyond it."""
        return max(self.pile - _BETWEEN_CELLS, 0.0)

    def x(self, part: Part, column: int) -> float:
        """Left edge of a column's cell."""
        return part.left + (column - part.columns.start) * self.cell

    def bench_left(self, part: Part, column: int) -> float:
        """Left edge of the station in a column's cell."""
        return self.x(part, column) + self.pile

    def trunk(self, part: Part, column: int) -> float:
        """Where sub-flows come into the station of this column: between its pile and its table."""
        return self.bench_left(part, column) - 6.0


@dataclass(frozen=True, slots=True)
class Across:
    """The wide layout: cells of the main flow and of the others, and the scales of squares and bars, the same everywhere."""

    main: Cells
    beside: Cells
    squares: Squares
    bars: BarScale

    @property
    def pile(self) -> float:
        """Room that the widest pile may take."""
        return min(self.main.pile, self.beside.pile)


def across_for(scales: Scales, width: float, heights: Heights = USUAL) -> Across:
    """The wide layout in this width, the same for all pictures that share the scales."""
    room, right = width - MARGIN - RIGHT, width - RIGHT
    cell, in_row = _cells(scales.cells, room, _WIDEST_CELL, 0.0)
    widest = min(max(cell, _LEAST_CELL), _WIDEST_SIDE_CELL)
    beside, beside_in_row = _cells(scales.cells_beside, room, widest, _LAST_WORDS)
    main, others = (
        Cells(one, count, *_pile_and_bench(one), right) for one, count in ((cell, in_row), (beside, beside_in_row))
    )
    squares = squares_for(scales.most_containers, min(main.pile, others.pile) - 12.0, heights.pile)
    return Across(main, others, squares, BarScale(scales.bar_seconds, heights.bar))


def rows_of_main(picture: LinePicture, cells: Cells) -> tuple[tuple[Part, ...], ...]:
    """The main flow, cut like lines of text where it does not fit side by side."""
    return tuple((part,) for part in _cut(picture, 0, cells))


def rows_beside(picture: LinePicture, cells: Cells) -> tuple[tuple[Part, ...], ...]:
    """All other flows, several short ones side by side in a row, in the order in which they are read."""
    rows: list[list[Part]] = []
    for index in reading_order(picture)[1:]:
        parts = _cut(picture, index, cells)
        if len(parts) > 1:
            rows += [[part] for part in parts]
            continue
        (part,) = parts
        if rows:
            before = rows[-1][-1]
            same = (
                picture.takt_of(picture.branches[before.branch]).value == picture.takt_of(picture.branches[index]).value
            )
            gap = _BETWEEN_FLOWS if same else MARGIN
            left = cells.x(before, before.columns.stop) + cells.tail + gap
            if left + len(part.columns) * cells.cell + cells.tail <= cells.right:
                rows[-1].append(replace(part, left=left, takt=not same))
                continue
        rows.append([part])
    return tuple(tuple(row) for row in rows)


def _cells(cells: int, room: float, widest: float, last_words: float) -> tuple[float, int]:
    """How wide a cell is, and how many stand in a row; last_words: room kept behind a row that is not cut, in cells."""
    fitting = max(int(room // _LEAST_CELL), 1)
    if cells <= fitting:
        cell = min(room / (max(cells, 1) + last_words), widest)
        return cell, max(int(room / cell - last_words + 1e-6), 1)
    in_row = math.ceil(cells / math.ceil(cells / fitting))
    return min(room / (in_row + _LAST_WORDS), widest), in_row


def _pile_and_bench(cell: float) -> tuple[float, float]:
    room = cell - _BETWEEN_CELLS
    return min(0.5 * room, 120.0), min(0.5 * room, 64.0)


def _cut(picture: LinePicture, index: int, cells: Cells) -> tuple[Part, ...]:
    count = len(picture.branches[index].columns) + 1
    in_row = math.ceil(count / math.ceil(count / cells.in_row))
    return tuple(
        Part(index, range(start, min(start + in_row, count)), MARGIN, True, in_row) for start in range(0, count, in_row)
    )
