"""Numbers and durations as a log writes them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl

NUMBER = re.compile(r"[+-]?(?:\d{1,3}(?:[.,' \u00a0\u202f]\d{3})+|\d+)?(?:[.,]\d+)?(?:[eE][+-]?\d{1,3})?%?")
_SPAN = re.compile(r"-?\d{1,4}:\d{2}(?::\d{2}(?:[.,]\d+)?)?|P(?:\d+D)?(?:T(?:\d+H)?(?:\d+M)?(?:\d+(?:\.\d+)?S)?)?|\d+(?:[.,]\d+)? ?(?:s|sec|min|h|hrs?|std|d|ms)\.?", re.I)  # fmt: skip
SPAN_UNITS: dict[str, float] = {
    "ms": 1e-3,
    "s": 1.0,
    "min": 60.0,
    "h": 3600.0,
    "d": 86_400.0,
    "h:mm": 60.0,
    "mm:ss": 1.0,
}
"""The units of a duration and the seconds of one; of the two with a colon, of the last figure."""


def is_number(text: str) -> bool:
    """Is it a number, in whatever way it is written?

    >>> is_number("1.234,5"), is_number("12"), is_number("A-1"), is_number("")
    (True, True, False, False)
    """
    return any(letter.isdigit() for letter in text) and bool(NUMBER.fullmatch(text.strip()))


def is_span(text: str) -> bool:
    """Is it a duration that says so itself?

    >>> is_span("006:19"), is_span("PT5M"), is_span("12")
    (True, True, False)
    """
    return any(letter.isdigit() for letter in text) and bool(_SPAN.fullmatch(text.strip()))


def decimal_mark(texts: Iterable[str], *, commas_part_cells: bool) -> tuple[str, bool]:
    """Which sign stands before the decimals, and do these texts tell?

    >>> decimal_mark(["1.234,5"], commas_part_cells=False), decimal_mark(["1,234.5"], commas_part_cells=True)
    ((',', True), ('.', True))
    """
    comma = point = maybe = 0
    for text in texts:
        t = text.strip().lstrip("+-")
        if "," in t and "." in t:
            comma += t.rfind(",") > t.rfind(".")
            point += t.rfind(".") > t.rfind(",")
        elif "," in t:
            whole, _, rest = t.partition(",")
            sure = "," not in rest and (len(rest) != 3 or whole == "0" or len(whole) > 3)
            comma += sure
            point += "," in rest
            maybe += not sure and "," not in rest
        elif t.count(".") == 1:
            whole, _, rest = t.partition(".")
            point += len(rest) != 3 or whole == "0" or len(whole) > 3
        elif t.count(".") > 1:
            comma += 1
    if comma or point:
        return ("," if comma > point else "."), True
    if maybe:
        return ("." if commas_part_cells else ","), False
    return ".", True


def read_numbers(column: pl.Series, *, decimal: str) -> tuple[pl.Series, pl.Series]:
    """A column of numbers as Float64, and the indices of cells that are none."""
    import polars as pl

    if column.dtype.is_numeric() or column.dtype == pl.Boolean:
        value = column.cast(pl.Float64)
        return value.set(value.is_nan() | value.is_infinite(), None), pl.arange(0, 0, eager=True)
    text = column.cast(pl.String)
    value = text.cast(pl.Float64, strict=False)
    if decimal != "." or value.null_count() > text.null_count():
        bare = text.str.replace_all(r"[\s'\u{a0}\u{202f}]|%$", "")
        bare = bare.str.replace_all("," if decimal == "." else ".", "", literal=True)
        if decimal == ",":
            bare = bare.str.replace(",", ".", literal=True)
        value = bare.cast(pl.Float64, strict=False)
        filled = (bare != "").fill_null(value=False)
    else:
        filled = text.is_not_null()
    value = value.set((value.is_nan() | value.is_infinite()).fill_null(value=False), None)
    return value, pl.arange(0, value.len(), eager=True).filter(value.is_null() & filled)


def read_spans(column: pl.Series, *, unit: str, decimal: str) -> tuple[pl.Series, pl.Series]:
    """A column of durations in seconds, and the indices of cells that are none.

    Read are h:mm and mm:ss (as `unit` says), h:mm:ss, ISO 8601 ("PT1H5M"), numbers in `unit`, numbers with their own unit, and the
    moment in the last days of 1899 or the first of 1900 by which spreadsheets write a duration.
    """
    import polars as pl

    kind = column.dtype
    if isinstance(kind, pl.Duration):
        return column.dt.total_microseconds().cast(pl.Float64) / 1e6, pl.arange(0, 0, eager=True)
    if kind == pl.Time:
        return column.cast(pl.Duration("us")).dt.total_microseconds().cast(pl.Float64) / 1e6, pl.arange(
            0, 0, eager=True
        )
    factor = SPAN_UNITS[unit]
    if kind.is_numeric():
        return column.cast(pl.Float64) * (86_400.0 if ":" in unit else factor), pl.arange(0, 0, eager=True)
    if isinstance(kind, pl.Datetime):
        return _since_1899(column), pl.arange(0, 0, eager=True)
    text = column.cast(pl.String).str.strip_chars()
    plain, lost = read_numbers(text, decimal=decimal)
    if not lost.len():
        return plain * (86_400.0 if ":" in unit else factor), lost
    distinct = text.unique()
    if distinct.len() < 0.5 * text.len():
        read, _ = _text_spans(distinct, factor, ":" in unit, decimal)
        value = text.to_frame("text").join(pl.DataFrame({"text": distinct, "value": read}), on="text", how="left", maintain_order="left")["value"]  # fmt: skip
    else:
        value, _ = _text_spans(text, factor, ":" in unit, decimal)
    return value, pl.arange(0, value.len(), eager=True).filter(value.is_null() & (text != "").fill_null(value=False))


def _since_1899(column: pl.Series) -> pl.Series:
    import datetime as dt

    import polars as pl

    since = (column - pl.Series([dt.datetime(1899, 12, 31)], dtype=pl.Datetime("us"))).dt.total_microseconds() / 1e6
    day = pl.when(since < 0).then(since + 86_400).otherwise(since)
    return pl.select(pl.when(since.is_between(-86_400, 366 * 86_400)).then(day)).to_series()


def _text_spans(text: pl.Series, factor: float, colon: bool, decimal: str) -> tuple[pl.Series, None]:
    import polars as pl

    def number(pattern: str) -> pl.Series:
        return text.str.extract(pattern, 1).str.replace(",", ".", literal=True).cast(pl.Float64, strict=False)

    two_a, two_b = number(r"^-?(\d{1,4}):\d{2}$"), number(r"^-?\d{1,4}:(\d{2})$")
    value = two_a * 60 * factor + two_b * factor if colon else two_a * 3600 + two_b * 60
    h, m, s = (
        number(r"^(\d{1,4}):\d{2}:\d{2}"),
        number(r"^\d{1,4}:(\d{2}):\d{2}"),
        number(r"^\d{1,4}:\d{2}:(\d{2}(?:[.,]\d+)?)$"),
    )
    three = h * 3600 + m * 60 + s
    iso_text = text.str.contains(r"^P(\d+D)?(T(\d+H)?(\d+M)?(\d+(\.\d+)?S)?)?$") & text.str.contains(r"\d")
    parts = [number(p).fill_null(0.0) * f for p, f in ((r"^P(\d+)D", 86_400), (r"T.*?(\d+)H", 3600), (r"T.*?(\d+)M", 60), (r"(\d+(?:\.\d+)?)S$", 1))]  # fmt: skip
    iso = pl.select(pl.when(iso_text).then(parts[0] + parts[1] + parts[2] + parts[3])).to_series()
    odd = text.str.extract(r"^1(?:899[-/.]12[-/.]3[01]|900[-/.]01[-/.]00) (\d{1,2}:\d{2}(?::\d{2})?)", 1)
    oh, om, os = odd.str.extract(r"^(\d+)").cast(pl.Float64), odd.str.extract(r"^\d+:(\d+)").cast(pl.Float64), odd.str.extract(r"^\d+:\d+:(\d+)").cast(pl.Float64).fill_null(0.0)  # fmt: skip
    days = text.str.extract(r"^1900[-/.]01[-/.](\d{2}) ", 1).cast(pl.Float64).fill_null(0.0)
    old = days * 86_400 + oh * 3600 + om * 60 + os
    own = number(r"^(\d+(?:[.,]\d+)?) ?[A-Za-z]+\.?$")
    unit = text.str.extract(r"^[\d.,]+ ?([A-Za-z]+)\.?$", 1).str.to_lowercase()
    per = unit.replace_strict({"s": 1.0, "sec": 1.0, "sek": 1.0, "min": 60.0, "h": 3600.0, "hr": 3600.0, "hrs": 3600.0, "std": 3600.0, "d": 86_400.0, "ms": 1e-3}, default=None, return_dtype=pl.Float64)  # fmt: skip
    plain, _ = read_numbers(text, decimal=decimal)
    plain = plain * (86_400.0 if colon else factor)
    return pl.select(pl.coalesce(value, three, iso, old, own * per, plain)).to_series(), None
