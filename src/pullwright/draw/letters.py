"""How wide a written line is, before anybody's browser has drawn it: so that text never overlaps.

The reader's own system typeface is used, which we do not know here. The widths below are therefore those of the wider
ones among common sans-serif faces: a line may come out narrower on the screen than measured here, not wider.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache

# Advance width in em (share of the font size), rounded up to a fiftieth, and the characters that have it.
_WIDTHS: tuple[tuple[float, str], ...] = (
    (0.28, "'ijl"),
    (0.30, "I"),
    (0.32, " ,.·‘’\u00a0\u202f\u2009"),
    (0.34, "/:;\\|¦"),
    (0.36, "f"),
    (0.38, "-"),
    (0.40, "()[]t"),
    (0.42, "!r¡²³¹"),
    (0.46, '"'),
    (0.50, "*J`¨ª°´¸º"),
    (0.54, "sz“”„"),
    (0.56, "?L_c§¯–"),
    (0.58, "k"),
    (0.60, "vxy•"),
    (0.62, "FTaeo«»¿ðø"),
    (0.64, "$0123456789bdghnpqu{}¢£¤¥µ¶ßþ€"),
    (0.68, "EKPSYÞ"),
    (0.70, "ABVXZ"),
    (0.74, "CRU"),
    (0.76, "HN"),
    (0.78, "&DGÐΩ"),
    (0.80, "OQØ"),
    (0.82, "w"),
    (0.84, "#+<=>^~¬±×÷≤≥≠−∞"),
    (0.90, "M"),
    (0.96, "%"),
    (0.98, "m¼½¾"),
    (1.00, "W©®Ææ—…→←"),
    (1.02, "@"),
    (1.36, "‰"),
)
_WIDTH: dict[str, float] = {character: width for width, characters in _WIDTHS for character in characters}
_BLANKS = re.compile("[ \t\r\n]+")
_UNKNOWN = 1.10
_PICTOGRAM = 1.40
_BOLD_EXTRA = 0.11
LINE_PITCH = 1.4
"""Baseline to baseline in em: room for the tallest accents of the faces we know."""
ASCENT = 1.0
DESCENT = 0.35


@lru_cache(maxsize=4096)
def _character(character: str) -> float:
    known = _WIDTH.get(character)
    if known is not None:
        return known
    if unicodedata.combining(character) or unicodedata.category(character) in ("Cf", "Mn"):
        return 0.0
    base = unicodedata.normalize("NFD", character)[0]
    if base != character:
        return _character(base)
    return _PICTOGRAM if ord(character) >= 0x1F000 else _UNKNOWN


@lru_cache(maxsize=16384)
def _ems(text: str, bold: bool) -> float:
    """Width in em; the same words and numbers are asked for again and again while a drawing is laid out."""
    extra = _BOLD_EXTRA if bold else 0.0
    return math.fsum(width + extra for character in text if (width := _character(character)) > 0)


def width_of(text: str, size: float, bold: bool = False) -> float:
    """How wide is this line at most?

    Parameters: text (one line), size (font size in drawing units), bold. Result: width in drawing units, never less
    than what a common sans-serif face needs. Source: measured advance widths of free sans-serif faces.

    >>> round(width_of("52 s", 10), 1)
    21.4
    >>> width_of("", 10)
    0.0
    """
    return size * _ems(text, bold)


def wrap(text: str, width: float, size: float, most_lines: int, bold: bool = False) -> tuple[str, ...]:
    """How does a text fit into a column of this width?

    Parameters: text (any characters), width and size in drawing units, most_lines (1 or more). Result: the lines, none
    wider than the column; a text that is too long ends in "…" (write the whole of it into the title). Words are broken
    only where a single word is wider than the column.

    >>> wrap("Press the bearing into the housing", 80, 12, 3)
    ('Press the', 'bearing into', 'the housing')
    >>> wrap("Press the bearing into the housing", 80, 12, 2)
    ('Press the', 'bearing int…')
    """
    lines: list[str] = []
    line = ""
    for word in _pieces(plain(text), width, size, bold):
        candidate = line + word
        if line and width_of(candidate.rstrip(), size, bold) > width:
            lines.append(line.rstrip())
            line = word
        else:
            line = candidate
    if line.strip():
        lines.append(line.rstrip())
    if len(lines) <= most_lines:
        return tuple(lines)
    rest = " ".join(lines[most_lines - 1 :])
    return (*lines[: most_lines - 1], shorten(rest, width, size, bold))


def plain(text: str) -> str:
    """Blanks and line ends as single blanks; the fixed blanks inside a number stay as they are.

    >>> plain("  two   words ")
    'two words'
    """
    return " ".join(text_words(text))


def text_words(text: str) -> list[str]:
    """The words between ordinary blanks and line ends: "12\u202f000 pieces" is two."""
    return [word for word in _BLANKS.split(text) if word]


def shorten(text: str, width: float, size: float, bold: bool = False) -> str:
    """The text if it fits on one line, else as much of it as fits with "…" behind.

    >>> shorten("Bearing", 100, 10), shorten("Bearing", 35, 10)
    ('Bearing', 'Bear…')
    """
    if width_of(text, size, bold) <= width:
        return text
    kept = text
    while kept and width_of(kept.rstrip() + "…", size, bold) > width:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def _pieces(text: str, width: float, size: float, bold: bool) -> Iterator[str]:
    """Words with the space behind them; a word wider than the column comes in several pieces."""
    for word in text.split(" "):
        piece = ""
        for character in word:
            if piece and width_of(piece + character, size, bold) > width:
                yield piece
                piece = ""
            piece += character
        yield piece + " "
