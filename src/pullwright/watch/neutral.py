"""Tables as CSV in which no cell can be taken for a formula by a spreadsheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl


def neutral_csv(table: pl.DataFrame) -> str:
    """A table as CSV with commas (RFC 4180): words that begin with = + - @, tab or return get an apostrophe before them.

    Numbers and times stay as they are, negative ones too. Source: common practice against formula injection.

    >>> import polars as pl
    >>> neutral_csv(pl.DataFrame({"step": ["=1+1", "hone"], "h": [-1.5, 2.0]}))
    "step,h\\n'=1+1,-1.5\\nhone,2.0\\n"
    """
    import polars as pl

    words = [name for name, kind in table.schema.items() if kind in (pl.String, pl.Categorical) or isinstance(kind, pl.Enum)]  # fmt: skip
    text = table.with_columns(pl.col(name).cast(pl.String).str.replace(r"^('*[=+\-@\t\r])", "'$1") for name in words)
    headers = [f"'{name}" if name[:1] in tuple("=+-@\t\r") and name else name for name in text.columns]
    return text.rename(dict(zip(text.columns, headers, strict=True))).write_csv()
