"""Looks as a CSV: for a spreadsheet, and from one."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from datetime import datetime

from pullwright.line.faults import listed, shown
from pullwright.watch.misread import SampleError
from pullwright.watch.sample.looks import Look
from pullwright.watch.sample.told import seen_kind
from pullwright.watch.study.csv_cells import DELIMITERS, as_meant, rows_of, text_of

COLUMNS = ("round", "station", "at", "seen", "who", "note", "uid")
NEEDED = COLUMNS[:4]


def write_looks(looks: Sequence[Look]) -> str:
    """The looks as a CSV with a head; cells that a spreadsheet would take for a formula get an apostrophe.

    >>> print(write_looks([Look("a", 1, "=saw", datetime(2026, 3, 17, 8, 12), "waiting")]), end="")
    round,station,at,seen,who,note,uid
    1,'=saw,2026-03-17T08:12:00,waiting,,,a
    """
    rows = [[str(one.round), one.station, one.at.isoformat(), one.seen, one.who, one.note, one.uid] for one in looks]
    return text_of([list(COLUMNS), *rows])


def read_looks(text: str, name: str = "looks.csv") -> tuple[Look, ...]:
    """The looks of a CSV; parted by commas, semicolons or tabs; columns in any order, who, note and uid may be missing.

    Errors: `SampleError` naming the row, what was read and what is allowed.

    >>> read_looks("round;station;at;seen\\n1;saw;2026-03-17 08:12;waiting\\n")[0].where
    'row 2 of looks.csv'
    """
    text = text.removeprefix("\ufeff")
    head = text.split("\n", 1)[0]
    delimiter = max(DELIMITERS, key=head.count)
    try:
        rows = rows_of(text, delimiter)
    except csv.Error as error:
        raise SampleError(name, f"cannot be read ({error})", "a CSV whose quotes are closed") from None
    names = [cell.strip().lower() for cell in rows[0]] if rows else []
    if missing := [column for column in NEEDED if column not in names]:
        raise SampleError(f"{name}: head {shown(listed(names))}", f"has no column {missing[0]}", listed(COLUMNS))
    found: list[Look] = []
    uids: set[str] = set()
    for number, row in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in row):
            continue
        cells = dict(zip(names, [as_meant(cell).strip() for cell in row], strict=False))
        look = _look(cells, f"row {number} of {name}")
        if look.uid in uids:
            raise SampleError(f"row {number} of {name}: uid {shown(look.uid)}", "stands there twice", "each look once")
        uids.add(look.uid)
        found.append(look)
    return tuple(found)


def _look(cells: dict[str, str], where: str) -> Look:
    number = cells.get("round", "")
    if not number.isdecimal() or len(number) > 9 or int(number) < 1:
        raise SampleError(f"{where}: round {shown(number)}", "is no round", "a whole number from 1")
    if not cells.get("station"):
        raise SampleError(f"{where}: the station", "is missing", "the name of a station")
    try:
        at = datetime.fromisoformat(cells.get("at", ""))
    except ValueError:
        at = None
    if at is None or at.tzinfo is not None:
        read = shown(cells.get("at", ""))
        raise SampleError(
            f"{where}: at {read}", "is no moment", "a date and a time without a zone, such as 2026-03-17 08:12"
        )
    try:
        seen = seen_kind(cells.get("seen", ""))
    except SampleError as error:
        raise SampleError(f"{where}: {error.read}", error.problem, error.allowed) from None
    uid = cells.get("uid") or where
    return Look(uid, int(number), cells["station"], at, seen, cells.get("who", ""), cells.get("note", ""), where)
