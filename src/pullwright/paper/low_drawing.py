"""The line drawing made low, for a sheet of paper that has to hold the accounts as well: the same layers, less high."""

from __future__ import annotations

from dataclasses import replace

from pullwright.draw import LinePicture
from pullwright.draw.across import draw_across
from pullwright.draw.across_layout import MARGIN, RIGHT, Across, across_for
from pullwright.draw.bars import BarScale
from pullwright.draw.ink import FAINT
from pullwright.draw.legend import reading_help
from pullwright.draw.out_of_place import described
from pullwright.draw.ribbon import draw_ribbon, list_pieces, totals_row
from pullwright.draw.scales import Scales, scales_of, squares_for
from pullwright.draw.sheet import Sheet

_BAR_LENGTH = 85.0
_PILE_ROOM = 56.0
_EDGE = 12.0
_BESIDE_PILE = 12.0


def low_drawing(picture: LinePicture, *, width: float, prefix: str, font: str) -> str:
    """What does the line look like, where there is little height for it?

    Parameters: the picture; width in drawing units; prefix of every id; font. Result: SVG text like that of
    `line_drawing` without heading, with bars two thirds as long, lower piles, and no lines from stations to the ribbon,
    whose list names the steps anyway. All is to scale as there.
    """
    scales = scales_of(picture)
    layout = _low(across_for(scales, width), scales)
    sheet = Sheet(prefix, picture.currency, None, font)
    room = width - MARGIN - RIGHT
    y, _ = draw_across(sheet, picture, layout, 14.0)
    ribbon = draw_ribbon(sheet, picture, scales, MARGIN, y, room)
    y = sheet.block(MARGIN, ribbon.bottom + 4, totals_row(picture, picture.currency, room)) + 4
    y = list_pieces(sheet, ribbon.listed, MARGIN, y, room) + 8
    sheet.line(_EDGE, y, width - _EDGE, y, FAINT)
    y = reading_help(sheet, (picture,), scales, layout.squares, _EDGE, y + 6, width - 2 * _EDGE)
    return sheet.svg(width, y + 10, picture.title, described(picture))


def _low(layout: Across, scales: Scales) -> Across:
    squares = squares_for(scales.most_containers, layout.pile - _BESIDE_PILE, _PILE_ROOM)
    return replace(layout, bars=BarScale(scales.bar_seconds, _BAR_LENGTH), squares=squares)
