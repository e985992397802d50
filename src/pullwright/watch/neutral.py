"""Tables as CSV in which no cell can be taken for a formula by a spreadsheet."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl


FORMULA = r"'*[=+\-@\t\r]"
"""How a cell begins that a spreadsheet may take for a formula, apostrophes from before included."""
_FORMULA = re.compile(FORMULA)


def neutral(text: str) -> str:
    """The cell as it is written: one that a spreadsheet would take for a formula gets an apostrophe before it.

    Source: common practice against formula injection: cells that begin with = + - @, tab or carriage return.

    >>> neutral("=1+1"), neutral("hone"), neutral("'=1")
    ("'=1+1", 'hone', "''=1")
    """
    return f"'{text}" if _FORMULA.match(text) else text


def neutral_csv(table: pl.DataFrame) -> str:
    """A table as CSV with commas (RFC 4180): words that begin with = + - @, tab or return get an apostrophe before them.

    Numbers and times stay as they are, negative ones too. Source: common practice against formula injection.

    >>> import polars as pl
    >>> neutral_csv(pl.DataFrame({"step": ["=1+1", "hone"], "h": [-1.5, 2.0]}))
    "step,h\\n'=1+1,-1.5\\nhone,2.0\\n"
    """
    import polars as pl

    words = [name for name, kind in table.schema.items() if kind in (pl.String, pl.Categorical) or isinstance(kind, pl.Enum)]  # fmt: skip
    text = table.with_columns(pl.col(name).cast(pl.String).str.replace(f"^({FORMULA})", "'$1") for name in words)
    return text.rename({name: neutral(name) for name in text.columns if neutral(name) != name}).write_csv()
