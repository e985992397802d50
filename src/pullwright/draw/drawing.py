"""The line drawing: three layers on one axis, all to scale; colour only where something is out of place."""

from __future__ import annotations

from collections.abc import Sequence

from pullwright.draw.across import draw_main, draw_others
from pullwright.draw.across_layout import DENSE, MARGIN, RIGHT, USUAL, Across, across_for
from pullwright.draw.axis import number_of, reading_order
from pullwright.draw.down import Down, down_for, draw_down
from pullwright.draw.ink import BODY, FAINT, INK, LEAD, PENCIL, SMALL, SYSTEM_FONT, TITLE
from pullwright.draw.legend import reading_help
from pullwright.draw.lettering import Row, Run, figure_rows, words
from pullwright.draw.out_of_place import described
from pullwright.draw.ribbon import draw_ribbon, list_pieces, totals_row, touch_places
from pullwright.draw.scales import Scales, scales_of
from pullwright.draw.scene import Difference, LinePicture, RibbonPiece, SceneError
from pullwright.draw.sheet import Sheet
from pullwright.draw.told import asked_once

NARROW = 640.0
"""Below this width the stations are drawn one under the other."""
_LEAST_WIDTH = 320.0
_FAN = 28.0
_PHONE_MARGIN = 12.0


@asked_once()
def line_drawing(
    picture: LinePicture,
    *,
    width: float = 1200.0,
    prefix: str = "line",
    font: str = SYSTEM_FONT,
    heading: bool = True,
    dense: bool = False,
    help: bool = True,  # noqa: A002
) -> str:
    """What does the whole line look like, to scale, and what in it is out of place?

    Parameters: picture (the scene); width in drawing units (1200 for a desk, 380 for a phone, 1500 for an A3 sheet; 320
    at least); prefix (begins every id: another one for every drawing on a page); font (the given one for prints);
    heading (False where the page already says title and sentence); dense (lower bars and piles, for a sheet with little
    height); help (False where `reading_help_drawing` stands elsewhere). Result: SVG text, as wide as asked, as high as
    it needs. Wide drawings wrap into rows, narrow ones run downwards; letters keep their size. Errors: SceneError.
    """
    sheet = Sheet(prefix, picture.currency, picture.why_link, font)
    paper = _Paper(sheet, width, scales_of(picture), dense)
    y = paper.head(picture.title, picture.sentence, 14.0) if heading else 14.0
    y = paper.others(picture, paper.main(picture, y))
    if help:
        y = paper.help((picture,), y)
    return sheet.svg(width, y + 10, picture.title, described(picture))


@asked_once()
def compare_drawings(
    before: LinePicture,
    after: LinePicture,
    *,
    labels: tuple[str, str] = ("before", "after"),
    differences: Sequence[Difference] = (),
    width: float = 1200.0,
    prefix: str = "compare",
    font: str = SYSTEM_FONT,
) -> str:
    """How do two options of a line look beside one another?

    Parameters: the two pictures; what to call them; differences with their intervals, written between the drawings; the
    rest as in `line_drawing`. Result: SVG text with both drawings one above the other on common scales: a bar, a square
    and a length of ribbon mean the same in both. The other flows of both stand below. Errors: SceneError.
    """
    sheet = Sheet(prefix, before.currency, before.why_link, font)
    paper = _Paper(sheet, width, scales_of(before, after))
    y = paper.head(f"{labels[0]}: {before.title}", before.sentence, 14.0)
    y = paper.main(before, y)
    y = paper.between(differences, y + 6)
    sheet.why_link = after.why_link
    y = paper.head(f"{labels[1]}: {after.title}", after.sentence, y + 10)
    y = paper.main(after, y)
    for label, picture in zip(labels, (before, after), strict=True):
        sheet.why_link = picture.why_link
        y = paper.others(picture, y, label)
    y = paper.help((before, after), y)
    title = f"{labels[0]} and {labels[1]}: {before.title}"
    return sheet.svg(width, y + 10, title, f"{labels[0]}: {described(before)} {labels[1]}: {described(after)}")


def reading_help_drawing(
    picture: LinePicture,
    *,
    width: float = 1200.0,
    drawn_width: float | None = None,
    prefix: str = "help",
    font: str = SYSTEM_FONT,
    dense: bool = False,
) -> str:
    """How is the drawing read, on a paper of its own?

    Parameters: the picture; width of the help in drawing units; drawn_width, how wide the line drawing itself is (it
    decides how many containers a square stands for; the same as the help where not given); dense as the line drawing.
    Result: SVG text with samples and words of only what that drawing shows. Errors: SceneError.
    """
    sheet = Sheet(prefix, picture.currency, None, font)
    paper = _Paper(sheet, drawn_width or width, scales_of(picture), dense)
    y = reading_help(sheet, (picture,), paper.scales, paper.squares, _PHONE_MARGIN, 6.0, width - 2 * _PHONE_MARGIN)
    return sheet.svg(width, y + 6, "How to read the drawing", "What the hatches, squares, loops and marks mean.")


