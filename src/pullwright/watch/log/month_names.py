"""The names of the months as logs write them: English, German, French, Spanish and Dutch."""

from __future__ import annotations

import unicodedata
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl

MONTH = r"[^\W\d_]{3,10}\.?"
"""A word that may be the name of a month."""
MONTHS: tuple[tuple[str, ...], ...] = (
    ("january", "januari", "januar", "jänner", "janvier", "enero", "janv", "jan", "jän", "ene"),
    ("february", "februari", "februar", "feber", "février", "febrero", "févr", "feb", "fév"),
    ("march", "maart", "märz", "mars", "marzo", "mrt", "mrz", "mär", "mar"),
    ("april", "avril", "abril", "apr", "avr", "abr"),
    ("may", "mei", "mai", "mayo"),
    ("june", "juni", "juin", "junio", "jun"),
    ("july", "juli", "juillet", "julio", "juil", "jul"),
    ("august", "augustus", "août", "agosto", "aug", "aoû", "ago"),
    ("september", "septembre", "septiembre", "setiembre", "sept", "sep", "set"),
    ("october", "oktober", "octobre", "octubre", "oct", "okt"),
    ("november", "novembre", "noviembre", "nov"),
    ("december", "dezember", "décembre", "diciembre", "dec", "dez", "déc", "dic"),
)
"""Of each month its names and their short forms, small, with their accents; a point may follow a short form."""


def _bare(text: str) -> str:
    return "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))


@cache
def months() -> dict[str, int]:
    """The number of each name, as it is written with and without accents.

    >>> months()["märz"], months()["aout"], months()["dez"]
    (3, 8, 12)
    """
    return {form: n for n, names in enumerate(MONTHS, 1) for name in names for form in (name, _bare(name))}


def is_month(word: str) -> bool:
    """Does the word name a month?

    >>> is_month("Mrz."), is_month("Marble")
    (True, False)
    """
    return word.lower().removesuffix(".") in months()


def numbered(text: pl.Series) -> pl.Series:
    """The same texts, small, with the number of the month instead of its name: "3. Mai 2024" as "3. 05 2024"."""
    names = sorted(months(), key=len, reverse=True)
    words = [f"{name}{end}" for name in names for end in (".", "")]
    numbers = [f"{months()[name]:02d}" for name in names for _ in range(2)]
    small = text.str.to_lowercase().str.replace("1er ", "1 ", literal=True)
    return small.str.replace_many(words, numbers, leftmost=True)
