"""A table of tasks (CSV) as work with conditions: one row a task, columns in any order, headings as people write them.

The form is described in docs/pull-balance-wishes.md. Every fault is found at once, each with its line and column.
"""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from pullwright.figure import Figure, Source, given
from pullwright.line import units
from pullwright.line.faults import MOST_FAULTS, Fault, likely_slip, listed, nearest, shown
from pullwright.pull.balance.wishes import Conditions
from pullwright.pull.balance.work import Element, Work
from pullwright.pull.errors import BadPlanInput
from pullwright.watch.study.csv_cells import DELIMITERS, as_meant, number_of, with_point

COLUMNS: dict[str, tuple[str, ...]] = {
    "task": ("element", "name", "what", "work", "operation"),
    "time": ("seconds", "duration", "s", "task time", "mean"),
    "after": ("before it", "predecessors", "follows", "comes after", "needs"),
    "deviation": ("standard deviation", "sd", "swing"),
    "cv": ("variation",),
    "skill": ("trade", "skills"),
    "zone": ("side", "area", "part of the hall"),
    "together": ("together with", "with", "same post"),
    "apart": ("apart from", "not with"),
    "left of": ("left", "earlier than"),
    "post": ("fixed", "fixed post", "at post"),
    "x": ("along",),
    "y": ("across",),
    "station": ("place", "machine"),
    "note": ("notes", "remark", "because"),
}
"""The columns of a table of tasks, with other words by which they may go. Only `task` and `time` are needed."""
_BY_WORD = {word: name for name, also in COLUMNS.items() for word in (name, *also)}
_HINTED = [word for word, name in _BY_WORD.items() if word == name or len(word) > 4]
"""Words that are named where a heading is near to one; short ones are near to too much."""
MOST_TASKS = 2_000
LONGEST = 5_000_000


class TasksFileError(BadPlanInput):
    """A table of tasks that cannot be read: `faults` holds every fault, in the order of the file."""

    def __init__(self, name: str, faults: Iterable[Fault]) -> None:
        found = sorted(faults, key=lambda fault: (fault.line, fault.column))
        self.name, self.faults, self.more = name, tuple(found[:MOST_FAULTS]), max(0, len(found) - MOST_FAULTS)
        lines = [
            f"{name}: {len(found):,} {'fault' if len(found) == 1 else 'faults'}",
            *(f"  {one}" for one in self.faults),
        ]
        lines += [f"  and {self.more:,} more that are not listed"] if self.more else []
        super().__init__("\n".join(lines))

    def __reduce__(self) -> tuple[type[TasksFileError], tuple[str, tuple[Fault, ...]]]:
        return type(self), (self.name, self.faults)


@dataclass(frozen=True)
class Tasks:
    """What stands in a table of tasks: the work, what its columns wish, and the time of each task as a figure (s)."""

    work: Work
    conditions: Conditions
    times: dict[str, Figure]


def read_tasks(text: str, name: str = "tasks.csv") -> Tasks:
    """Which work stands in this table, and what is wished of its balance?

    `text`: the whole file, its cells parted by comma, semicolon or tab; `name`: how faults call it. Plain times are seconds, plain places metres;
    others carry their unit ("1.5 min"). Cells with several names part them by `;`. Lines that begin with # are left out.
    Errors: `TasksFileError` with every fault.

    >>> tasks = read_tasks("task,time,after,apart\\ncut,20,,\\nglue,0.5 min,cut,\\npack,10 s,glue; cut,cut\\n")
    >>> tasks.work.names, tasks.work.total, tasks.work.elements[2].after, tasks.conditions.apart
    (('cut', 'glue', 'pack'), 60.0, ('glue', 'cut'), (('pack', 'cut'),))
    """
    table = _Table(name)
    table.read(text.removeprefix("\ufeff"))
    return table.tasks()


@dataclass
class _Row:
    """One task as it was read: its line, and its cells by column (place, text)."""

    line: int
    cells: dict[str, tuple[int, str]]

    def text(self, column: str) -> str:
        return self.cells.get(column, (0, ""))[1]

    def names(self, column: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(one.strip() for one in self.text(column).split(";") if one.strip()))


