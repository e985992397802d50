"""Reads a log out of a workbook: values only, a formula is never worked out."""

from __future__ import annotations

import re
import zipfile
import zlib
from pathlib import Path
from typing import TYPE_CHECKING

from pullwright.line.faults import listed, nearest
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.headers import LOOKED_AT, header_at, joined, named
from pullwright.watch.log.limits import LOG_LIMITS
from pullwright.watch.log.raw import ROW, RawLog

if TYPE_CHECKING:
    import polars as pl

_CELL = re.compile(rb"<(?:\w+:)?c\s(?:[^>]*?\s)?r\s*=\s*[\"']([A-Z]{1,3})(\d{1,7})[\"']")
_REMEDY = "save it again as XLSX, or as CSV"
MOST_RATIO = 400
"""A part that is more than so many times larger once unpacked, and not small, is no workbook that anybody wrote."""


def read_xlsx(path: Path, name: str, sheet: str | None) -> RawLog:
    """A log out of a workbook: the sheet of that name, or the first one with rows. Errors: LogError."""
    _check(path, name)
    import fastexcel
    import polars as pl

    try:
        book = fastexcel.read_excel(path)
        sheets = list(book.sheet_names)
        if sheet is not None and sheet not in sheets:
            near = nearest(sheet, sheets)
            raise LogError(f"the sheet {sheet[:60]!r}", listed(sheets), f"did you mean {near}?" if near else "choose one of them", file=name)  # fmt: skip
        for one in [sheet] if sheet is not None else sheets:
            cells = book.load_sheet(one, header_row=None, skip_rows=0, dtypes="string").to_polars()
            if cells.height >= 2 and cells.width:
                return _table(cells, one, sheets, name)
    except LogError:
        raise
    except (Exception, pl.exceptions.PanicException) as error:  # what the reader of workbooks raises has no common base
        raise LogError(f"a workbook that is damaged ({str(error).splitlines()[0][:120]})", "a whole XLSX file", _REMEDY, file=name) from None  # fmt: skip
    raise LogError("a workbook without a table", "a sheet with a header and at least one row under it", "look which sheet holds the log", file=name)  # fmt: skip


def _table(cells: pl.DataFrame, sheet: str, sheets: list[str], name: str) -> RawLog:
    import polars as pl

    head = [["" if cell is None else cell for cell in row] for row in cells.head(LOOKED_AT).rows()]
    first, height = header_at(head)
    headers = head[first] if height else [""] * cells.width
    if height == 2:
        headers = joined(head[first], head[first + 1])
    names, noticed = named(headers)
    skip = first + height
    body = cells.slice(skip).rename(dict(zip(cells.columns, names, strict=True)))
    at = pl.int_range(skip + 1, skip + 1 + body.height, dtype=pl.UInt32, eager=True).alias(ROW)
    body = body.with_columns(pl.when(pl.col(n) != "").then(pl.col(n)).alias(n) for n in names)
    table = body.insert_column(0, at).filter(~pl.all_horizontal(pl.col(n).is_null() for n in names))
    if table.height == 0:
        raise LogError("a header and no row under it", "at least one row", "export the log again", file=name, row=first + 1)  # fmt: skip
    if body.height > table.height:
        noticed.append(f"{body.height - table.height:,} rows are empty and left out.")
    if height == 2:
        noticed.append("The header takes two rows, which are read as one.")
    if not height:
        noticed.append("There is no header; the columns are numbered.")
    if len(sheets) > 1:
        noticed.append(f"The workbook has {len(sheets)} sheets ({listed(sheets)}); {sheet} was read.")
    return RawLog(table, name, f"XLSX, sheet {sheet}", tuple(names), tuple(noticed))


def _check(path: Path, name: str) -> None:
    """Look into the list of parts first: what it holds, and how large that grows."""
    try:
        with zipfile.ZipFile(path) as packed:
            parts = packed.infolist()
            if not any(part.filename == "xl/workbook.xml" for part in parts):
                raise LogError("a zip file that is no workbook", "an XLSX file", "unpack it and bring in the log itself", file=name)  # fmt: skip
            total = sum(part.file_size for part in parts)
            bomb = any(p.file_size > 50_000_000 and p.file_size > MOST_RATIO * max(1, p.compress_size) for p in parts)
            if total > LOG_LIMITS["unpacked"].most or bomb or len(parts) > 10_000:
                raise LogError(f"a workbook that grows to {total / 1e6:,.0f} megabytes", f"up to {LOG_LIMITS['unpacked'].words}, packed no more than {MOST_RATIO} times", "save the log as CSV", file=name)  # fmt: skip
            for part in parts:
                if not part.filename.startswith("xl/media/"):
                    _check_size(packed, part, name)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError) as error:
        if isinstance(error, LogError):
            raise
        raise LogError(f"a workbook that is damaged ({error})", "a whole XLSX file", _REMEDY, file=name) from None


def _check_size(packed: zipfile.ZipFile, part: zipfile.ZipInfo, name: str) -> None:
    """How far does the sheet reach? One cell in its last corner would make a table of billions."""
    columns: set[bytes] = set()
    last, read, rest = 0, 0, b""
    with packed.open(part) as file:
        while chunk := file.read(2_000_000):
            read += len(chunk)
            if read > part.file_size + 1000:
                raise LogError("a workbook that lies about its size", "a whole XLSX file", _REMEDY, file=name)
            found = _CELL.findall(rest + chunk)
            columns.update(column for column, _ in found)
            last = max([last, *(int(row) for _, row in found)])
            rest = chunk[-200:]
    width = max((_number(column) for column in columns), default=0)
    if width > LOG_LIMITS["columns"].most:
        raise LogError(f"a sheet of {width:,} columns", f"up to {LOG_LIMITS['columns'].words}", "leave out those that are not needed", file=name)  # fmt: skip
    if width * last > LOG_LIMITS["sheet cells"].most:
        raise LogError(f"a sheet of {width * last:,} cells", f"up to {LOG_LIMITS['sheet cells'].words}", "save the log as CSV", file=name)  # fmt: skip


def _number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number