class _Paper:
    """A sheet of a given width, written from top to bottom."""

    def __init__(self, sheet: Sheet, width: float, scales: Scales, dense: bool = False) -> None:
        if not width >= _LEAST_WIDTH:
            raise SceneError(f"a width of {width:g} is too narrow to be read; it is {_LEAST_WIDTH:g} at least")
        self.sheet, self.scales, self.width = sheet, scales, width
        self.layout: Across | Down = (
            down_for(scales, width) if width < NARROW else across_for(scales, width, DENSE if dense else USUAL)
        )
        self.narrow = isinstance(self.layout, Down)
        self.squares = self.layout.squares
        self.edge = _PHONE_MARGIN
        self.left = self.edge if self.narrow else MARGIN
        self.room = width - self.left - (self.edge if self.narrow else RIGHT)

    def head(self, title: str, sentence: str, top: float) -> float:
        size = 16.0 if self.narrow else TITLE
        room = self.width - 2 * self.edge
        top = self.sheet.block(self.edge, top, words(title, room, size, 3, INK, bold=True))
        return self.sheet.block(self.edge, top + 2, words(sentence, room, LEAD, 6)) + 12

    def main(self, picture: LinePicture, top: float) -> float:
        """The three layers of the main flow, with the ribbons of all flows."""
        places: dict[int, float] = {}
        if isinstance(self.layout, Down):
            y = draw_down(self.sheet, picture, self.layout, reading_order(picture)[:1], top)
        else:
            y, places = draw_main(self.sheet, picture, self.layout, top)
        return self._lead(picture, places, y)

    def others(self, picture: LinePicture, top: float, label: str = "") -> float:
        """The flows besides the main one."""
        if len(picture.branches) == 1:
            return top
        self.sheet.line(self.edge, top, self.width - self.edge, top, FAINT)
        y = top + 10
        if label:
            title = f"{label}: the other flows"
            y = self.sheet.block(self.edge, y, words(title, self.width - 2 * self.edge, LEAD, 3, INK, bold=True)) + 6
        if isinstance(self.layout, Down):
            return draw_down(self.sheet, picture, self.layout, reading_order(picture)[1:], y) + 6
        return draw_others(self.sheet, picture, self.layout, y)

    def _lead(self, picture: LinePicture, places: dict[int, float], top: float) -> float:
        totals = totals_row(picture, picture.currency, self.room)
        if not any(branch.ribbon for branch in picture.branches):
            return self.sheet.block(self.left, top + 4, totals) + 6
        y, listed = self._ribbon(picture, places, top)
        y = self.sheet.block(self.left, y + 4, totals) + 4
        return list_pieces(self.sheet, listed, self.left, y, self.room) + 8

    def _ribbon(
        self, picture: LinePicture, places: dict[int, float], top: float
    ) -> tuple[float, tuple[tuple[int, RibbonPiece], ...]]:
        targets = touch_places(picture, self.scales, self.left, self.room)
        fan = {column: x for column, x in places.items() if column in targets}
        if fan:
            with self.sheet.group("From stations to lead time", "Each station's place on the lead-time ribbon."):
                for column, x in fan.items():
                    foot = self.sheet.write(x, top, Row((Run(number_of(0, column), PENCIL),), SMALL), "middle")
                    self.sheet.line(x, foot, targets[column], foot + _FAN, FAINT)
            top = foot + _FAN
        drawn = draw_ribbon(self.sheet, picture, self.scales, self.left, top, self.room)
        return drawn.bottom, drawn.listed

    def between(self, differences: Sequence[Difference], top: float) -> float:
        """The differences, one line each."""
        room = self.width - 2 * self.edge
        self.sheet.line(self.edge, top, self.width - self.edge, top, FAINT)
        y = top + 6
        for one in differences:
            row = (Row((Run(f"{one.words} ", PENCIL),), LEAD),)
            figure = figure_rows(one.figure, self.sheet.currency, room - row[0].width, LEAD) if row else ()
            if row[0].width < room / 2 and len(figure) == 1:
                self.sheet.write(self.edge, y, row[0])
                y = self.sheet.write(self.edge + row[0].width, y, figure[0])
                continue
            y = self.sheet.block(self.edge, y, words(one.words, room, BODY, 3, PENCIL))
            y = self.sheet.block(self.edge, y, figure_rows(one.figure, self.sheet.currency, room, LEAD)) + 3
        return y

    def help(self, pictures: Sequence[LinePicture], top: float) -> float:
        """The reading help under everything."""
        room = self.width - 2 * self.edge
        self.sheet.line(self.edge, top, self.width - self.edge, top, FAINT)
        return reading_help(self.sheet, pictures, self.scales, self.squares, self.edge, top + 6, room)
