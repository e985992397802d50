"""The bar over each account's table, and the hatched swatches in its rows."""

from __future__ import annotations

import math

from pullwright.draw import AccountBar, AccountRow, lettered
from pullwright.draw.ink import HAIR, INK, LINE, LOOK, PENCIL
from pullwright.draw.keys import place_keys
from pullwright.draw.sheet import Sheet, coordinate
from pullwright.line.kinds import KindKey
from pullwright.paper.page import FACE
from pullwright.paper.print_face import Picture, in_print_face

_BAR = 22.0
_BACK = 10.0
_TICK = 5.0
_KEY = 16.0
_EDGE = 1.5


def strip_height(bar: AccountBar) -> float:
    """How high the bar with its letters is, in drawing units; 0 where there is nothing to show."""
    if all(row.amount.value == 0 for row in bar.rows):
        return 0.0
    back = 3 + _BACK + _TICK + _KEY if any(row.amount.value < 0 for row in bar.rows) else 0.0
    return _KEY + _TICK + _BAR + back + 2


def strip(bar: AccountBar, width: float, prefix: str) -> Picture:
    """Which part of the account is which row?

    Parameters: the account; width in drawing units; prefix of every id. Result: a bar to scale, its pieces lettered
    a, b, c in the order of the rows. What is below 0 leads back, under the bar, to where the whole is (upright line).
    """
    sheet = Sheet(prefix, font=FACE)
    rows = [row for _, row in lettered(bar)]
    forward = math.fsum(row.amount.value for row in rows if row.amount.value > 0)
    whole = math.fsum(row.amount.value for row in rows)
    least = min(whole, 0.0)
    per_unit = (width - 2 * _EDGE) / ((forward - least) or 1.0)

    def x(amount: float) -> float:
        return _EDGE + (amount - least) * per_unit

    top = _KEY + _TICK
    at, behind = 0.0, forward
    ahead: list[tuple[int, float, float]] = []
    back: list[tuple[int, float, float]] = []
    for number, row in enumerate(rows, 1):
        amount = row.amount.value
        if amount > 0:
            _piece(sheet, row, x(at), top, amount * per_unit, _BAR)
            ahead.append((number, x(at), x(at + amount)))
            at += amount
        elif amount < 0:
            behind += amount
            _piece(sheet, row, x(behind), top + _BAR + 3, -amount * per_unit, _BACK)
            back.append((number, x(behind), x(behind - amount)))
    _keys(sheet, ahead, width, top, above=True)
    if back:
        bottom = top + _BAR + 3 + _BACK
        _keys(sheet, sorted(back, key=lambda piece: piece[1]), width, bottom, above=False)
        sheet.line(x(whole), top - 3, x(whole), bottom + 3, INK, LINE)
        if least < 0:
            sheet.line(x(0), top - 3, x(0), bottom + 3, PENCIL, HAIR)
    return in_print_face(sheet.svg(width, strip_height(bar), bar.title, "The rows of the account, to scale."))


def swatch(kind: KindKey, *, back: bool = False) -> str:
    """A patch that looks like a piece of this kind in the bar, or like one that leads back; 20 by 12 drawing units, as SVG."""
    sheet = Sheet(f"swatch-{kind}", font=FACE)
    _fill(sheet, kind, back, (0.5, 0.5, 19.0, 11.0))
    return sheet.svg(20, 12, kind, "hatch")


def _fill(sheet: Sheet, kind: KindKey, back: bool, place: tuple[float, float, float, float]) -> None:
    if back:
        sheet.leading_back(*place, unexplained=kind == "unexplained")
    else:
        sheet.hatched(*place, kind)


def _piece(sheet: Sheet, row: AccountRow, left: float, top: float, width: float, height: float) -> None:
    _fill(sheet, row.kind, row.amount.value < 0, (left, top, width, height))
    if row.remark is not None:
        sheet.rect(left, top, width, height, "none", LOOK, 2.5)


def _keys(sheet: Sheet, pieces: list[tuple[int, float, float]], width: float, edge: float, *, above: bool) -> None:
    c, away = coordinate, -1.0 if above else 1.0
    for key in place_keys(pieces, 0.0, width):
        tick = away * (_TICK - 2)
        sheet.path(f"M{c(key.left)} {c(edge + away * 2)}v{c(tick)}H{c(key.right)}v{c(-tick)}", PENCIL)
        sheet.write(key.middle, edge - _TICK - _KEY + 1 if above else edge + _TICK, key.row, "middle")
