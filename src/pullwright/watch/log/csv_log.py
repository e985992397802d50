"""Reads a log out of a table of text, whatever parts its cells."""

from __future__ import annotations

import codecs
import csv
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pullwright.watch.log.csv_dialect import (
    CHUNK,
    DELIMITERS,
    Lines,
    delimiter_of,
    first_text,
    head_rows,
    scan,
    zero_byte,
)
from pullwright.watch.log.csv_uneven import Misfits, evened, is_even
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.headers import header_at, joined, named
from pullwright.watch.log.limits import LOG_LIMITS, check_size
from pullwright.watch.log.raw import ROW, RawLog

if TYPE_CHECKING:
    import polars as pl

HEAD_ROWS = 300
AT_ONCE = 50_000
SMALL = 4_000_000
"""Bytes up to which a file is read cell by cell, so that every odd row is seen."""


def read_csv(path: Path, name: str) -> RawLog:
    """A log out of a table of text. Errors: LogError."""
    lines = scan(path, name)
    with _as_utf8(path, lines, name) as plain:
        return _read(plain, lines, name)


def _read(path: Path, lines: Lines, name: str) -> RawLog:
    text = first_text(path, "utf-8-sig", name)
    mark = delimiter_of("".join(text.splitlines(keepends=True)[:HEAD_ROWS]))
    says_mark = text[:4].lower() == "sep="
    head = head_rows("".join(text.splitlines(keepends=True)[:HEAD_ROWS]), mark)
    if says_mark:
        head[0] = []
    if not any(cell.strip() for row in head for cell in row):
        raise LogError("a file without a row", "a header and at least one row under it", "export the log again", file=name)  # fmt: skip
    first, height = header_at(head)
    width = max((len(row) for row in head[first : first + max(1, height)]), default=0)
    rows = lines.newlines + (not lines.ends_with_newline) - first - height
    check_size(width, 0 if lines.quotes else rows, name)
    if height == 2:
        headers = joined(head[first], [*head[first + 1], *[""] * (width - len(head[first + 1]))])
    else:
        headers = head[first] if height else [""] * width
    names, noticed = named(headers)
    before = sum(bool(row) for row in head[:first])
    if before:
        noticed.append(f"{before:,} {'row stands' if before == 1 else 'rows stand'} above the header and {'is' if before == 1 else 'are'} no part of the table.")  # fmt: skip
    if height == 2:
        noticed.append("The header takes two rows, which are read as one.")
    if not height:
        noticed.append("There is no header; the columns are numbered.")
    table = None
    if path.stat().st_size > SMALL:
        table = _fast(path, lines, mark, names, first + height)
        if table is None:
            table, said = _evened(path, lines, mark, names, first + height, name)
            noticed += said
    if table is None:
        table, said = _cell_by_cell(path, mark, names, first + height, name)
        noticed += said
    if table.height == 0:
        raise LogError("a header and no row under it", "at least one row", "export the log again", file=name, row=first + 1)  # fmt: skip
    form = f"CSV, {DELIMITERS[mark] if len(names) > 1 else 'one column'}, {lines.words}"
    return RawLog(table, name, form, tuple(names), tuple(noticed))


def _fast(path: Path, lines: Lines, mark: str, names: list[str], skip: int) -> pl.DataFrame | None:
    """The whole table at once; None where the rows are not plain enough to be counted that way."""
    import polars as pl

    rows = lines.newlines + (not lines.ends_with_newline)
    if lines.returns not in (0, lines.newlines):
        return None
    if not lines.quotes and lines.delimiters.get(mark, 0) != (len(names) - 1) * rows:
        return None
    if lines.quotes and not is_even(path, mark, len(names), skip):
        return None
    table = _plain(path, lines, mark, names, skip)
    if table is None or table.width != len(names) or table.height != rows - skip:
        return None
    at = pl.int_range(skip + 1, skip + 1 + table.height, dtype=pl.UInt32, eager=True).alias(ROW)
    return table.insert_column(0, at)


