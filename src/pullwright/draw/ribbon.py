"""The lead-time ribbon: every wait and every touch to scale on one clock, touch the only dark ink."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pullwright.draw.axis import reading_order
from pullwright.draw.ink import BODY, HAIR, INK, LEAD, LINE, PAPER, PENCIL, SMALL
from pullwright.draw.keys import letters_for, place_keys
from pullwright.draw.lettering import Row, Run, figure_runs, height_of, one_line, words
from pullwright.draw.ribbon_time import Stretch, Strip, branch_of, strips_of
from pullwright.draw.scales import Scales
from pullwright.draw.scene import LinePicture, RibbonPiece
from pullwright.draw.sheet import Sheet, coordinate
from pullwright.draw.station_words import flow_called
from pullwright.draw.told import told

_HEIGHT = 22.0
_INSIDE = 6.0
_BESIDE = 8.0
_LEAST_NAME = 120.0
_TICK = 5.0


@dataclass(frozen=True, slots=True)
class RibbonDrawn:
    """Where the ribbon ends on the sheet, and the pieces that only have a key, in order, with it."""

    bottom: float
    listed: tuple[tuple[int, RibbonPiece], ...]


def touch_places(picture: LinePicture, scales: Scales, left: float, width: float) -> dict[int, float]:
    """Where on the ribbon the work of each main column lies: the column's index to the middle of its touch time."""
    main = strips_of(picture)[0]
    places: dict[int, float] = {}
    for stretch in main.stretches:
        column = stretch.piece.column
        if column is not None and stretch.piece.touch and column not in places:
            places[column] = left + (stretch.start + stretch.end) / 2 / (scales.lead_seconds or 1.0) * width
    return places


def draw_ribbon(
    sheet: Sheet, picture: LinePicture, scales: Scales, left: float, top: float, width: float
) -> RibbonDrawn:
    """The ribbons of all flows, the main one on top; a sub-flow's ends where the station it joins begins."""
    strips = {strip.branch: strip for strip in strips_of(picture)}
    drawn = _Drawing(sheet, picture, left, width, scales.lead_seconds or 1.0)
    tops: dict[int, float] = {}
    y = top
    for branch in reading_order(picture):
        if not strips[branch].stretches:
            continue
        if branch > 0:
            y = drawn.name(strips[branch], y)
        tops[branch] = y
        y = drawn.strip(strips[branch], y) + 4
    for branch, strip_top in tops.items():
        into = picture.branches[branch].into
        moment = strips[branch].joins_at
        if moment is not None and into in tops:
            x = drawn.x(moment)
            sheet.upright(x, tops[into] + _HEIGHT, strip_top + _HEIGHT, INK, LINE)
            sheet.dot(x, tops[into] + _HEIGHT, 2.5)
    return RibbonDrawn(y, tuple(drawn.listed))


def totals_row(picture: LinePicture, currency: str, width: float) -> tuple[Row, ...]:
    """Lead time and touch time in one line, or in two where there is no room."""
    lead = (Run("lead time ", PENCIL), *figure_runs(picture.lead_written, currency))
    touch = (Run("touch time ", PENCIL), *figure_runs(picture.touch, currency))
    if picture.touch_share is not None:
        touch += (Run(", ", PENCIL), *figure_runs(picture.touch_share, currency), Run(" of it", PENCIL))
    one = Row((*lead, Run(" · ", PENCIL), *touch), LEAD)
    if one.width <= width:
        return (one,)
    rows: list[Row] = []
    for runs in (lead, touch):
        row = Row(runs, BODY)
        rows.append(row if row.width <= width else Row(runs, BODY * width / row.width))
    return tuple(rows)


