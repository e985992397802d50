"""The middle of the wide layout: the floor with stock and tables on it, and where flows come in and leave."""

from __future__ import annotations

from collections.abc import Iterator

from pullwright.draw.across_layout import Cells, Part
from pullwright.draw.axis import joined_by, left_by
from pullwright.draw.columns import Pile
from pullwright.draw.ink import HAIR, HEAVY, INK, LINE
from pullwright.draw.lettering import flowing
from pullwright.draw.piles import draw_pile, height_of_pile, pile_rows
from pullwright.draw.scales import Squares
from pullwright.draw.scene import LinePicture
from pullwright.draw.sheet import Sheet
from pullwright.draw.station_words import called, whole_names

_BENCH_HEIGHT = 20.0
_MOST_TABLES = 4
_END = 8.0


def draw_floor(
    sheet: Sheet,
    picture: LinePicture,
    squares: Squares,
    cells: Cells,
    parts: tuple[Part, ...],
    joints: dict[tuple[int, int], float],
    top: float,
) -> tuple[float, float]:
    """Piles and tables of a row on one floor; returns the bottom of what is written, and the floor.

    joints: by branch and column the height at which it is said that flows come in there.
    """
    return _Floor(sheet, picture, squares, cells, parts).draw(joints, top)


class _Floor:
    """The floor of one row."""

    def __init__(
        self, sheet: Sheet, picture: LinePicture, squares: Squares, cells: Cells, parts: tuple[Part, ...]
    ) -> None:
        self.sheet, self.picture, self.squares, self.cells, self.parts = sheet, picture, squares, cells, parts
        self.floor = 0.0

    def draw(self, joints: dict[tuple[int, int], float], top: float) -> tuple[float, float]:
        piles = list(self._piles())
        tall = max((height_of_pile(pile, self.squares) for *_, pile in piles), default=0.0)
        self.floor = top + max(tall, _BENCH_HEIGHT)
        for part in self.parts:
            self._line(part)
            self._tables(part)
            self._flows(part, joints)
        bottom = self.floor + 6
        for part, column, pile in piles:
            bottom = max(bottom, self._pile(part, column, pile))
        return bottom, self.floor

    def _piles(self) -> Iterator[tuple[Part, int, Pile]]:
        for part in self.parts:
            branch = self.picture.branches[part.branch]
            for column in part.columns:
                pile = branch.columns[column].queue if column < len(branch.columns) else branch.after
                if pile is not None:
                    yield part, column, pile

    def _pile(self, part: Part, column: int, pile: Pile) -> float:
        cells, sheet = self.cells, self.sheet
        branch = self.picture.branches[part.branch]
        ended = column == len(branch.columns)
        where = "finished" if ended else f"before {called(self.picture, part.branch, column)}"
        left = cells.x(part, column)
        draw_pile(sheet, left, self.floor, pile, self.squares, f"Stock {where}")
        maker = any(loop.maker == column for loop in branch.loops)
        room = cells.pile_text(maker, taker=any(loop.taker == column for loop in branch.loops))
        return sheet.block(left, self.floor + 3, flowing(pile_rows(pile, sheet.currency, room), room))

    def _line(self, part: Part) -> None:
        cells, sheet, floor = self.cells, self.sheet, self.floor
        branch = self.picture.branches[part.branch]
        end = len(branch.columns)
        left = part.left - _END
        right = cells.x(part, part.columns[-1]) + cells.cell - 10
        if end in part.columns:
            right = cells.bench_left(part, end) + cells.bench
        sheet.line(left, floor, right, floor, INK, HAIR)
        if part.columns.start:
            self._goes_on(left - 12)
        elif branch.leaves is None:
            sheet.line(left, floor - 5, left, floor + 5, INK, LINE)
        else:
            sheet.dot(left - 3, floor, 3.0, "none", INK)
        if end not in part.columns:
            self._goes_on(right + 4)
        elif branch.joins is None:
            sheet.line(right, floor - 5, right, floor + 5, INK, LINE)
        else:
            sheet.dot(right, floor, 3.0)

    def _goes_on(self, left: float) -> None:
        for step in range(3):
            self.sheet.dot(left + 4 * step, self.floor, 1.0)

    def _flows(self, part: Part, joints: dict[tuple[int, int], float]) -> None:
        """Where flows come in: a line from their letters down to a full dot. Where they leave: a ring behind the table."""
        cells, sheet, floor = self.cells, self.sheet, self.floor
        for column in part.columns[: len(self.picture.branches[part.branch].columns) - part.columns.start]:
            joining = joined_by(self.picture, part.branch, column)
            if joining:
                x = cells.trunk(part, column)
                with sheet.group("Comes in here", whole_names(self.picture, joining)):
                    said = joints[(part.branch, column)]
                    sheet.line(x, said, cells.bench_left(part, column) - 2, said, INK, LINE)
                    sheet.upright(x, said, floor, INK, LINE)
                    sheet.dot(x, floor, 3.0)
            leaving = left_by(self.picture, part.branch, column)
            if leaving:
                x = cells.bench_left(part, column) + cells.bench + 3
                with sheet.group("Leaves here", whole_names(self.picture, leaving)):
                    sheet.dot(x, floor, 3.0, "none", INK)

    def _tables(self, part: Part) -> None:
        columns = self.picture.branches[part.branch].columns
        for column in part.columns:
            if column < len(columns):
                self._bench(self.cells.bench_left(part, column), columns[column].machines)

    def _bench(self, left: float, machines: int) -> None:
        """A table for each machine, up to four; a bench without machine has a thin top."""
        tables = machines if 0 < machines <= _MOST_TABLES else 1
        pitch = self.cells.bench / tables
        top = self.floor - _BENCH_HEIGHT + 4
        for place in range(tables):
            x, wide = left + place * pitch, pitch - (5 if tables > 1 else 0)
            self.sheet.line(x, top, x + wide, top, INK, HEAVY if machines else HAIR)
            for leg in (x + 3, x + wide - 3):
                self.sheet.line(leg, top, leg, self.floor, INK, HAIR)
