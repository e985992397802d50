"""Where the header of a table stands, and what its columns are called."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from pullwright.watch.log.raw import ROW

_DATA = re.compile(r"[+-]?[\d.,' ]*\d[\d.,:/\-+ ]*(?:T[\d:.,]+)?(?:Z|[+-]\d\d:?\d\d)?(?: ?[AaPp][Mm])?")
_UNIT = re.compile(
    r"[\[(]?\s*(?:s|sec|sek|min|h|std|hrs?|d|pcs?|pieces|stk|stück|st|mm|kg|%|-|uur|heures?|horas?|pzs?)?\.?\s*[\])]?",
    re.I,
)
LOOKED_AT = 60
"""So many rows are looked at to find the header."""


def looks_like_data(cell: str) -> bool:
    """Does a cell hold a number or a time rather than a name?

    >>> looks_like_data("2024-05-03 06:15"), looks_like_data("1.234,5"), looks_like_data("Order 7")
    (True, True, False)
    """
    return bool(_DATA.fullmatch(cell.strip()))


def header_at(rows: Sequence[Sequence[str]]) -> tuple[int, int]:
    """At which index does the header begin, and of how many rows is it? None of them (0) where there is no header.

    >>> header_at([["Works 3"], ["Order", "Pieces"], ["A-1", "12"], ["A-2", "7"]])
    (1, 1)
    """
    some = rows[:LOOKED_AT]
    filled = [len(row) for row in some if any(cell.strip() for cell in row)]
    if not filled:
        return 0, 0
    width = Counter(filled).most_common(1)[0][0]
    if len(filled) < 3:
        width = filled[-1]
    first = next(
        (n for n, row in enumerate(some) if len(row) == width and _named(row)),
        next((n for n, row in enumerate(some) if any(cell.strip() for cell in row)), 0),
    )
    body = [row for row in some[first + 3 :] if len(row) == width] or [
        row for row in some[first + 1 :] if len(row) == width
    ]
    typed = [n for n in range(width) if _mostly_data([row[n] for row in body])]
    if not typed:
        return first, 1
    if sum(looks_like_data(some[first][n]) for n in typed if n < len(some[first])) * 2 > len(typed):
        return first, 0
    after = some[first + 1] if first + 1 < len(some) else []
    more = len(after) == width and len(some) > first + 2 and any(cell.strip() for cell in after)
    if more and not any(looks_like_data(after[n]) for n in typed):
        gaps = any(not cell.strip() for cell in some[first])
        units = all(_UNIT.fullmatch(after[n].strip()) for n in range(width) if after[n].strip())
        if units or gaps:
            return first, 2
    return first, 1


def _named(row: Sequence[str]) -> bool:
    filled = sum(bool(cell.strip()) for cell in row)
    return filled * 2 > len(row) or (len(row) > 2 and filled >= 2)


def _mostly_data(cells: Sequence[str]) -> bool:
    some = [cell for cell in cells if cell.strip()]
    return bool(some) and sum(looks_like_data(cell) for cell in some) >= 0.8 * len(some)


def joined(upper: Sequence[str], lower: Sequence[str]) -> list[str]:
    """A header of two rows as one: a name that stands over several columns holds for each of them.

    >>> joined(["Order", "Begin", "", "Time"], ["", "date", "time", "[min]"])
    ['Order', 'Begin date', 'Begin time', 'Time [min]']
    """
    names, over = [], ""
    for above, below in zip(upper, lower, strict=True):
        over = above.strip() or (over if below.strip() else "")
        names.append(f"{over} {below.strip()}".strip())
    return names


def named(headers: Sequence[str]) -> tuple[list[str], list[str]]:
    """The names of the columns, no two alike and none empty, and what had to be done for that.

    >>> named(["Order", "", "Order", "row"])[0]
    ['Order', 'column 2', 'Order (2)', 'row (2)']
    """
    names: list[str] = []
    seen = {ROW}
    empty = twice = 0
    for n, header in enumerate(headers, 1):
        name = header.strip()
        if not name:
            name, empty = f"column {n}", empty + 1
        base, count = name, 1
        while name in seen:
            count += 1
            name = f"{base} ({count})"
        twice += count > 1 and base != ROW
        seen.add(name)
        names.append(name)
    said = []
    if empty:
        said.append(f"{empty:,} {'column has' if empty == 1 else 'columns have'} no name and got a number.")
    if twice:
        said.append(f"{twice:,} {'name comes' if twice == 1 else 'names come'} again and got a number.")
    return names, said