@dataclass
class _Table:
    """A table as it is read: what was understood so far, and what was not."""

    name: str
    faults: list[Fault] = field(default_factory=list)
    rows: list[_Row] = field(default_factory=list)
    comma: bool = False

    def fault(
        self, line: int, column: int, where: str, read: str, allowed: str, hint: str = "", message: str = ""
    ) -> None:
        self.faults.append(Fault(line, column, where, shown(read), allowed, hint, message))

    # --- cells --------------------------------------------------------------------------------------------------

    def read(self, text: str) -> None:
        """Read rows and columns."""
        if len(text) > LONGEST or "\0" in text:
            self.fault(1, 1, "the file", f"{len(text):,} signs", f"a table of tasks (CSV) of up to {LONGEST:,} signs")
            return
        head = next((line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")), "")
        delimiter = max(DELIMITERS, key=lambda one: (_known(head, one), head.count(one)))
        self.comma = delimiter != ","
        rows = list(itertools.islice(self._rows(text, delimiter), MOST_TASKS + 2))
        if self.faults:
            return
        if len(rows) > MOST_TASKS + 1:
            self.fault(rows[-1][0], 1, "the file", f"more than {MOST_TASKS:,} tasks", f"up to {MOST_TASKS:,} tasks")
            return
        if not rows:
            self.fault(1, 1, "the file", "nothing", "a heading with task and time, then one row a task")
            return
        columns = self._columns(*rows[0])
        if self.faults:
            return
        for line, cells in rows[1:]:
            self._row(line, cells, columns)
        if not self.rows and not self.faults:
            self.fault(rows[0][0], 1, "the file", "a heading alone", "one row a task below it")

    def _rows(self, text: str, delimiter: str) -> Iterable[tuple[int, list[str]]]:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
        begins = 1
        try:
            for cells in reader:
                line, begins = begins, reader.line_num + 1
                if any(cell.strip() for cell in cells) and not cells[0].lstrip().startswith("#"):
                    yield line, [as_meant(cell).strip() for cell in cells]
        except csv.Error as error:
            self.fault(begins, 1, "the row", str(error), "cells in closed quotes", "save it as CSV once more")

    def _columns(self, line: int, cells: list[str]) -> dict[str, int]:
        found: dict[str, int] = {}
        for place, cell in enumerate(cells):
            word = " ".join(cell.casefold().replace("_", " ").split())
            name = _BY_WORD.get(word)
            if not word:
                continue
            if name is None:
                near = nearest(word, _HINTED)
                meant = _BY_WORD.get(near, "")
                slip = (
                    ""
                    if not near
                    else f"did you mean {meant}?"
                    if near == meant
                    else f"did you mean {meant}, which may also be called {near}?"
                )
                self.fault(line, place + 1, "heading", cell, f"one of: {listed(COLUMNS, 20)}", slip)
            elif name in found:
                self.fault(
                    line,
                    place + 1,
                    "heading",
                    cell,
                    "each column once",
                    message=f"{cell!r} and column {found[name] + 1} both mean {name}",
                )
            else:
                found[name] = place
        for name in ("task", "time"):
            if name not in found and not self.faults:
                self.fault(
                    line,
                    1,
                    "heading",
                    listed(cells),
                    f"a column {name}",
                    message=f"there is no column {name}; allowed: {listed(COLUMNS, 20)}",
                )
        return found

    def _row(self, line: int, cells: list[str], columns: dict[str, int]) -> None:
        if len(cells) > len(columns) and any(
            cells[place] for place in range(len(cells)) if place not in columns.values()
        ):
            self.fault(
                line,
                1,
                "the row",
                f"{len(cells)} cells",
                f"{len(columns)} cells, as in the heading",
                "names in one cell are parted by ; in quotes where ; parts the cells",
            )
        self.rows.append(
            _Row(
                line,
                {
                    name: (place + 1, cells[place])
                    for name, place in columns.items()
                    if place < len(cells) and cells[place]
                },
            )
        )

    def _number(self, row: _Row, column: str, dimension: str) -> float | None:
        place, text = row.cells.get(column, (0, ""))
        if not text:
            return None
        plain = number_of(text, decimal_comma=self.comma)
        key = {"duration": "s", "position": "m"}.get(dimension, "")
        try:
            return units.parse(f"{plain!r} {key}".strip() if plain is not None else with_point(text), dimension)  # type: ignore[return-value]
        except units.QuantityError as error:
            self.fault(row.line, place, column, text, error.allowed, error.hint, str(error))
            return None

    # --- tasks --------------------------------------------------------------------------------------------------

    def tasks(self) -> Tasks:
        """The work and its conditions; TasksFileError where anything is wrong."""
        lines: dict[str, int] = {}
        for row in self.rows:
            name = row.text("task")
            if not name:
                self.fault(row.line, 1, "task", "nothing", "a name for each task")
            elif name in lines:
                self.fault(
                    row.line,
                    row.cells["task"][0],
                    "task",
                    name,
                    "a name that stands once",
                    message=f"{name!r} is a task already, in line {lines[name]}",
                )
            elif ";" in name:
                self.fault(
                    row.line,
                    row.cells["task"][0],
                    "task",
                    name,
                    "a name without ;",
                    message=f"{name!r} has a ; in it, which parts names",
                )
            lines.setdefault(name, row.line)
        for row in self.rows:
            for column in ("after", "together", "apart", "left of"):
                for name in row.names(column):
                    if name not in lines:
                        self.fault(
                            row.line,
                            row.cells[column][0],
                            column,
                            name,
                            f"one of: {listed(lines)}",
                            likely_slip(name, lines),
                            f"there is no task {shown(name)!r}",
                        )
                    elif name == row.text("task"):
                        self.fault(
                            row.line,
                            row.cells[column][0],
                            column,
                            name,
                            "other tasks",
                            message=f"{name!r} stands in its own row",
                        )
        elements = [self._element(row) for row in self.rows]
        if elements and not self.faults and not any(element.time for element in elements):
            self.fault(
                self.rows[0].line, self.rows[0].cells["time"][0], "time", "0 in every row", "a time above 0 s in one row at least",
                message="every task takes no time at all: there is nothing to share out",
            )  # fmt: skip
        has = self._conditions()
        if self.faults:
            raise TasksFileError(self.name, self.faults)
        try:
            return Tasks(Work.of(elements), has, self._times(elements))
        except BadPlanInput as error:
            raise TasksFileError(
                self.name, [Fault(0, 0, "after", "a circle", "an order without circles", message=str(error))]
            ) from error

    def _times(self, elements: list[Element]) -> dict[str, Figure]:
        return {
            element.name: given(
                f"time / {element.name}",
                element.time,
                "s",
                Source("table", f"time of {element.name}", self.name, row.line),
            )
            for row, element in zip(self.rows, elements, strict=True)
        }

    def _element(self, row: _Row) -> Element:
        time = self._number(row, "time", "duration")
        if time is None and not row.text("time"):
            self.fault(row.line, 1, "time", "nothing", "a time for each task, such as 45 s")
        deviation, cv = self._number(row, "deviation", "duration"), self._number(row, "cv", "factor")
        if deviation is not None and cv is not None:
            self.fault(
                row.line,
                row.cells["cv"][0],
                "cv",
                row.text("cv"),
                "a deviation or a cv",
                message="a deviation and a cv are given; leave one of them out",
            )
        x, y = self._number(row, "x", "position"), self._number(row, "y", "position")
        if (x is None) != (y is None) and not (row.text("x") and row.text("y")):
            missing = "y" if row.text("x") else "x"
            self.fault(
                row.line,
                1,
                missing,
                "nothing",
                "x and y together",
                message=f"a place needs x and y, and {missing} is missing",
            )
        swing = deviation if deviation is not None else (cv or 0.0) * (time or 0.0)
        return Element(
            row.text("task"), time or 0.0, row.names("after"), swing, row.text("skill"), None if x is None or y is None else (x, y), row.text("station"),
        )  # fmt: skip

    def _conditions(self) -> Conditions:
        fixed: list[tuple[str, int]] = []
        zones: dict[str, list[str]] = {}
        pairs: dict[str, list[tuple[str, str]]] = {"together": [], "apart": [], "left of": []}
        for row in self.rows:
            name = row.text("task")
            if (post := self._number(row, "post", "count")) is not None:
                if post < 1:
                    self.fault(
                        row.line, row.cells["post"][0], "post", row.text("post"), "1 (where the work begins) or more"
                    )
                fixed.append((name, int(post)))
            if zone := row.text("zone"):
                zones.setdefault(zone, []).append(name)
            for column, found in pairs.items():
                for other in row.names(column):
                    if column == "left of" or (other, name) not in found:
                        found.append((name, other))
        made: dict[str, Any] = {
            "together": tuple(pairs["together"]),
            "apart": tuple(pairs["apart"]),
            "left_of": tuple(pairs["left of"]),
        }
        return Conditions(
            fixed=tuple(fixed), zones=tuple((zone, tuple(names)) for zone, names in zones.items()), **made
        )


def _known(head: str, delimiter: str) -> int:
    return sum(
        " ".join(cell.strip(' "').casefold().replace("_", " ").split()) in _BY_WORD for cell in head.split(delimiter)
    )
