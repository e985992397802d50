"""How large a log may be: the one table that reading, messages and docs share."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.watch.log.faults import LogError

MB = 1_000_000


@dataclass(frozen=True, slots=True)
class LogLimit:
    """One limit: the most that is read, and its words."""

    most: int
    words: str


LOG_LIMITS: dict[str, LogLimit] = {
    "bytes": LogLimit(1_000 * MB, "a file of 1,000 megabytes"),
    "unpacked": LogLimit(2_000 * MB, "2,000 megabytes once unpacked"),
    "columns": LogLimit(1_000, "1,000 columns"),
    "cell": LogLimit(100_000, "100,000 characters in a cell"),
    "line": LogLimit(1 * MB, "1,000,000 bytes in a row"),
    "rows": LogLimit(20_000_000, "20,000,000 rows"),
    "cells": LogLimit(400_000_000, "400,000,000 cells in all"),
    "sheet cells": LogLimit(40_000_000, "40,000,000 cells in a sheet"),
    "depth": LogLimit(40, "attributes 40 deep in one another"),
}


def check_size(columns: int, rows: int, name: str) -> None:
    """May a table of this size be read? Errors: LogError where it has too many columns, rows or cells.

    >>> check_size(1_200, 10, "log.csv")
    Traceback (most recent call last):
    ...
    pullwright.watch.log.faults.LogError: log.csv: 1,200 columns was read; allowed is up to 1,000 columns; leave out those that are not needed
    """
    for key, size, todo in (
        ("columns", columns, "leave out those that are not needed"),
        ("rows", rows, "cut the log into parts, a year each"),
        ("cells", columns * rows, "leave out columns that are not needed, or cut the log into parts"),
    ):
        limit = LOG_LIMITS[key]
        if size > limit.most:
            raise LogError(f"{size:,} {key}", f"up to {limit.words}", todo, file=name)
