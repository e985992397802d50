"""What a chart is when it is done: the picture twice, a sentence, and the table with the same numbers."""

from __future__ import annotations

from dataclasses import dataclass


class ChartError(ValueError):
    """What was handed in cannot be drawn; the message says what was read, what is allowed and what to do."""


@dataclass(frozen=True, slots=True)
class ChartTable:
    """The numbers of a chart in words, one row after another; `note` says what was put together, if anything was."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Chart:
    """A picture for a desk, the same for a phone, and its numbers.

    `title` names it, `caption` says in a sentence what is seen; `note` says what was thinned or left out of the picture.
    Both pictures are SVG text with escaped names, no script, no style, and ids of their own.
    """

    svg_wide: str
    svg_narrow: str
    table: ChartTable
    title: str = ""
    caption: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Level:
    """A level that runs across a chart: its words and its value. `look` is the word beside the mark when it is out of place."""

    words: str
    value: float
    look: str = ""
