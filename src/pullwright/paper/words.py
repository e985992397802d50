"""Words and figures as the press takes them."""

from __future__ import annotations

import re

from pullwright.draw import FigureLike

_NOT_PRINTED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
_UNBROKEN = re.compile(r"[^\s\u200b-]{24,}")
_PIECE = 12


def printable(text: str) -> str:
    """Any text as the press takes it: no control characters, and very long words may be broken.

    >>> printable("saw\\x00") == "saw\\ufffd", printable("x" * 30).replace("\\u200b", "|")
    (True, 'xxxxxxxxxxxx|xxxxxxxxxxxx|xxxxxx')
    """
    clean = _NOT_PRINTED.sub("\ufffd", " ".join(text.split()))
    return _UNBROKEN.sub(lambda word: "\u200b".join(_pieces(word.group())), clean)


def _pieces(word: str) -> list[str]:
    return [word[start : start + _PIECE] for start in range(0, len(word), _PIECE)]


def figure_words(figure: FigureLike, currency: str) -> dict[str, str]:
    """A figure in three inks: its number, its unit, its interval in brackets; the last two may be empty."""
    value, unit, interval = figure.parts(currency)
    return {"value": value, "unit": unit, "interval": f"({interval})" if interval else ""}
