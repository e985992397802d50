"""Chapters of a plan on a terminal: words, tables and reasons; and the same as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from pullwright.survey.planned.chapter import Cell, Chapter, PlanTable


def show_chapter(console: Console, chapter: Chapter, currency: str, *, whole: bool) -> None:
    """Print a chapter; `whole`: with the tables that stand behind the others."""
    console.print(chapter.title, markup=False, style="bold")
    say(console, chapter.refused or chapter.sentence)
    for one in chapter.binding:
        say(console, f"  cannot hold together: {one}")
    if chapter.instead:
        say(console, f"  What does work: {chapter.instead}")
    for table in chapter.tables:
        if table.behind and not whole:
            continue
        console.print()
        console.print(plan_table(table, currency))
        for note in table.notes:
            say(console, f"  {note}")
    for reason in chapter.reasons:
        say(console, f"  Why: {reason}")


def plan_table(table: PlanTable, currency: str) -> Table:
    """A table of a plan, its figures in the currency of the line."""
    from rich.table import Table
    from rich.text import Text

    made = Table(box=None, pad_edge=False, title=table.caption, title_justify="left", title_style="italic")
    for k, heading in enumerate(("", *table.columns)):
        said = any(isinstance(row.cells[k - 1], str) for row in table.rows) if k else True
        made.add_column(heading, justify="left" if said else "right")
    for row in table.rows:
        first = f"{row.words}  <- {row.look}" if row.look else row.words
        first += f" ({row.below})" if row.below else ""
        made.add_row(Text(first), *(Text(_cell(cell, currency)) for cell in row.cells))
    return made


def _cell(cell: Cell, currency: str) -> str:
    return "" if cell is None else cell if isinstance(cell, str) else cell.text(currency)


def say(console: Console, words: str) -> None:
    """Print words as they are, wrapped by the terminal."""
    console.print(words, markup=False, soft_wrap=True)


def chapter_json(chapter: Chapter, currency: str) -> dict[str, Any]:
    """A chapter as plain values."""
    from pullwright.figure.as_plain import as_plain

    def cell(one: Cell) -> Any:
        return one if one is None or isinstance(one, str) else as_plain(one, currency)

    return {
        "key": chapter.key, "title": chapter.title, "sentence": chapter.sentence, "look": chapter.look, "refused": chapter.refused,
        "binding": list(chapter.binding), "instead": chapter.instead, "reasons": list(chapter.reasons),
        "tables": [
            {
                "caption": table.caption, "columns": list(table.columns), "notes": list(table.notes),
                "rows": [{"words": row.words, "cells": [cell(one) for one in row.cells], "look": row.look, "below": row.below} for row in table.rows],
            }
            for table in chapter.tables
        ],
        "changes": [{"path": list(change.path), "written": change.written, "because": change.because} for change in chapter.changes],
    }  # fmt: skip
