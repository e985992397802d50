"""A time study as CSV, in and out: one row a reading, or a plain table of one column an element and one row a cycle.

The form is described in docs/time_study.md. Every fault is found at once, each with its row and column.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, TypeVar

from pullwright.line import units
from pullwright.line.faults import likely_slip, listed, shown
from pullwright.watch.study.allowances import BY_KEY, allowance_from, one_of_a_group
from pullwright.watch.study.csv_cells import DELIMITERS, as_meant, number_of, rows_of, text_of, with_point
from pullwright.watch.study.faults import FileFault, StudyError, StudyFileError
from pullwright.watch.study.performance import rating_of
from pullwright.watch.study.sheet import Allowance, StudySheet, TimedElement, TimedReading
from pullwright.watch.study.sound import (
    FOREIGN,
    MOST_CYCLES,
    distinct,
    element_from,
    one_text,
    seconds_from,
    sound,
    whole_from,
)
from pullwright.watch.study.told import TEXTS

COLUMNS: dict[str, tuple[str, ...]] = {
    "cycle": ("cycle no", "cycle number", "no", "nr", "piece"),
    "element": ("what",),
    "seconds": ("time", "duration", "observed", "reading", "s"),
    "work": (),
    "kind": (),
    "rating": ("rated",),
    "set aside": ("aside",),
    "when": ("date", "taken"),
    "who": (),
    "note": ("notes", "remark"),
    "uid": ("id",),
    "from": ("origin",),
}
"""The columns of the long form, with other words by which they may go."""
_BY_WORD = {word: name for name, also in COLUMNS.items() for word in (name, *also)}
_LABELS = ("work", "kind", "every", "because")
_MARKED = "marked * in the file"
LONGEST = 20_000_000
MOST_ROWS = 200_000
T = TypeVar("T")


def read_csv(text: str, name: str = "study.csv") -> StudySheet:
    """Which study stands in this CSV?

    Parameters: the text of the file, its cells parted by comma, semicolon or tab; `name`, how faults and readings call it.
    Two forms are understood. Long: a row a reading, with a heading of `element` and `seconds` and any of the other columns of
    `COLUMNS`; plain numbers are seconds, other times carry their unit ("2.5 min"). Table: a column an element, a row a cycle,
    empty where nothing was read, "41*" set aside; a first column `cycle` may hold numbers, or labels `work`, `kind`, `every`,
    `because` of rows that say so of each element. Before either, lines `# key: value` may say the rest. Decimals may have a comma.
    Result: a sound sheet whose readings know their rows.
    Errors: `StudyFileError` with every fault.

    >>> sheet = read_csv("load;hone\\n44,1;628\\n45,3;641*\\n", "T-014.csv")
    >>> [(one.cycle, sheet.elements[one.element].what, one.seconds, one.aside) for one in sheet.readings][2:]
    [(2, 'load', 45.3, ''), (2, 'hone', 641.0, 'marked * in the file')]
    >>> sheet.readings[2].where
    'row 3 of T-014.csv'
    """
    rows, delimiter = _parted(text.removeprefix("\ufeff"), name)
    file = _File(name, delimiter != ",")
    start = file.head(rows)
    body = [(number, row) for number, row in enumerate(rows[start:], start + 1) if any(cell.strip() for cell in row)]
    if not body:
        file.fault(start + 1, 0, "", "the file", "has no readings", "a heading, then one row a reading or a cycle")
    elif "seconds" in (columns := _columns(body[0][1])) and "element" in columns:
        file.long(columns, body)
    else:
        file.table(body)
    return file.sheet()


def write_csv(sheet: StudySheet) -> str:
    """The study as CSV in the long form, which `read_csv` reads back to the same.

    Cells that a spreadsheet would take for a formula get an apostrophe, which reading takes away again.
    Errors: `StudyError` for a sheet that is not sound.

    >>> print(write_csv(StudySheet("T-1", (TimedElement("load"),), (TimedReading("a", 1, 0, 4.5),))), end="")
    # study: T-1
    # rating: 100.0
    # element: load,manual,needed,1,
    cycle,element,seconds,work,kind,rating,set aside,when,who,note,uid,from
    1,load,4.5,manual,needed,,,,,,a,
    """
    sound(sheet)
    rows: list[list[str]] = [[f"# {_HEAD.get(key, key)}: {said}"] for key in TEXTS if (said := getattr(sheet, key))]
    rows.append([f"# rating: {_scale(sheet.rating)}"])
    rows += [[f"# element: {one.what}", one.work, one.kind, str(one.every), one.because] for one in sheet.elements]
    rows += [[f"# allowance: {one.key}", repr(one.share), one.words] for one in sheet.allowances]
    rows.append(list(COLUMNS))
    for one in sheet.readings:
        element = sheet.elements[one.element] if one.element >= 0 else None
        rows.append(
            [
                str(one.cycle),
                element.what if element else FOREIGN,
                repr(one.seconds),
                element.work if element else "",
                element.kind if element else "",
                "" if one.rating is None else _scale(one.rating),
                one.aside,
                one.when,
                one.who,
                one.note,
                one.uid,
                one.origin or one.where,
            ]
        )
    return text_of(rows)


_HEAD = {"name": "study"}


def _scale(rating: float) -> str:
    """A rating on the scale of 100 where that comes back to the same, else as a share."""
    scaled = repr(rating * 100)
    return scaled if rating_of(scaled) == rating else repr(rating)


def _parted(text: str, name: str) -> tuple[list[list[str]], str]:
    """The rows and the sign that parts their cells: the one with which a heading is understood best."""
    if len(text) > LONGEST:
        _stop(name, 1, "the file", f"has {len(text):,} signs", f"up to {LONGEST:,} signs", "cut it into several")
    if "\0" in text:
        _stop(name, 1, "the file", "is no text", "a CSV file", "save the table as CSV")
    first, _, rest = text.partition("\n")
    if first.strip().casefold() in ("sep=,", "sep=;", "sep=\t"):
        text, wanted = "#\n" + rest, (first.strip()[-1] if first.strip() else ",",)
    else:
        wanted = DELIMITERS  # type: ignore[assignment]
    tried: list[tuple[tuple[int, int, int], list[list[str]], str, str]] = []
    for delimiter in wanted:
        try:
            rows = rows_of(text, delimiter)
        except csv.Error as error:
            tried.append(((-1, 0, 0), [], delimiter, str(error)))
            continue
        head = next((row for row in rows if any(c.strip() for c in row) and not row[0].lstrip().startswith("#")), [])
        known = _columns(head)
        tried.append(
            ((len(known) if "seconds" in known and "element" in known else 0, len(head), 0), rows, delimiter, "")
        )
    best = max(tried, key=lambda one: one[0])
    broken = next((said for *_, said in tried if said), "")
    if broken and best[0][0] <= 0 and best[0][1] < 2:
        _stop(name, 1, "the file", f"is no CSV: {broken}", "cells in closed quotes", "save it as CSV once more")
    if len(best[1]) > MOST_ROWS:
        _stop(name, MOST_ROWS, "the file", f"has {len(best[1]):,} rows", f"up to {MOST_ROWS:,} rows", "")
    return best[1], best[2]


def _stop(name: str, row: int, read: str, problem: str, allowed: str, todo: str) -> None:
    raise StudyFileError(name, [FileFault(row, 0, "", read, problem, allowed, todo)])


def _columns(row: Sequence[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    for place, cell in enumerate(row):
        name = _BY_WORD.get(as_meant(cell).strip().casefold())
        if name is not None:
            found.setdefault(name, place)
    return found


@dataclass
class _File:
    """A file as it is read: what was understood so far, and what was not."""

    name: str
    decimal_comma: bool
    faults: list[FileFault] = field(default_factory=list)
    texts: dict[str, str] = field(default_factory=dict)
    rating: float = 1.0
    elements: list[TimedElement] = field(default_factory=list)
    allowances: list[Allowance] = field(default_factory=list)
    readings: list[TimedReading] = field(default_factory=list)
    listed: bool = False

    def fault(self, row: int, column: int, name: str, read: str, problem: str, allowed: str, todo: str = "") -> None:
        self.faults.append(FileFault(row, column, name, read, problem, allowed, todo))

    def tried(self, row: int, column: int, name: str, work: Callable[[], T]) -> T | None:
        """What the work gives; None, with the fault noted, where it cannot."""
        try:
            return work()
        except StudyError as error:
            self.fault(row, column, name, error.read, error.problem, error.allowed, error.todo)
        except units.QuantityError as error:
            self.fault(row, column, name, shown(error.read), "is no time", error.allowed, error.hint)
        return None

    # --- the lines before the heading ---------------------------------------------------------------------------------

    def head(self, rows: Sequence[Sequence[str]]) -> int:
        """Read the lines `# key: value`; the number of rows that they take."""
        start = 0
        for start, row in enumerate(rows):
            if not any(cell.strip() for cell in row):
                continue
            if not row[0].lstrip().startswith("#"):
                return start
            self._line(start + 1, row)
        return start + 1

    def _line(self, number: int, row: Sequence[str]) -> None:
        key, colon, value = row[0].lstrip().removeprefix("#").partition(":")
        key = key.strip().casefold()
        if not colon:
            return  # a remark of the writer
        cells = [value.strip(), *(as_meant(cell) for cell in row[1:])]
        text = {"study": "name"}.get(key, key)
        if text in TEXTS:
            # A comma in the text of a file that is parted by commas; nobody quotes a line of words.
            whole = ", ".join(filter(None, (cell.strip() for cell in cells)))
            self.texts[text] = self.tried(number, 1, key, lambda: one_text(whole, key)) or ""
        elif key == "rating":
            self.rating = self.tried(number, 1, key, lambda: rating_of(cells[0])) or 1.0
        elif key == "element":
            one = self.tried(number, 1, key, lambda: element_from(self._element_cells(cells)))
            if one is not None:
                self.elements.append(one)
            self.listed = True
        elif key == "allowance":
            found = self.tried(number, 1, key, lambda: allowance_from(self._allowance_cells(cells)))
            if found is not None:
                self.allowances.append(found)
        else:
            allowed = ("study", *TEXTS[1:], "rating", "element", "allowance")
            self.fault(number, 1, "", shown(key) or "a line", "is no key", listed(allowed), likely_slip(key, allowed))

    def _element_cells(self, cells: Sequence[str]) -> dict[str, Any]:
        what, work, kind, every, because = (*(cell.strip() for cell in cells), "", "", "", "")[:5]
        return {"what": what, "work": work, "kind": kind, "every": _whole(every), "because": because}

    def _allowance_cells(self, cells: Sequence[str]) -> dict[str, Any]:
        key, share, words = (*(cell.strip() for cell in cells), "", "")[:3]
        if "=" in key and key not in BY_KEY:
            key, _, share = (part.strip() for part in key.partition("="))
        number = number_of(share.removesuffix("%"), decimal_comma=True) if share else None
        if share and number is None:
            raise StudyError(
                f"allowance {shown(key)} of {shown(share)}", "is no share", "a share, such as 5 % or 0.05", ""
            )
        return {"key": key, "share": number / 100 if number is not None and "%" in share else number, "words": words}

    # --- one row a reading --------------------------------------------------------------------------------------------

    def long(self, columns: dict[str, int], body: Sequence[tuple[int, Sequence[str]]]) -> None:
        """Read one row a reading; elements that no line named come in the order in which they are met."""
        uids: dict[str, int] = {}
        heading = body[0][1]
        for place, cell in enumerate(heading):
            if cell.strip() and place not in columns.values():
                self.fault(
                    body[0][0], place + 1, "", shown(cell), "is no column", listed(COLUMNS), likely_slip(cell, COLUMNS)
                )
        counts: dict[int, int] = {}
        for number, row in body[1:]:
            cells = {name: as_meant(row[place]).strip() if place < len(row) else "" for name, place in columns.items()}
            at = {name: place + 1 for name, place in columns.items()}
            if len(row) > len(heading) and any(cell.strip() for cell in row[len(heading) :]):
                self.fault(number, len(heading) + 1, "", shown(row[len(heading)]), "stands beyond the heading", "as many cells as the heading has", "is there a comma in a number? put it in quotes")  # fmt: skip
                continue
            seconds = self._seconds(number, at["seconds"], "seconds", cells["seconds"])
            element = self._element(number, at, cells)
            typed = cells.get("cycle", "")
            cycle: int | None
            if typed or "cycle" in columns:
                cycle = self.tried(
                    number, at["cycle"], "cycle", partial(whole_from, _whole(typed), "cycle", 1, MOST_CYCLES)
                )
            else:
                cycle = counts.get(element, 0) + 1 if element is not None else 1
                if element is not None:
                    counts[element] = cycle
            rating = None
            if said := cells.get("rating"):
                rating = self.tried(number, at["rating"], "rating", partial(rating_of, said))
            uid = cells.get("uid") or f"row {number}"
            if uid in uids:
                self.fault(number, at.get("uid", 0), "uid", shown(uid), f"stands in row {uids[uid]} already", "a name of its own for each reading", "")  # fmt: skip
                continue
            uids[uid] = number
            if seconds is None or element is None or cycle is None:
                continue
            self.readings.append(
                TimedReading(
                    uid, cycle, element, seconds, rating, cells.get("set aside", ""), cells.get("note", ""),
                    cells.get("when", ""), cells.get("who", ""), f"row {number} of {self.name}", cells.get("from", ""),
                )
            )  # fmt: skip

    def _seconds(self, row: int, column: int, name: str, cell: str) -> float | None:
        number = number_of(cell, decimal_comma=self.decimal_comma)

        def read() -> float:
            plain = units.parse(with_point(cell), "duration") if number is None else number
            return seconds_from(plain, name)

        return self.tried(row, column, name, read)

    def _element(self, row: int, at: dict[str, int], cells: dict[str, str]) -> int | None:
        what = cells["element"]
        if what.casefold() == FOREIGN:
            return -1
        names = {one.what.casefold(): place for place, one in enumerate(self.elements)}
        said = {name: cells[name] for name in ("work", "kind") if cells.get(name)}
        place = names.get(what.casefold())
        if place is None:
            if self.listed:
                known = [one.what for one in self.elements]
                self.fault(row, at["element"], "element", shown(what) or "an empty cell", "is no element of this study", listed((*known, FOREIGN)), likely_slip(what, known))  # fmt: skip
                return None
            one = self.tried(row, at["element"], "element", lambda: element_from({"what": what, **said}))
            if one is None:
                return None
            self.elements.append(one)
            return len(self.elements) - 1
        for name, value in said.items():
            here = getattr(self.elements[place], name)
            if value.casefold() != here:
                self.fault(row, at[name], name, shown(value), f"differs from {here!r}, said of {what!r} before", here, "one element has one " + name)  # fmt: skip
                return None
        return place

    # --- one column an element ----------------------------------------------------------------------------------------

    def table(self, body: Sequence[tuple[int, Sequence[str]]]) -> None:
        """Read one column an element and one row a cycle."""
        number, heading = body[0]
        cells = [as_meant(cell).strip() for cell in heading]
        width = len(cells)
        while width and not cells[width - 1]:
            width -= 1
        numbered = all(
            number_of(cell.rstrip("* "), decimal_comma=self.decimal_comma) is not None for cell in cells[:width] if cell
        )
        if numbered:
            names = [f"element {place + 1}" for place in range(width)]
            rows, first = body, 0
        else:
            first = 1 if _BY_WORD.get(cells[0].casefold()) == "cycle" or not cells[0] else 0
            names, rows = cells[:width], body[1:]
        said: dict[int, dict[str, Any]] = {place: {} for place in range(width)}
        times = []
        for at, row in rows:
            label = as_meant(row[0]).strip().casefold() if first and row else ""
            if label in _LABELS:
                for place in range(first, min(width, len(row))):
                    if cell := as_meant(row[place]).strip():
                        said[place][label] = _whole(cell) if label == "every" else cell
            else:
                times.append((at, row))
        places: dict[int, int] = {}
        met: list[TimedElement] = list(self.elements)
        for place in range(first, width):
            if names[place].casefold() == FOREIGN:
                places[place] = -1
                continue
            known = next(
                (i for i, one in enumerate(self.elements) if one.what.casefold() == names[place].casefold()), None
            )
            if known is not None:
                places[place] = known
                continue
            one = self.tried(number, place + 1, "heading", partial(element_from, {"what": names[place], **said[place]}))
            if one is None:
                continue
            if self.tried(number, place + 1, "heading", partial(distinct, [*met, one])) is not None:
                places[place] = len(met)
                met.append(one)
        self.elements = met
        for count, (at, row) in enumerate(times, 1):
            cycle: int | None = count
            if first and row[0].strip():
                typed = row[0]
                cycle = self.tried(at, 1, "cycle", partial(whole_from, _whole(typed), "cycle", 1, MOST_CYCLES))
            for place in range(first, len(row)):
                self._cell(at, place, row[place], cycle, places, names)

    def _cell(
        self, row: int, place: int, cell: str, cycle: int | None, places: dict[int, int], names: list[str]
    ) -> None:
        text = as_meant(cell).strip()
        if not text:
            return
        if place >= len(names):
            self.fault(row, place + 1, "", shown(text), "stands beyond the heading", "a cell below an element", "is there a comma in a number? part cells by semicolons")  # fmt: skip
            return
        seconds = self._seconds(row, place + 1, names[place], text.rstrip("* "))
        if seconds is None or cycle is None or place not in places:
            return
        self.readings.append(
            TimedReading(
                f"row {row} column {place + 1}", cycle, places[place], seconds,
                aside=_MARKED if text.endswith("*") else "", where=f"row {row} of {self.name}",
            )
        )  # fmt: skip

    # --- the whole ----------------------------------------------------------------------------------------------------

    def sheet(self) -> StudySheet:
        """The sheet, or every fault."""
        elements = self.tried(1, 0, "", lambda: distinct(self.elements)) if self.elements or not self.faults else ()
        allowances = self.tried(1, 0, "", lambda: one_of_a_group(tuple(self.allowances)))
        if self.faults:
            raise StudyFileError(self.name, self.faults)
        self.texts.setdefault("name", self.name.removesuffix(".csv") or "study")
        texts: dict[str, Any] = self.texts
        return StudySheet(
            elements=elements or (),
            readings=tuple(sorted(self.readings, key=lambda one: one.cycle)),
            rating=self.rating,
            allowances=allowances or (),
            **texts,
        )


def _whole(cell: str) -> object:
    """A whole number where the cell holds one ("3", "3.0"); else the cell as it is."""
    number = number_of(cell, decimal_comma=True) if cell else None
    return cell or None if number is None else (int(number) if number.is_integer() else number)
