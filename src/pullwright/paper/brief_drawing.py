"""The line drawing in brief, for a line that fills a sheet: station and stock as ever, the lead time without its list."""

from __future__ import annotations

import re
from dataclasses import replace

from pullwright.draw import LinePicture, line_drawing, reading_help_drawing
from pullwright.draw.across_layout import MARGIN, RIGHT
from pullwright.draw.ink import FAINT, PENCIL, SMALL
from pullwright.draw.lettering import words
from pullwright.draw.sheet import Sheet
from pullwright.paper.bare_ribbon import draw_bare_ribbon
from pullwright.paper.brief import in_brief, loops_in_words

_SIZE = re.compile(r'<svg [^>]*?width="([\d.]+)" height="([\d.]+)"')
_EDGE = 12.0


def brief_drawing(picture: LinePicture, *, width: float, prefix: str, font: str) -> str:
    """What does the line look like, where there is hardly any height for it?

    Parameters: the picture; width in drawing units; prefix of every id; font. Result: SVG text: the drawing with long
    names cut and loops in words, the main flow's lead time with station numbers over it, the reading help.
    """
    shown = in_brief(picture)
    line = line_drawing(
        replace(shown, branches=tuple(replace(branch, ribbon=()) for branch in shown.branches)),
        width=width, prefix=f"{prefix}-line", font=font, heading=False, dense=True, help=False,
    )  # fmt: skip
    help_width = width - 2 * _EDGE
    reading = reading_help_drawing(
        shown, width=help_width, drawn_width=width, prefix=f"{prefix}-help", font=font, dense=True
    )
    return stacked((line, _lead(picture, shown, width, f"{prefix}-lead", font), reading), width, (0.0, 0.0, _EDGE))


def _lead(picture: LinePicture, shown: LinePicture, width: float, prefix: str, font: str) -> str:
    sheet = Sheet(prefix, picture.currency, None, font)
    room = width - MARGIN - RIGHT
    y = draw_bare_ribbon(sheet, shown, MARGIN, 2.0, room)
    y = sheet.block(MARGIN, y, words(loops_in_words(picture), room, SMALL, 4, PENCIL)) + 6
    sheet.line(_EDGE, y, width - _EDGE, y, FAINT)
    return sheet.svg(width, y + 1, "Lead time", "Waiting and touch time to scale, and how work is let in.")


def stacked(drawings: tuple[str, ...], width: float, lefts: tuple[float, ...]) -> str:
    """Drawings one under the other in one."""
    y, parts = 0.0, []
    for drawing, left in zip(drawings, lefts, strict=True):
        found = _SIZE.search(drawing)
        if found is None:
            raise ValueError("a drawing without a size cannot be set under another")
        parts.append(drawing.replace("<svg ", f'<svg x="{left:g}" y="{y:g}" ', 1))
        y += float(found.group(2))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.3f}" height="{y:.3f}" viewBox="0 0 {width:.3f} {y:.3f}">'
        f"{''.join(parts)}</svg>"
    )
