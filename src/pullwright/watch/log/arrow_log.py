"""Reads a log out of a Parquet or Feather file."""

from __future__ import annotations

from pathlib import Path

from pullwright.line.faults import listed
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.headers import named
from pullwright.watch.log.limits import check_size
from pullwright.watch.log.raw import ROW, RawLog


def read_arrow(path: Path, name: str, kind: str) -> RawLog:
    """A log out of a Parquet or Feather file; columns of lists and records are left out. Errors: LogError."""
    import polars as pl

    words = "Parquet" if kind == "parquet" else "Feather"
    try:
        lazy = pl.scan_parquet(path) if kind == "parquet" else pl.scan_ipc(path)
        schema = lazy.collect_schema()
        height = int(lazy.select(pl.len()).collect().item())
        check_size(len(schema), height, name)
        flat = [column for column, dtype in schema.items() if not dtype.is_nested() and dtype not in (pl.Binary, pl.Object, pl.Null)]  # fmt: skip
        table = lazy.select(flat).collect()
    except (pl.exceptions.PolarsError, pl.exceptions.PanicException, OSError, ValueError, RuntimeError) as error:
        if isinstance(error, LogError):
            raise
        said = (str(error).splitlines() or ["no reason given"])[0][:120]
        raise LogError(f"a {words} file that is damaged ({said})", f"a whole {words} file", "copy or export it again", file=name) from None  # fmt: skip
    if not height or not flat:
        raise LogError("a table without a row" if flat else "a table without a column that can be read", "at least one row of words, times and numbers", "export the log again", file=name)  # fmt: skip
    names, noticed = named(flat)
    table = table.rename(dict(zip(flat, names, strict=True)))
    table = table.with_columns(pl.col(n).cast(pl.String) for n in names if isinstance(table.schema[n], pl.Enum))
    table = table.with_columns(pl.col(n).cast(pl.Float64) for n in names if isinstance(table.schema[n], pl.Decimal))
    table = table.with_columns(pl.when(pl.col(n) != "").then(pl.col(n)).alias(n) for n in names if table.schema[n] == pl.String)  # fmt: skip
    if len(flat) < len(schema):
        left = [column for column in schema if column not in flat]
        noticed.append(f"{listed(left)}: lists, records and empty columns are left out.")
    at = pl.int_range(2, 2 + height, dtype=pl.UInt32, eager=True).alias(ROW)
    return RawLog(table.insert_column(0, at), name, words, tuple(names), tuple(noticed))
