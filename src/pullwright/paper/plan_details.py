"""How much of a chapter of the plan stands on paper, from its sentence alone to all of it, and how what is left out is said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Detail:
    """How much of a chapter: so many `tables` of so many `rows`, those `behind` the others too, so many `reasons`, the `notes` of its tables."""

    rows: int
    tables: int
    reasons: int
    notes: bool = True
    behind: bool = False


ALL = 10_000
DETAILS = (
    Detail(0, 0, 0),
    Detail(3, 1, 0, notes=False),
    Detail(6, 1, 1, notes=False),
    Detail(10, 1, 2),
    Detail(14, 1, 3),
    Detail(14, 2, 3),
    Detail(18, 2, 4),
    Detail(24, 3, 6),
    Detail(36, ALL, 8),
    Detail(ALL, ALL, ALL),
    Detail(ALL, ALL, ALL, behind=True),
)
"""From little to all."""
BARS_FOR_ONE = 2
"""Rows with a bar that are shown for one of other tables: together they are a drawing."""
ENOUGH = ((8.5, 5), (8.0, 3), (7.5, 2))
"""Sizes of letters (points) that may be gone down to so that every chapter has this much detail, the best first."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What of a chapter is shown: its tables by their place among its tables, each with the places of its rows."""

    tables: tuple[tuple[int, tuple[int, ...]], ...]
    reasons: int
    notes: bool


def shown(chapter: dict[str, Any], detail: Detail) -> Shown:
    """What of a chapter stands on paper in this detail?"""
    allowed = [place for place, table in enumerate(chapter["tables"]) if detail.behind or not table["behind"]]
    # A table with bars is the drawing of its chapter: it comes before all others.
    ranked = sorted(allowed, key=lambda place: (chapter["tables"][place]["bar"] is None, place))
    chosen = sorted(ranked[: detail.tables])
    tables = tuple((place, _rows(chapter["tables"][place], detail.rows)) for place in chosen)
    return Shown(tables, min(detail.reasons, len(chapter["reasons"])), detail.notes)


def _rows(table: dict[str, Any], most: int) -> tuple[int, ...]:
    """Which rows are shown: all, or first those that are out of place, in the order in which they stand; one row left out is shown instead."""
    rows = table["rows"]
    if table["bar"] is not None:
        most *= BARS_FOR_ONE
    if len(rows) <= most + 1:
        return tuple(range(len(rows)))
    ranked = sorted(range(len(rows)), key=lambda place: (not rows[place]["look"], place))
    return tuple(sorted(ranked[:most]))


def left_out(chapter: dict[str, Any], chosen: Shown, columns: dict[int, list[str]], plain: list[int]) -> str:
    """What of a chapter is left out, as a sentence; empty where it is all there.

    `columns`: the columns left out of each shown table; `plain`: shown tables without their intervals.
    """
    said = []
    for place, rows in chosen.tables:
        table = chapter["tables"][place]
        missing = len(table["rows"]) - len(rows)
        if missing:
            first = ", of which those out of place are shown first" if any(row["look"] for row in table["rows"]) else ""
            said.append(f"{missing} of {len(table['rows'])} rows of “{table['caption']}”{first}")
        if columns.get(place):
            said.append(f"{' and '.join(f'“{words}”' for words in columns[place])} in “{table['caption']}”")
        if place in plain:
            said.append(f"the intervals in “{table['caption']}”")
    there = {place for place, _ in chosen.tables}
    tables = [table["caption"] for place, table in enumerate(chapter["tables"]) if place not in there]
    if tables:
        named = ", ".join(f"“{caption}”" for caption in tables[:4])
        more = f" and {len(tables) - 4} more" if len(tables) > 4 else ""
        said.append(f"the {'table' if len(tables) == 1 else 'tables'} {named}{more}")
    reasons = len(chapter["reasons"]) - chosen.reasons
    if reasons:
        said.append(f"{reasons} {'sentence' if reasons == 1 else 'sentences'} that say why")
    if not chosen.notes and any(chapter["tables"][place]["notes"] for place, _ in chosen.tables):
        said.append("notes")
    return f"For want of room without {'; '.join(said)}." if said else ""