def _plain(path: Path, lines: Lines, mark: str, names: list[str], skip: int) -> pl.DataFrame | None:
    """The table of a file in which each row has as many cells as there are names; None where it is no such file."""
    import polars as pl

    try:
        table = pl.read_csv(
            path,
            separator=mark,
            has_header=False,
            skip_lines=skip,
            new_columns=names,
            infer_schema=False,
            quote_char='"' if lines.quotes else None,
            low_memory=True,
            raise_if_empty=False,
        )
    except (pl.exceptions.PolarsError, pl.exceptions.PanicException):
        return None
    # Marks with nothing between them are an empty cell like any other.
    hollow = [one.name for one in table if lines.quotes and (one == "").any()]
    return table.with_columns(pl.when(pl.col(name) != "").then(pl.col(name)).alias(name) for name in hollow)


def _evened(
    path: Path, lines: Lines, mark: str, names: list[str], skip: int, name: str
) -> tuple[pl.DataFrame | None, list[str]]:
    """The whole table at once, its rows put right first; None where only a slow look tells their cells."""
    import polars as pl

    if lines.returns not in (0, lines.newlines) or len(names) < 2:
        return None, []
    with tempfile.TemporaryDirectory(prefix="pullwright-log-") as folder:
        copy = Path(folder) / "even"
        found = evened(path, copy, mark, len(names), skip)
        if found is None or not found.rows:
            return None, []
        rows = np.concatenate(found.rows)
        check_size(len(names), rows.size, name)
        table = _plain(copy, lines, mark, names, 0)
    if table is None or table.width != len(names) or table.height != rows.size:
        return None, []
    return table.insert_column(0, pl.Series(ROW, rows, dtype=pl.UInt32)), found.misfits.said(mark)


def _cell_by_cell(
    path: Path, mark: str, names: list[str], skip: int, name: str
) -> tuple[pl.DataFrame, list[str]]:  # fmt: skip
    import polars as pl

    width = len(names)
    schema = dict.fromkeys(names, pl.String)
    parts: list[pl.DataFrame] = []
    at: list[int] = []
    cells: list[list[str]] = []
    misfits = Misfits()
    row = 0

    read = 0

    def keep() -> None:
        nonlocal read
        if cells:
            read += len(cells)
            check_size(width, read, name)
            part = pl.DataFrame(cells, schema=schema, orient="row")
            parts.append(part.insert_column(0, pl.Series(ROW, at, dtype=pl.UInt32)))
            at.clear()
            cells.clear()

    try:
        with path.open(encoding="utf-8-sig", errors="replace", newline="") as file:
            for row, found in enumerate(csv.reader(file, delimiter=mark), 1):
                if row <= skip:
                    continue
                fitted = found if len(found) == width > 1 else misfits.fitted(found, mark, width)
                if fitted is None:
                    continue
                at.append(row)
                cells.append(fitted)
                if len(cells) >= AT_ONCE:
                    keep()
    except csv.Error as error:
        todo = "look for a quotation mark that is opened and never closed"
        what = f"a cell of more than {csv.field_size_limit():,} characters" if "field larger" in str(error) else f"a row that cannot be parted into cells ({error})"  # fmt: skip
        raise LogError(what, f"up to {LOG_LIMITS['cell'].words}", todo, file=name, row=row + 1) from None
    keep()
    table = pl.concat(parts) if parts else pl.DataFrame(schema={ROW: pl.UInt32, **schema})
    table = table.with_columns(pl.when(pl.col(n) != "").then(pl.col(n)).alias(n) for n in names)
    return table, misfits.said(mark)


@contextmanager
def _as_utf8(path: Path, lines: Lines, name: str) -> Iterator[Path]:
    """The file itself where it is UTF-8 with plain line ends, otherwise a copy that is."""
    if lines.encoding in ("utf-8", "utf-8-sig"):
        yield path
        return
    with tempfile.TemporaryDirectory(prefix="pullwright-log-") as folder:
        copy = Path(folder) / "text"
        decoder = codecs.getincrementaldecoder(lines.encoding)("replace")
        with path.open("rb") as source, copy.open("wb") as target:
            rows = 1
            while chunk := source.read(CHUNK):
                part = decoder.decode(chunk)
                if (at := part.find("\0")) >= 0:
                    raise zero_byte(name, rows + part.count("\n", 0, at))
                rows += part.count("\n")
                target.write(part.encode("utf-8", "replace"))
            target.write(decoder.decode(b"", final=True).encode("utf-8", "replace"))
        yield copy
