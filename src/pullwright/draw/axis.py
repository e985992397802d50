"""The one horizontal axis: which cell each station stands in, so that a sub-flow ends where it joins."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pullwright.draw.scene import Branch, LinePicture

_LEAST_CELL = 106.0
_WIDEST_CELL = 300.0


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells of equal width, cut into bands when they do not all fit side by side."""

    left: float
    cell: float
    in_band: int
    bands: int

    def x(self, cell: int) -> float:
        """Left edge of a cell, in whichever band it stands."""
        return self.left + (cell % self.in_band) * self.cell

    def cells_of(self, band: int) -> range:
        """The cells of one band."""
        return range(band * self.in_band, (band + 1) * self.in_band)


def first_cells(picture: LinePicture) -> tuple[int, ...]:
    """The cell of every branch's first station; a sub-flow's last stands just left of the station it joins."""
    firsts: list[int] = []
    for branch in picture.branches:
        join = 0 if branch.joins is None else firsts[branch.into] + branch.joins - len(branch.columns)
        firsts.append(join)
    earliest = min(firsts)
    return tuple(first - earliest for first in firsts)


def cells_needed(picture: LinePicture) -> int:
    """Cells of the axis: one per station, and one behind the last for what is finished."""
    return max(
        first + len(branch.columns) + 1 for first, branch in zip(first_cells(picture), picture.branches, strict=True)
    )


def grid_for(cells: int, left: float, width: float) -> Grid:
    """Cells between `left` and `left + width`: as wide as there is room for, in several bands if they get too narrow."""
    fitting = max(int(width // _LEAST_CELL), 1)
    bands = math.ceil(cells / fitting)
    in_band = math.ceil(cells / bands)
    return Grid(left, min(width / in_band, _WIDEST_CELL), in_band, bands)


def row_order(picture: LinePicture, branch: int = 0) -> tuple[int, ...]:
    """Branches from top to bottom: what joins later stands higher, so that no joining line crosses another flow."""
    joining = sorted(
        (index for index, other in enumerate(picture.branches) if other.joins is not None and other.into == branch),
        key=lambda index: (-(picture.branches[index].joins or 0), index),
    )
    above = tuple(row for index in joining for row in row_order(picture, index))
    return (*above, branch)


def station_numbers(picture: LinePicture) -> tuple[tuple[str, ...], ...]:
    """The number every station is called by: 1, 2, 3 in the main flow, A1, A2 in the first sub-flow, B1 ...

    Result: per branch, per column.
    """
    return tuple(
        tuple(f"{branch_letter(place)}{column + 1}" for column in range(len(branch.columns)))
        for place, branch in enumerate(picture.branches)
    )


def branch_letter(place: int) -> str:
    """Nothing for the main flow, then A to Z, AA, AB ..."""
    letters = ""
    while place > 0:
        place, rest = divmod(place - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def joined_by(picture: LinePicture, into: int, column: int) -> tuple[tuple[int, Branch], ...]:
    """Sub-flows assembled at this column, with their index."""
    return tuple(
        (index, branch)
        for index, branch in enumerate(picture.branches)
        if branch.joins == column and branch.into == into and index != into
    )
