"""Words and figures as the press takes them."""

from __future__ import annotations

import re
import shlex
from datetime import datetime

from pullwright.draw import FigureLike

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December",
)  # fmt: skip

_LONG_FILE = 40
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


def day_words(when: datetime) -> str:
    """A day as people write it.

    >>> day_words(datetime(2026, 3, 2, 9, 30)), minute_words(datetime(2026, 3, 2, 9, 30))
    ('2 March 2026', '2 March 2026, 09:30')
    """
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"


def minute_words(when: datetime) -> str:
    """A day and the time of it as people write them."""
    return f"{day_words(when)}, {when:%H:%M}"


def typed_file(name: str) -> str:
    """The line file as one types it in a command; a stand-in where the name is none or too long for that.

    >>> typed_file("two words.yaml"), typed_file("the text")
    ("'two words.yaml'", 'LINE.yaml')
    """
    usable = name.endswith((".yaml", ".yml")) and len(name) <= _LONG_FILE
    return shlex.quote(name) if usable else "LINE.yaml"


def missing_letters(letters: tuple[str, ...]) -> str:
    """The footnote about letters that no typeface has; empty where there are none."""
    if not letters:
        return ""
    listed = ", ".join(f"U+{ord(letter):04X}" for letter in letters[:12]) + (" …" if len(letters) > 12 else "")
    return f"Letters that the typefaces at hand do not have are printed as boxes: {listed}."


def shortened(text: str, letters: int) -> str:
    """A text of at most so many letters: its end is left out after a whole word, with "…" in its place.

    >>> shortened("two words", 9), shortened("two long words", 10), shortened("x" * 12, 5)
    ('two words', 'two long …', 'xxxx…')
    """
    if len(text) <= letters:
        return text
    kept = text[: letters - 1]
    whole, blank, _ = kept.rpartition(" ")
    return f"{whole} …" if blank and len(whole) > letters // 2 else f"{kept}…"
