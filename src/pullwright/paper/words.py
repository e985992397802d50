"""Words and figures as the press takes them."""

from __future__ import annotations

import re

from pullwright.draw import FigureLike

_NOT_PRINTED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
_UNBROKEN = re.compile(r"[^\s\u200b-]{24,}")
_PIECE = 12
_BLANKS = re.compile(r"[ \t\r\n]+")
_NUMBER_AND_UNIT = re.compile(r"(?<!\S)([(−]?\d[\d.,\u202f]*) (?=[^\s\d()][^\s()]{0,7}(?:[\s)]|$))")


def printable(text: str) -> str:
    """Any text as the press takes it: no control characters, very long words may be broken, numbers keep their unit.

    >>> printable("saw\\x00") == "saw\\ufffd", printable("x" * 30).replace("\\u200b", "|")
    (True, 'xxxxxxxxxxxx|xxxxxxxxxxxx|xxxxxx')
    >>> printable("9.5 m2  of\\nfloor").replace("\\u00a0", "~")
    '9.5~m2 of floor'
    """
    clean = _NOT_PRINTED.sub("\ufffd", _BLANKS.sub(" ", text).strip())
    clean = _NUMBER_AND_UNIT.sub("\\1\u00a0", clean)
    return _UNBROKEN.sub(lambda word: "\u200b".join(_pieces(word.group())), clean)


def _pieces(word: str) -> list[str]:
    return [word[start : start + _PIECE] for start in range(0, len(word), _PIECE)]


def figure_words(figure: FigureLike, currency: str) -> dict[str, str]:
    """A figure in three inks: its number, its unit, its interval in brackets; the last two may be empty."""
    value, unit, interval = figure.parts(currency)
    return {"value": value, "unit": unit, "interval": f"({interval})" if interval else ""}
