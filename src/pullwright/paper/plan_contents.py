"""What stands on the plan sheet: the words and figures of a plan, as plain values for the template."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from math import isfinite
from typing import Any

from pullwright.figure import Figure
from pullwright.paper.words import figure_words, minute_words, printable, shortened, typed_file
from pullwright.survey.caution import caution_of
from pullwright.survey.planned.chapter import Cell, Chapter, PlanRow, PlanTable
from pullwright.survey.planned.planned import Planned

BETWEEN = "In brackets: nine times in ten the figure lies between these two."
BARS = "Bars: work against takt (upright line); over it, in outline, what does not fit into the takt."
INVENTED = "All data of this line is invented."
AGAINST_TAKT = frozenset(("of takt", "of the takt", "load", "load against takt", "load of takt", "of its takt"))
"""Columns of shares that are drawn as bars too: how much of the takt is filled."""
_LONGEST = 600
"""Letters of one thing said; longer ones are cut, with "…"."""
_LONGEST_CELL = 100
_LONGEST_TITLE = 140
_MOST_BAR = 4.0
"""Shares above this are drawn as long as this; the number beside the bar says how much they are."""


def plan_contents(planned: Planned, revision: str, wished: str, printed: datetime) -> dict[str, Any]:
    """Everything on the sheet, whole; what of it has room is chosen by `plan_fit`."""
    line = planned.plan.line
    chapters = [_chapter(chapter, line.currency) for chapter in planned.chapters]
    tables = [table for chapter in chapters for table in chapter["tables"]]
    notes = (
        [BETWEEN] if any(cell["interval"] for table in tables for row in table["rows"] for cell in row["cells"]) else []
    )
    notes += [BARS] if any(table["bar"] is not None for table in tables) else []
    notes += [INVENTED] if line.invented else []
    file = typed_file(line.file)
    facts = (
        ("line file", line.file), ("revision", revision), ("wished", wished), ("printed", minute_words(printed)),
    )  # fmt: skip
    first = next((figure.name for chapter in planned.chapters for figure in chapter.figures()), "")
    return {
        "title": printable(shortened(f"{line.line}: pull plan", _LONGEST_TITLE)),
        "sentence": _said(planned.sentence),
        "look": planned.look,
        "invented": line.invented,
        "facts": [[name, printable(shortened(words, _LONGEST_TITLE))] for name, words in facts if words],
        "chapters": chapters,
        "notes": notes,
        "caution": _said(caution_of(line)),
        "all": f"pullwright plan {file}",
        "why": printable(f'pullwright plan {file} --why "{first}"') if first else "",
    }  # fmt: skip


def _said(words: str) -> str:
    return printable(shortened(words, _LONGEST))


def _chapter(chapter: Chapter, currency: str) -> dict[str, Any]:
    return {
        "key": chapter.key,
        "title": _said(chapter.title),
        "sentence": _said(chapter.sentence),
        "look": chapter.look,
        "refused": _said(chapter.refused),
        "binding": [_said(one) for one in chapter.binding],
        "instead": _said(chapter.instead),
        "reasons": [_said(one) for one in chapter.reasons],
        "tables": [_table(table, currency) for table in chapter.tables if table.rows],
    }


def _table(table: PlanTable, currency: str) -> dict[str, Any]:
    table = _without_empty(table)
    rows = [[_cell(cell, currency) for cell in row.cells] for row in table.rows]
    columns = []
    for place, words in enumerate(table.columns):
        cells = [row.cells[place] for row in table.rows]
        numbers = any(isinstance(cell, Figure) for cell in cells)
        units = {rows[k][place]["unit"] for k, cell in enumerate(cells) if isinstance(cell, Figure)}
        # A unit that all share stands once, over them.
        unit = units.pop() if len(units) == 1 and not any(isinstance(cell, str) for cell in cells) else ""
        if unit:
            for row in rows:
                row[place]["unit"] = ""
        columns.append({"words": _said(words), "unit": unit, "numbers": numbers})
    bar = next((place for place, words in enumerate(table.columns) if _is_load(table, place, words)), None)
    return {
        "caption": _said(table.caption),
        "columns": columns,
        "rows": [
            {"words": printable(shortened(row.words, _LONGEST_CELL)), "look": printable(row.look), "cells": cells, "bar": _bar(row, bar)}
            for row, cells in zip(table.rows, rows, strict=True)
        ],
        "notes": [_said(note) for note in table.notes],
        "behind": table.behind,
        "bar": bar,
        "scale": max((_bar(row, bar)["high"] for row in table.rows), default=1.0) if bar is not None else 1.0,
    }  # fmt: skip


def _without_empty(table: PlanTable) -> PlanTable:
    """The same without columns in which no row says anything."""
    kept = [
        place for place in range(len(table.columns)) if any(row.cells[place] not in (None, "") for row in table.rows)
    ]
    if len(kept) == len(table.columns):
        return table
    rows = tuple(replace(row, cells=tuple(row.cells[place] for place in kept)) for row in table.rows)
    return replace(table, columns=tuple(table.columns[place] for place in kept), rows=rows)


def _cell(cell: Cell, currency: str) -> dict[str, str]:
    if isinstance(cell, Figure):
        return figure_words(cell, currency)
    return {"value": printable(shortened(cell or "", _LONGEST_CELL)), "unit": "", "interval": ""}


def _is_load(table: PlanTable, place: int, words: str) -> bool:
    cells = [row.cells[place] for row in table.rows]
    shares = [cell for cell in cells if isinstance(cell, Figure) and cell.unit == "share"]
    return words.strip().lower() in AGAINST_TAKT and len(shares) == len(cells) > 0


def _bar(row: PlanRow, bar: int | None) -> dict[str, float]:
    """How long a bar is: its share of the takt, between which two it lies, and at least 1 for the scale of all."""
    cell = None if bar is None else row.cells[bar]
    if not isinstance(cell, Figure):
        return {"value": 0.0, "low": 0.0, "top": 0.0, "high": 1.0}
    low, top = (_drawn(edge) for edge in cell.interval())
    return {"value": _drawn(cell.value), "low": low, "top": top, "high": max(1.0, _drawn(cell.value), top)}


def _drawn(share: float) -> float:
    return min(max(share, 0.0), _MOST_BAR) if isfinite(share) else _MOST_BAR
