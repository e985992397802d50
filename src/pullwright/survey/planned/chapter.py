"""One chapter of a plan as it is told: a sentence, tables of figures, and the reasons."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pullwright.figure import Figure
from pullwright.pull.changes import Change

Cell = Figure | str | None


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One row: its words, its cells (a figure that answers why, words, or nothing), the word of what is out of place, and smaller words below its own."""

    words: str
    cells: tuple[Cell, ...]
    look: str = ""
    below: str = ""


@dataclass(frozen=True, slots=True)
class PlanTable:
    """Rows under a caption; `columns` names the cells of a row. `notes` are what has to be said under it.

    `behind`: it stands behind the others; a page shows it folded, a print leaves it out first.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[PlanRow, ...]
    notes: tuple[str, ...] = ()
    behind: bool = False

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row.cells) != len(self.columns):
                raise ValueError(
                    f"{self.caption}: {row.words} has {len(row.cells)} cells for {len(self.columns)} columns"
                )


@dataclass(frozen=True, slots=True)
class Chapter:
    """One part of a plan.

    `sentence`: what was found; `look`: something of it is out of place. `reasons`: why it is like that, sentence by sentence. `refused`: why there
    is no such plan, with `binding`, the wishes that cannot hold together, and `instead`, the nearest that works, of which `works` are single wishes as they are typed. `changes`: what it changes in the line file. `wishes`: the chapter of wishes
    that bear on it; empty where none do.
    """

    key: str
    title: str
    sentence: str
    look: bool = False
    tables: tuple[PlanTable, ...] = ()
    reasons: tuple[str, ...] = ()
    refused: str = ""
    binding: tuple[str, ...] = ()
    instead: str = ""
    works: tuple[tuple[str, str], ...] = ()
    changes: tuple[Change, ...] = ()
    wishes: str = ""

    def figures(self) -> Iterator[Figure]:
        """Every figure in its tables."""
        for table in self.tables:
            for row in table.rows:
                for cell in row.cells:
                    if isinstance(cell, Figure):
                        yield cell


def every_figure(chapters: Iterable[Chapter]) -> dict[str, Figure]:
    """Every figure of these chapters by name, those too that others are made from, down to the given ones."""
    return figures_below(figure for chapter in chapters for figure in chapter.figures())


def figures_below(figures: Iterable[Figure]) -> dict[str, Figure]:
    """These figures by name, and those that they are made from, down to the given ones."""
    found: dict[str, Figure] = {}
    waiting = deque(figures)
    while waiting:
        figure = waiting.popleft()
        if figure.name not in found:
            found[figure.name] = figure
            waiting.extend(figure.inputs)
    return found
