"""The cells of a study's CSV: which sign parts them, what a number is there, and how a cell is kept from being a formula."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence

from pullwright.watch.neutral import neutral

DELIMITERS = (",", ";", "\t")
_QUOTED = re.compile(r"'+[=+\-@\t\r]")
_PLAIN = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?")
_COMMA = re.compile(r"[+-]?\d+,\d+|[+-]?,\d+")
_AMBIGUOUS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def as_meant(text: str) -> str:
    """The cell as it was before `neutral`.

    >>> as_meant("'=1+1"), as_meant("'tis"), as_meant(neutral("'-5"))
    ('=1+1', "'tis", "'-5")
    """
    return text[1:] if _QUOTED.match(text) else text


def rows_of(text: str, delimiter: str) -> list[list[str]]:
    """The cells of a CSV, row by row (RFC 4180), as they are written. Errors: `csv.Error` where quotes do not close."""
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))


def text_of(rows: Sequence[Sequence[str]]) -> str:
    """A CSV with commas out of rows of cells, each neutralised."""
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows([neutral(cell) for cell in row] for row in rows)
    return out.getvalue()


def number_of(cell: str, *, decimal_comma: bool) -> float | None:
    """Which number stands in a cell, with a point or a comma before the decimals? None where it is no plain number, or where a comma
    in a file parted by commas may mean thousands.

    >>> number_of("2.5", decimal_comma=False), number_of("2,5", decimal_comma=True), number_of("1,250", decimal_comma=False)
    (2.5, 2.5, None)
    """
    text = cell.strip()
    if _COMMA.fullmatch(text) and (decimal_comma or not _AMBIGUOUS.fullmatch(text)):
        text = text.replace(",", ".")
    return float(text) if _PLAIN.fullmatch(text) else None


def with_point(cell: str) -> str:
    """The same quantity with a decimal point: "2,5 min" as "2.5 min"; left alone where a comma may mean thousands.

    >>> with_point("2,5 min"), with_point("1,250 s")
    ('2.5 min', '1,250 s')
    """
    found = re.match(r"\s*([+-]?\d*,\d+)(?![\d,.])", cell)
    if not found or _AMBIGUOUS.fullmatch(found[1]):
        return cell
    return cell.replace(",", ".", 1)
