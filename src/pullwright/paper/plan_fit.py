"""How a plan fits on one page: the largest letters with which every chapter has a good part of its detail, then as much more as there is room for."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from math import floor, inf
from typing import Any

from pullwright.draw.ink import FAINT, INK, LOOK, PENCIL
from pullwright.paper import page
from pullwright.paper.packing import dealt, evenly
from pullwright.paper.plan_columns import GUTTER as TABLE_GUTTER
from pullwright.paper.plan_columns import Columns, columns_of
from pullwright.paper.plan_details import DETAILS, ENOUGH, Detail, left_out, shown
from pullwright.paper.press import measured

TEMPLATE = "plan_sheet.typ"
LINE = 38.0
"""How long a line of a column is at least, in letters' sizes (em): about 85 letters."""
GUTTER = 2.4
"""Between columns, in em."""
MEASURED_AT = 10.0
ROW = 1.1
"""The least height of a row, in em."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper lying on its long side: width and height in points, and the sizes that its smallest letters may have, the best first."""

    width: float
    height: float
    margin: float
    letters: tuple[float, ...]

    @property
    def room(self) -> float:
        """Points from margin to margin."""
        return self.width - 2 * self.margin

    @property
    def depth(self) -> float:
        """Points from the upper margin to the lower."""
        return self.height - 2 * self.margin


A3 = Paper(page.WIDTH, page.HEIGHT, page.MARGIN, (12.0, 10.5, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0))
A4 = Paper(page.HEIGHT, 210.0 / 25.4 * 72, page.MARGIN, (11.0, 10.0, 9.0, 8.5, 8.0, 7.5, 6.5))
"""ISO 216."""


Part = dict[str, Any]
"""What stays whole: the opening of a chapter with its first table, a further table, or its reasons with what is left out."""


@dataclass(frozen=True, slots=True)
class Layout:
    """A page set: the size of its letters, the width of its columns (points), the detail of each chapter that is told, and the parts in each column."""

    letters: float
    width: float
    details: tuple[int, ...]
    columns: list[list[Part]]

    def has(self, chapters: int, detail: int) -> bool:
        """Are so many chapters there, each with so much detail at least?"""
        return len(self.details) == chapters and all(one >= detail for one in self.details)


def ready_plan(said: dict[str, Any], paper: Paper) -> dict[str, Any]:
    """Everything that the template takes, chosen so that it has room on one page."""
    data = said | {
        "page": {"width": paper.width, "height": paper.height, "margin": paper.margin},
        "faces": [page.FACE, page.FACE_OF_COMMANDS],
        "inks": {"ink": INK, "pencil": PENCIL, "faint": FAINT, "look": LOOK},
        "gutter": GUTTER,
        "table_gutter": TABLE_GUTTER,
    }
    sizes = measured(TEMPLATE, data | {"measure": "widths", "letters": MEASURED_AT})
    letters = _best(
        paper.letters, len(said["chapters"]), lambda letters, most: _told(data, sizes, paper, letters, most)
    )
    layout = _told(data, sizes, paper, letters)
    return data | {
        "measure": "",
        "letters": layout.letters,
        "width": layout.width,
        "columns": layout.columns,
        "more": [chapter["title"] for chapter in said["chapters"][len(layout.details) :]],
    }


def _best(letters: tuple[float, ...], chapters: int, at: Callable[[float, int], Layout]) -> float:
    """The largest letters with enough detail, where enough is less before letters get small; else the smallest.

    `at` lays the page with these letters and so much detail at most: to know whether there is enough, no more is measured.
    """
    found: dict[float, tuple[int, Layout]] = {}

    def has(size: float, detail: int) -> bool:
        if size not in found or found[size][0] < detail:
            found[size] = detail, at(size, detail)
        return found[size][1].has(chapters, detail)

    for least, detail in ENOUGH:
        allowed = [one for one in letters if one >= least]
        if not has(allowed[-1], detail):
            continue
        too_large, fits = -1, len(allowed) - 1
        while fits - too_large > 1:
            middle = (too_large + fits) // 2
            if has(allowed[middle], detail):
                fits = middle
            else:
                too_large = middle
        return allowed[fits]
    return letters[-1]


