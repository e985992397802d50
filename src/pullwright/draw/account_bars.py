"""Closed accounts as bars: one horizontal stacked bar per account, its rows hatched by kind.

Rows above 0 stand one behind the other from the left. Rows below 0 lead back from their end, in a band of their own
under the bar, to where the whole is: an account that explains more than there is shows that, and by how much. They have
no hatch, because nothing is spent on them: they are blank, with pointers that lead back.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.draw.hatching import ORDER
from pullwright.draw.ink import BODY, HAIR, INK, LEAD, LINE, LOOK, PENCIL, SMALL, SYSTEM_FONT
from pullwright.draw.keys import letters_for, place_keys
from pullwright.draw.legend import draw_entries, mark_entry
from pullwright.draw.lettering import Row, Run, figure_rows, flowing, height_of, remark_rows, words
from pullwright.draw.scene import FigureLike, Remark, SceneError, WhyLink
from pullwright.draw.sheet import Sheet, coordinate
from pullwright.draw.told import asked_once, told
from pullwright.line.kinds import BY_KEY, KindKey


@dataclass(frozen=True, slots=True)
class AccountRow:
    """One row of a closed account: its words, its amount (may be below 0) and the kind whose hatch it is drawn with."""

    words: str
    amount: FigureLike
    kind: KindKey
    share: FigureLike | None = None
    remark: Remark | None = None

    def __post_init__(self) -> None:
        if self.kind not in BY_KEY:
            raise SceneError(f"kind {self.kind!r} is not known; allowed are {', '.join(BY_KEY)}")
        if not math.isfinite(self.amount.value):
            raise SceneError(f"{self.words!r} is {self.amount.value}: an account holds only finite amounts")


@dataclass(frozen=True, slots=True)
class AccountBar:
    """One closed account as one bar: its rows add up to the whole."""

    title: str
    whole: FigureLike
    rows: tuple[AccountRow, ...]
    sentence: str = ""

    def __post_init__(self) -> None:
        total = math.fsum(row.amount.value for row in self.rows)
        size = math.fsum(abs(row.amount.value) for row in self.rows)
        if not math.isclose(total, self.whole.value, rel_tol=1e-6, abs_tol=1e-6 * size + 1e-12):
            raise SceneError(
                f"the rows of {self.title!r} add up to {total:g}, the whole says {self.whole.value:g}: "
                "put the difference into the row 'not explained'"
            )


def lettered(bar: AccountBar) -> tuple[tuple[str, AccountRow], ...]:
    """The rows in the order in which the bar shows them (that of the kinds), each with its letter."""
    rows = sorted(bar.rows, key=lambda row: ORDER[row.kind])
    return tuple((letters_for(number), row) for number, row in enumerate(rows, 1))


_EDGE = 12.0
_BAR = 28.0
_BACK = 12.0
_TICK = 5.0
_ENTRY = 330.0
_WORDS_FROM = 50.0


@asked_once()
def account_bars(
    bars: Sequence[AccountBar],
    *,
    currency: str = "EUR",
    width: float = 1200.0,
    prefix: str = "account",
    why_link: WhyLink | None = None,
    font: str = SYSTEM_FONT,
    listed: bool = True,
) -> str:
    """Which part of the paid hours (floor, material, money) goes where?

    Parameters: the accounts, one bar each, every bar to its own whole; currency; width in drawing units (1200 for a
    desk, 380 for a phone); prefix of every id; why_link from a figure's name to the address of its why; font; listed
    (False where the page sets the rows as a table; `lettered` says which letter each has). Result: SVG text: bars to scale with lettered pieces, and every row in words with its amount in a list under its bar, in the
    order of the kinds. Errors: SceneError where a row or the whole cannot be.
    """
    sheet = Sheet(prefix, currency, why_link, font)
    y = 12.0
    for bar in bars:
        with sheet.group(bar.title, f"{told(bar.whole, currency).text}. {bar.sentence}".strip()):
            y = _Account(sheet, bar, width).draw(y, listed) + 20
    if any(row.remark for bar in bars for row in bar.rows):
        y = draw_entries(sheet, (mark_entry(),), _EDGE, y, width - 2 * _EDGE) + 8
    title = ", ".join(bar.title for bar in bars)
    return sheet.svg(width, max(y, 20.0), title, "Closed accounts as bars: every row in its hatch, to scale.")


class _Account:
    """One account: its rows in the order of the kinds, and its scale."""

    def __init__(self, sheet: Sheet, bar: AccountBar, width: float) -> None:
        self.sheet, self.bar = sheet, bar
        self.room = width - 2 * _EDGE
        self.rows = [row for _, row in lettered(bar)]
        self.forward = math.fsum(row.amount.value for row in self.rows if row.amount.value > 0)
        self.whole = math.fsum(row.amount.value for row in self.rows)
        self.least = min(self.whole, 0.0)
        self.per_unit = self.room / ((self.forward - self.least) or 1.0)

    def x(self, amount: float) -> float:
        return _EDGE + (amount - self.least) * self.per_unit

    def draw(self, top: float, listed: bool) -> float:
        sheet = self.sheet
        whole = figure_rows(self.bar.whole, sheet.currency, self.room, LEAD)
        title = words(self.bar.title, self.room, LEAD, 2, INK, bold=True)
        y = sheet.block(_EDGE, top, flowing(title + whole, self.room))
        y = sheet.block(_EDGE, y, words(self.bar.sentence, self.room, BODY, 4, PENCIL)) + 4
        y = self._pieces(y)
        return self._list(y + 8) if listed else y

    def _pieces(self, top: float) -> float:
        ahead: list[tuple[int, float, float]] = []
        back: list[tuple[int, float, float]] = []
        at, behind = 0.0, self.forward
        bar_top = top + height_of((_key_row(1),)) + _TICK
        for number, row in enumerate(self.rows, 1):
            amount = row.amount.value
            if amount > 0:
                self._piece(row, self.x(at), bar_top, amount * self.per_unit, _BAR)
                ahead.append((number, self.x(at), self.x(at + amount)))
                at += amount
            elif amount < 0:
                behind += amount
                self._piece(row, self.x(behind), bar_top + _BAR + 3, -amount * self.per_unit, _BACK)
                back.append((number, self.x(behind), self.x(behind - amount)))
        self._keys(ahead, bar_top, above=True)
        bottom = bar_top + _BAR
        if not back:
            return bottom
        bottom += 3 + _BACK
        self._keys(sorted(back, key=lambda piece: piece[1]), bottom, above=False)
        whole = self.x(self.whole)
        self.sheet.line(whole, bar_top - 3, whole, bottom + 3, INK, LINE)
        if self.least < 0:
            self.sheet.line(self.x(0), bar_top - 3, self.x(0), bottom + 3, PENCIL, HAIR)
        return bottom + _TICK + height_of((_key_row(1),))

    def _piece(self, row: AccountRow, left: float, top: float, width: float, height: float) -> None:
        with self.sheet.figure(row.amount, row.words):
            _fill(self.sheet, row, left, top, width, height)
            if row.remark is not None:
                self.sheet.rect(left, top, width, height, "none", LOOK, 2.5)

    def _keys(self, pieces: list[tuple[int, float, float]], edge: float, above: bool) -> None:
        c, away = coordinate, -1.0 if above else 1.0
        marked = frozenset(number for number, row in enumerate(self.rows, 1) if row.remark is not None)
        for key in place_keys(pieces, _EDGE, _EDGE + self.room, marked):
            tick = away * (_TICK - 2)
            self.sheet.path(
                f"M{c(key.left)} {c(edge + away * 2)}v{c(tick)}H{c(key.right)}v{c(-tick)}",
                PENCIL,
            )
            top = edge - _TICK - height_of((key.row,)) if above else edge + _TICK
            self.sheet.write(key.middle, top, key.row, "middle")

    def _list(self, top: float) -> float:
        columns = max(int(self.room // _ENTRY), 1)
        pitch = self.room / columns
        deep = -(-len(self.rows) // columns) if self.rows else 0
        bottom = top
        if self.whole < self.forward:
            text = "below 0, blank with pointers: leads back from the end of the bar to the whole (upright line)"
            top = bottom = self.sheet.block(_EDGE, top, words(text, self.room, SMALL, 3, PENCIL)) + 4
        for column in range(columns):
            y = top
            for place in range(column * deep, min((column + 1) * deep, len(self.rows))):
                y = self._entry(_EDGE + column * pitch, y, pitch - 16, place + 1, self.rows[place]) + 3
            bottom = max(bottom, y)
        return bottom

    def _entry(self, left: float, top: float, width: float, number: int, row: AccountRow) -> float:
        sheet, room = self.sheet, width - _WORDS_FROM
        key = _key_row(number)
        sheet.write(left + 18 - key.width, top, key)
        _fill(sheet, row, left + 24, top + 2, 18, 12)
        amount = figure_rows(row.amount, sheet.currency, room, BODY)
        if row.share is not None:
            amount += figure_rows(row.share, sheet.currency, room, BODY)
        left += _WORDS_FROM
        y = sheet.block(left, top, words(row.words, room, BODY, 3))
        y = sheet.block(left, y, flowing(amount, room))
        return sheet.block(left, y, remark_rows(row.remark, room))


def _fill(sheet: Sheet, row: AccountRow, left: float, top: float, width: float, height: float) -> None:
    if row.amount.value < 0:
        sheet.leading_back(left, top, width, height, unexplained=row.kind == "unexplained")
    else:
        sheet.hatched(left, top, width, height, row.kind)


def _key_row(number: int) -> Row:
    return Row((Run(letters_for(number), PENCIL),), SMALL)