def list_pieces(
    sheet: Sheet, listed: tuple[tuple[int, RibbonPiece], ...], left: float, top: float, width: float
) -> float:
    """The pieces with a key in columns: key, name, time; returns the bottom."""
    if not listed:
        return top
    columns = max(int(width // 270), 1)
    pitch = width / columns
    deep = -(-len(listed) // columns)
    bottom = top
    for column in range(columns):
        y = top
        for number, piece in listed[column * deep : (column + 1) * deep]:
            y = _list_entry(sheet, left + column * pitch, y, pitch - 18, number, piece)
        bottom = max(bottom, y)
    return bottom


def _list_entry(sheet: Sheet, left: float, top: float, width: float, number: int, piece: RibbonPiece) -> float:
    key = Row((Run(letters_for(number), PENCIL),), SMALL)
    sheet.write(left + 22 - key.width, top, key)
    left, width = left + 28, width - 28
    name = f"{piece.name}: " if piece.name else ""
    said = told(piece.written, sheet.currency)
    runs = figure_runs(piece.written, sheet.currency, said.wide)
    title = f"{name}{said.text}" if said.interval and not said.wide else ""
    together = Row((Run(name), *runs), SMALL, title=title)
    if together.width <= width:
        return sheet.write(left, top, together)
    top = sheet.block(left, top, words(name.strip(), width, SMALL, 2))
    row = Row(runs, SMALL)
    return sheet.write(left, top, row if row.width <= width else Row(runs, SMALL * width / row.width))


class _Drawing:
    """One ribbon layer being drawn: its clock, and the numbers given so far."""

    def __init__(self, sheet: Sheet, picture: LinePicture, left: float, width: float, seconds: float) -> None:
        self.sheet, self.picture = sheet, picture
        self.left, self.width, self.seconds = left, width, seconds
        self.listed: list[tuple[int, RibbonPiece]] = []

    def x(self, moment: float) -> float:
        return self.left + moment / self.seconds * self.width

    def name(self, strip: Strip, top: float) -> float:
        """The name of a sub-flow, left of its strip where there is room, else over it; returns where the strip begins."""
        sheet, begin = self.sheet, self.x(strip.start)
        name = flow_called(self.picture, strip.branch)
        beside = Row((Run(name, PENCIL),), SMALL)
        if beside.width + _BESIDE < begin - self.left:
            sheet.write(begin - _BESIDE, top + (_HEIGHT - height_of((beside,))) / 2, beside, "end")
            return top
        begin = min(begin, self.left + self.width - _LEAST_NAME)
        return sheet.write(begin, top, one_line(name, self.left + self.width - begin, SMALL, PENCIL))

    def strip(self, strip: Strip, top: float) -> float:
        branch = branch_of(self.picture, strip)
        unlabelled: list[tuple[int, float, float]] = []
        with self.sheet.group(f"Lead time of {branch.name}", "Waiting and touch time in flow order, to scale."):
            for stretch in strip.stretches:
                if not self._piece(stretch, top):
                    self.listed.append((len(self.listed) + 1, stretch.piece))
                    unlabelled.append((len(self.listed), self.x(stretch.start), self.x(stretch.end)))
            return self._keys(unlabelled, top + _HEIGHT)

    def _piece(self, stretch: Stretch, top: float) -> bool:
        """Draw one stretch; says whether its name and time stand inside it."""
        sheet, piece = self.sheet, stretch.piece
        left, width = self.x(stretch.start), self.x(stretch.end) - self.x(stretch.start)
        with sheet.figure(piece.written, piece.name):
            if stretch.cut:
                self._cut(left, top, width)
            elif piece.touch:
                # The hairline keeps the shortest work visible; the area itself stays to scale.
                sheet.rect(left, top, width, _HEIGHT, INK, INK, HAIR)
            else:
                sheet.rect(left, top, width, _HEIGHT, "none", PENCIL, HAIR)
        row = _label(piece, sheet.currency)
        if stretch.cut or row.width > width - 2 * _INSIDE:
            return False
        sheet.write(left + _INSIDE, top + (_HEIGHT - height_of((row,))) / 2, row)
        return True

    def _cut(self, left: float, top: float, width: float) -> None:
        middle, bottom = left + width / 2, top + _HEIGHT
        c = coordinate
        self.sheet.path(
            f"M{c(middle - 6)} {c(top)}H{c(left)}V{c(bottom)}H{c(middle - 10)}"
            f"M{c(middle + 10)} {c(top)}H{c(left + width)}V{c(bottom)}H{c(middle + 6)}",
            PENCIL,
        )
        for shift in (-8.0, 8.0):
            self.sheet.line(middle + shift - 3, bottom + 3, middle + shift + 3, top - 3, PENCIL)

    def _keys(self, pieces: list[tuple[int, float, float]], top: float) -> float:
        keys = place_keys(pieces, self.left, self.left + self.width)
        if not keys:
            return top
        for key in keys:
            c = coordinate
            self.sheet.path(f"M{c(key.left)} {c(top + 2)}v{_TICK - 2:g}H{c(key.right)}v{2 - _TICK:g}", PENCIL)
            self.sheet.write(key.middle, top + _TICK, key.row, "middle")
        return top + _TICK + height_of((keys[0].row,))


def _label(piece: RibbonPiece, currency: str) -> Row:
    tone = PAPER if piece.touch else INK
    runs = figure_runs(piece.written, currency, told(piece.written, currency).wide)
    if piece.touch:
        runs = tuple(replace(run, tone=tone) for run in runs)
    return Row((Run(f"{piece.name} ", tone), *runs), SMALL)
