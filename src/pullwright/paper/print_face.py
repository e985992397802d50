"""Drawings in the face of the print: its letters are narrower than drawings reckon with, so they are written a little larger."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pullwright.draw.ink import SMALL

LARGER = 1.12
"""The face needs three quarters of the width that `pullwright.draw.letters` reckons with; tests measure that nothing touches."""

_FONT_SIZE = re.compile(r'(?<=font-size=")[0-9.]+(?=")')
_HEIGHT = re.compile(r' height="([0-9.]+)"')


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing as it goes to the press: SVG text, its height and its smallest letters in drawing units."""

    svg: str
    height: float
    smallest: float


def units_across(points: float, letters: float) -> float:
    """How many drawing units wide is a drawing whose usual small letters are to be `letters` points, on so many points?

    >>> round(units_across(1139.5, 6.5))
    2160
    """
    return points * SMALL * LARGER / letters


def in_print_face(svg: str) -> Picture:
    """A drawing with the letters of the print.

    Blanks at the edges of a run of text are meant, which has to be said to whoever reads the SVG strictly.
    """
    sizes: list[float] = []

    def larger(found: re.Match[str]) -> str:
        sizes.append(float(found.group()) * LARGER)
        return f"{sizes[-1]:.3f}"

    written = _FONT_SIZE.sub(larger, svg)
    if "xml:space" not in written:
        written = written.replace("<svg ", '<svg xml:space="preserve" ', 1)
    height = _HEIGHT.search(svg)
    if height is None:
        raise ValueError("a drawing without a height cannot be printed")
    return Picture(written, float(height.group(1)), min(sizes, default=SMALL * LARGER))