def _told(data: dict[str, Any], sizes: Any, paper: Paper, letters: float, most: int = len(DETAILS) - 1) -> Layout:
    """The page with these letters: as many chapters as there is room for, then as much of each as there is room for, up to the detail `most`."""
    count = max(floor((paper.room / letters + GUTTER) / (LINE + GUTTER)), 1)
    across = (paper.room / letters + GUTTER) / count - GUTTER
    variants = [
        _variants(place, chapter, size, across, most)
        for place, (chapter, size) in enumerate(zip(data["chapters"], sizes, strict=True))
    ]
    # Many parts are alike in several details: each is measured once.
    parts = {
        _key(part): part
        for details in variants
        for variant in details
        for part in variant
        if _may_fit(part, paper.depth / letters)
    }
    asked = {"measure": "heights", "letters": letters, "width": across * letters, "parts": list(parts.values())}
    answer = measured(TEMPLATE, data | asked)
    height = dict(zip(parts, answer["parts"], strict=True))
    room = paper.depth - answer["around"]
    heights = [[[height.get(_key(part), inf) for part in variant] for variant in details] for details in variants]

    def has_room(details: Sequence[int]) -> bool:
        return dealt([heights[place][detail] for place, detail in enumerate(details)], count, room) is not None

    told = len(variants)
    while told > 1 and not has_room([0] * told):
        told -= 1
    details = [0] * told
    for detail in range(1, most + 1):
        for place in range(told):
            if details[place] == detail - 1:
                more = [*details[:place], detail, *details[place + 1 :]]
                if has_room(more):
                    details = more
    even = evenly([heights[place][detail] for place, detail in enumerate(details)], count, room)
    columns = [[variants[chapter][details[chapter]][part] for chapter, part in column] for column in even]
    return Layout(letters, across * letters, tuple(details), columns)


def _may_fit(part: Part, depth: float) -> bool:
    """What has more rows than a page (em) has lines needs no measuring."""
    return sum(len(table["rows"]) for table in part["tables"]) * ROW < depth


def _key(part: Part) -> str:
    return json.dumps(part, sort_keys=True)


def _variants(place: int, chapter: dict[str, Any], sizes: Any, across: float, most: int) -> list[list[Part]]:
    """The parts of a chapter in every detail up to `most`."""
    columns = [columns_of(table, size, across) for table, size in zip(chapter["tables"], sizes, strict=True)]
    return [_parts(place, chapter, columns, detail) for detail in DETAILS[: most + 1]]


def _parts(place: int, chapter: dict[str, Any], columns: list[Columns], detail: Detail) -> list[Part]:
    chosen = shown(chapter, detail)
    tables = [{"table": table, "rows": rows, "set": asdict(columns[table])} for table, rows in chosen.tables]
    plain = {"chapter": place, "opens": False, "tables": [], "notes": chosen.notes, "reasons": 0, "out": ""}
    parts = [plain | {"opens": True, "tables": tables[:1]}, *(plain | {"tables": [table]} for table in tables[1:])]
    out = left_out(chapter, chosen, _columns_missing(chapter, columns), _without_intervals(chapter, columns))
    if chosen.reasons or out:
        parts.append(plain | {"reasons": chosen.reasons, "out": out})
    return parts


def _columns_missing(chapter: dict[str, Any], columns: list[Columns]) -> dict[int, list[str]]:
    return {
        place: [column["words"] for k, column in enumerate(table["columns"]) if k not in columns[place].kept]
        for place, table in enumerate(chapter["tables"])
    }


def _without_intervals(chapter: dict[str, Any], columns: list[Columns]) -> list[int]:
    return [place for place, table in enumerate(chapter["tables"]) if columns[place].form == "plain" and _spread(table)]


def _spread(table: dict[str, Any]) -> bool:
    return any(cell["interval"] for row in table["rows"] for cell in row["cells"])
