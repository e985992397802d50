"""Stock as small squares, one a container, so that a pile looks like a pile."""

from __future__ import annotations

import math

from pullwright.draw.columns import FigureLike, Pile
from pullwright.draw.ink import FAINT, INK, LOOK, PENCIL, SMALL
from pullwright.draw.lettering import Row, number_rows, remark_rows, titled
from pullwright.draw.little_room import how_long, in_pieces
from pullwright.draw.scales import Squares
from pullwright.draw.sheet import Sheet, coordinate
from pullwright.draw.told import told

_OVER_THE_FLOOR = 1.5


def rows_tall(pile: Pile, squares: Squares) -> int:
    """Rows of squares that the pile is drawn with."""
    count = max(_shown(pile.containers, squares), _shown(pile.needed_containers or 0.0, squares))
    return math.ceil(math.ceil(count) / squares.in_row)


def height_of_pile(pile: Pile, squares: Squares) -> float:
    """How high the pile stands over the floor, the dots over an endless one included."""
    return rows_tall(pile, squares) * squares.pitch + _OVER_THE_FLOOR + (10.0 if math.isinf(pile.containers) else 0.0)


def draw_pile(sheet: Sheet, left: float, floor: float, pile: Pile, squares: Squares, where: str) -> None:
    """The pile, from the floor up: needed stock filled, stock beyond it in outline, what is missing dashed.

    Where the need is not known, all squares are pale. Stock beyond the need (all of it, where the need is not known) is
    drawn in the look-here colour only if the pile carries a remark. `where`: what it is called if it has no name.
    """
    have = _shown(pile.containers, squares)
    known = pile.needed_containers
    need = have if known is None else _shown(known, squares)
    both = min(have, need)
    edge = LOOK if pile.remark is not None else INK
    with sheet.figure(pile.pieces, pile.name or where, _in_full(pile, sheet.currency)):
        if known is None:
            _squares(sheet, left, floor, squares, (0.0, both), FAINT, LOOK if pile.remark is not None else "none")
        else:
            _squares(sheet, left, floor, squares, (0.0, both), PENCIL, "none")
        _squares(sheet, left, floor, squares, (both, have), "none", edge)
        _squares(sheet, left, floor, squares, (have, need), "none", PENCIL, "1.5 1.5")
        if math.isinf(pile.containers):
            top = floor - _OVER_THE_FLOOR - squares.most_rows * squares.pitch
            for place in range(3):
                sheet.dot(left + squares.side / 2 + place * squares.pitch * 1.5, top - 4, 1.5, edge)


def pile_rows(pile: Pile, currency: str, width: float) -> tuple[Row, ...]:
    """What is written under a pile: what is out of place, then on one short line each pieces, need, room, and how long it lasts.

    The unit is said once, stock is in whole pieces, and an interval is given only where it is wide; the rest is in the titles.
    """
    rows = remark_rows(pile.remark, width, SMALL)
    rows += _stock_rows(pile.pieces, currency, width, "", unit=True)
    if pile.needed is not None:
        rows += _stock_rows(pile.needed, currency, width, "needs")
    if pile.capacity is not None:
        rows += _stock_rows(pile.capacity, currency, width, "room for")
    lasts = pile.lasts_written
    if lasts is not None:
        written = number_rows(lasts, how_long(lasts, currency), width, SMALL, "lasts")
        rows += titled(written, f"lasts {told(lasts, currency).text}")
    return rows


def _stock_rows(figure: FigureLike, currency: str, width: float, before: str, unit: bool = False) -> tuple[Row, ...]:
    value, pieces = in_pieces(figure, currency)
    rows = number_rows(figure, (value, pieces if unit else ""), width, SMALL, before)
    return titled(rows, f"{before} {told(figure, currency).text}".strip())


def _in_full(pile: Pile, currency: str) -> str:
    """Everything that is known of a pile besides its pieces, with all intervals."""
    named = (("needs", pile.needed), ("room for", pile.capacity), ("lasts", pile.lasts_written))
    return ", ".join(f"{word} {told(figure, currency).text}" for word, figure in named if figure is not None)


def _shown(containers: float, squares: Squares) -> float:
    """Squares for so many containers; an endless pile fills all the room there is."""
    return min(containers / squares.per_square, float(squares.in_row * squares.most_rows))


def _squares(
    sheet: Sheet,
    left: float,
    floor: float,
    squares: Squares,
    stretch: tuple[float, float],
    fill: str,
    stroke: str,
    dashes: str = "",
) -> None:
    """The squares from one count to another as a single path; the last is narrower when it is not full."""
    begin, end = stretch
    inset = 0.0 if stroke == "none" else 0.5
    commands: list[str] = []
    for place in range(math.floor(begin), math.ceil(end - 1e-9)):
        first, last = max(begin - place, 0.0), min(end - place, 1.0)
        row, column = divmod(place, squares.in_row)
        x = left + column * squares.pitch + first * squares.side + inset
        y = floor - _OVER_THE_FLOOR - row * squares.pitch - squares.side + inset
        width = max((last - first) * squares.side - 2 * inset, 0.2)
        height = squares.side - 2 * inset
        commands.append(
            f"M{coordinate(x)} {coordinate(y)}h{coordinate(width)}v{coordinate(height)}h{coordinate(-width)}z"
        )
    if commands:
        sheet.path("".join(commands), stroke, 1.0, fill, dashes)
