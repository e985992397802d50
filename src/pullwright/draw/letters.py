"""How wide a written line is, before anybody's browser has drawn it: so that text never overlaps.

The reader's own system typeface is used, which we do not know here. The widths below are therefore those of the wider
ones among common sans-serif faces: a line may come out narrower on the screen than measured here, not wider.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterator
from functools import lru_cache

# Advance width in em (share of the font size), rounded up to a twentieth, and the characters that have it.
_WIDTHS: tuple[tuple[float, str], ...] = (
    (0.30, "'ijl"),
    (0.35, " ,./:;\\|¦I·‘’\u00a0\u202f\u2009"),
    (0.40, "()-[]ft"),
    (0.45, "!r¡²³¹"),
    (0.50, '"*`¨ª°´¸º'),
    (0.55, "Jcsz“”„"),
    (0.60, "?L_kvxy§¯–•"),
    (0.65, "$0123456789FTabdeghnopqu{}¢£¤¥«µ¶»¿ßðøþ€"),
    (0.70, "ABEKPSVXYZÞ"),
    (0.75, "CNRU"),
    (0.80, "&DGHOQÐØΩ"),
    (0.85, "#+<=>^w~¬±×÷≤≥≠−∞"),
    (0.90, "M"),
    (1.00, "%Wm©®¼½¾Ææ—…→←"),
    (1.05, "@"),
    (1.35, "‰"),
)
_WIDTH: dict[str, float] = {character: width for width, characters in _WIDTHS for character in characters}
_UNKNOWN = 1.10
_PICTOGRAM = 1.40
_BOLD_EXTRA = 0.10
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


def width_of(text: str, size: float, bold: bool = False) -> float:
    """How wide is this line at most?

    Parameters: text (one line), size (font size in drawing units), bold. Result: width in drawing units, never less
    than what a common sans-serif face needs. Source: measured advance widths of free sans-serif faces.

    >>> round(width_of("52 s", 10), 1)
    22.0
    >>> width_of("", 10)
    0.0
    """
    extra = _BOLD_EXTRA if bold else 0.0
    return size * math.fsum(width + extra for character in text if (width := _character(character)) > 0)


def wrap(text: str, width: float, size: float, most_lines: int, bold: bool = False) -> tuple[str, ...]:
    """How does a text fit into a column of this width?

    Parameters: text (any characters), width and size in drawing units, most_lines (1 or more). Result: the lines, none
    wider than the column; a text that is too long ends in "…" (write the whole of it into the title). Words are broken
    only where a single word is wider than the column.

    >>> wrap("Press the bearing into the housing", 80, 12, 3)
    ('Press the', 'bearing into', 'the housing')
    >>> wrap("Press the bearing into the housing", 80, 12, 2)
    ('Press the', 'bearing in…')
    """
    lines: list[str] = []
    line = ""
    for word in _pieces(" ".join(text.split()), width, size, bold):
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


def shorten(text: str, width: float, size: float, bold: bool = False) -> str:
    """The text if it fits on one line, else as much of it as fits with "…" behind.

    >>> shorten("Bearing", 100, 10), shorten("Bearing", 40, 10)
    ('Bearing', 'Beari…')
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
