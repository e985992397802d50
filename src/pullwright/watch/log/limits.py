"""How large a log may be: the one table that reading, messages and docs share."""

from __future__ import annotations

from dataclasses import dataclass

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
