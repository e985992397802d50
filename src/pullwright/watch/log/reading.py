"""Opens a log of any kind: what a file is comes from its content, and nothing half-read comes back."""

from __future__ import annotations

import tempfile
import zlib
from pathlib import Path

from pullwright.watch.log.content import ENDINGS, READ_KINDS, content_kind
from pullwright.watch.log.faults import LogError
from pullwright.watch.log.limits import LOG_LIMITS, check_size
from pullwright.watch.log.raw import ROW, RawLog

__all__ = ["ROW", "LogError", "RawLog", "open_log"]
ALLOWED = "a table (CSV, XLSX, Parquet) or an event log (XES), also packed with gzip"
_SAID = {"text": "CSV", "zip": "XLSX", "parquet": "Parquet", "feather": "Feather", "xml": "XES"}


def open_log(path: Path, *, name: str = "", sheet: str | None = None) -> RawLog:
    """The table that stands in a file, whatever it is called.

    Parameters: `path`, the file; `name`, what people call it (its own name where nothing is given); `sheet`, the sheet
    of a workbook (the first one with rows where nothing is given). Returns the columns as they stand there.
    Errors: LogError where it is no log, or too large; nothing half-read comes back.
    """
    name = name or path.name
    try:
        return _open(path, name, sheet, packed=False)
    except OSError as error:
        raise LogError(f"a file that cannot be opened ({error.strerror or error})", ALLOWED, "look whether it is there", file=name) from None  # fmt: skip
    except MemoryError:
        raise LogError("a file that is too large for this machine", LOG_LIMITS["bytes"].words, "cut it into parts", file=name) from None  # fmt: skip


def _open(path: Path, name: str, sheet: str | None, *, packed: bool) -> RawLog:
    size = path.stat().st_size
    if size > LOG_LIMITS["unpacked" if packed else "bytes"].most:
        raise LogError(f"a file of {size / 1e6:,.0f} megabytes", f"up to {LOG_LIMITS['bytes'].words}", "cut it into parts, or leave out columns", file=name)  # fmt: skip
    with path.open("rb") as file:
        head = file.read(4096)
    if not head:
        raise LogError("an empty file", ALLOWED, "export the log again", file=name)
    kind = content_kind(head)
    if kind not in READ_KINDS or (packed and kind == "gzip"):
        raise LogError(kind if kind != "gzip" else "a packed file in a packed file", ALLOWED, "export the list itself as CSV or XLSX", file=name)  # fmt: skip
    if kind == "gzip":
        with tempfile.TemporaryDirectory(prefix="pullwright-log-") as folder:
            inner = Path(folder) / "log"
            _unpack(path, inner, name)
            found = _open(inner, name, sheet, packed=True)
        return RawLog(found.table, name, f"{found.form}, packed with gzip", found.headers, found.noticed)
    found = _by_kind(kind, path, name, sheet)
    _check_cells(found)
    ending = name.lower().removesuffix(".gz").rpartition(".")[2]
    expected = ENDINGS.get(ending)
    if expected and expected != kind:
        noticed = f"The name ends with .{ending}, but the content is {_SAID[kind]}, and was read as that."
        return RawLog(found.table, name, found.form, found.headers, (noticed, *found.noticed))
    return found


def _by_kind(kind: str, path: Path, name: str, sheet: str | None) -> RawLog:
    if kind == "zip":
        from pullwright.watch.log.xlsx_log import read_xlsx

        return read_xlsx(path, name, sheet)
    if kind in ("parquet", "feather"):
        from pullwright.watch.log.arrow_log import read_arrow

        return read_arrow(path, name, kind)
    if kind == "xml":
        from pullwright.watch.log.xes_log import read_xes

        return read_xes(path, name)
    from pullwright.watch.log.csv_log import read_csv

    return read_csv(path, name)


def _check_cells(raw: RawLog) -> None:
    """Refuse a table that is too large after all, and cells that are no words of a person. Errors: LogError."""
    import polars as pl

    check_size(len(raw.headers), raw.table.height, raw.name)
    limit = LOG_LIMITS["cell"]
    for name in raw.headers:
        column = raw.table[name]
        if column.dtype != pl.String:
            continue
        size = column.str.len_bytes()
        if (size.max() or 0) > limit.most and (size := column.str.len_chars()).max() > limit.most:  # type: ignore[operator]
            at = size.arg_max() or 0
            raise LogError(f"a cell of {size[at]:,} characters", f"up to {limit.words}", "look for a quotation mark that is opened and never closed, or leave the column out", file=raw.name, row=raw.table[ROW][at], column=name[:80])  # fmt: skip


def _unpack(path: Path, to: Path, name: str) -> None:
    import gzip

    most, written = LOG_LIMITS["unpacked"].most, 0
    try:
        with gzip.open(path) as source, to.open("wb") as target:
            while chunk := source.read(4_000_000):
                written += len(chunk)
                if written > most:
                    raise LogError("a packed file that grows too large", f"up to {LOG_LIMITS['unpacked'].words}", "cut it into parts", file=name)  # fmt: skip
                target.write(chunk)
    except (EOFError, zlib.error, gzip.BadGzipFile) as error:
        raise LogError(f"a packed file that is damaged ({error})", "a whole gzip file", "copy or export it again", file=name) from None  # fmt: skip
