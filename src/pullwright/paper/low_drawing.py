"""The line drawing made low, for a sheet of paper that has to hold the accounts as well: the same layers, less high."""

from __future__ import annotations

from dataclasses import replace

from pullwright.draw import LinePicture
from pullwright.draw.across import draw_across
from pullwright.draw.across_layout import MARGIN, RIGHT, Across, across_for
from pullwright.draw.bars import BarScale
from pullwright.draw.ink import FAINT, SMALL
from pullwright.draw.legend import reading_help
from pullwright.draw.lettering import words
from pullwright.draw.out_of_place import described
from pullwright.draw.ribbon import draw_ribbon, list_pieces, totals_row
from pullwright.draw.scales import Scales, scales_of, squares_for
from pullwright.draw.sheet import Sheet
from pullwright.paper.bare_ribbon import draw_bare_ribbon
from pullwright.paper.brief import in_brief, loops_in_words

_LOW = (85.0, 56.0)
_LOWEST = (62.0, 44.0)
"""How long the bars and how high the piles may be, in drawing units."""
_EDGE = 12.0
_BESIDE_PILE = 12.0


def low_drawing(picture: LinePicture, *, width: float, prefix: str, font: str) -> str:
    """What does the line look like, where there is little height for it?

    Parameters: the picture; width in drawing units; prefix of every id; font. Result: SVG text like that of
    `line_drawing` without heading, with shorter bars, lower piles, and no lines from stations to the ribbon, whose list
    names the steps anyway. All is to scale as there.
    """
    page = _Page(picture, width, prefix, font, _LOW)
    ribbon = draw_ribbon(page.sheet, picture, page.scales, MARGIN, page.line(), page.room)
    y = page.sheet.block(MARGIN, ribbon.bottom + 4, totals_row(picture, picture.currency, page.room)) + 4
    return page.done(list_pieces(page.sheet, ribbon.listed, MARGIN, y, page.room) + 8)


def lowest_drawing(picture: LinePicture, *, width: float, prefix: str, font: str) -> str:
    """The same where there is hardly any height: long names cut, intervals left out, loops in words, a ribbon without list."""
    shown = in_brief(picture)
    page = _Page(shown, width, prefix, font, _LOWEST)
    y = draw_bare_ribbon(page.sheet, shown, page.scales, MARGIN, page.line(), page.room)
    y = page.sheet.block(MARGIN, y, totals_row(picture, picture.currency, page.room)) + 2
    return page.done(page.sheet.block(MARGIN, y, words(loops_in_words(picture), page.room, SMALL, 4)) + 6)


class _Page:
    """A sheet on which a picture is drawn with bars and piles of these heights."""

    def __init__(
        self, picture: LinePicture, width: float, prefix: str, font: str, heights: tuple[float, float]
    ) -> None:
        self.picture, self.width = picture, width
        self.scales = scales_of(picture)
        self.layout = _low(across_for(self.scales, width), self.scales, heights)
        self.sheet = Sheet(prefix, picture.currency, None, font)
        self.room = width - MARGIN - RIGHT

    def line(self) -> float:
        """Work, stations and stock; returns the bottom."""
        return draw_across(self.sheet, self.picture, self.layout, 14.0)[0]

    def done(self, y: float) -> str:
        """The reading help under all, and the SVG."""
        room = self.width - 2 * _EDGE
        self.sheet.line(_EDGE, y, self.width - _EDGE, y, FAINT)
        y = reading_help(self.sheet, (self.picture,), self.scales, self.layout.squares, _EDGE, y + 6, room)
        return self.sheet.svg(self.width, y + 10, self.picture.title, described(self.picture))


def _low(layout: Across, scales: Scales, heights: tuple[float, float]) -> Across:
    bar_length, pile_room = heights
    squares = squares_for(scales.most_containers, layout.pile - _BESIDE_PILE, pile_room)
    return replace(layout, bars=BarScale(scales.bar_seconds, bar_length), squares=squares)
