"""A chart on its way to a page: the two pictures for people, the table for people and for programs."""

from __future__ import annotations

from pydantic import Field

from pullwright.draw.charts import Chart
from pullwright.web.pieces import Piece


class Charted(Piece):
    """A chart as a page shows it; a program gets its words and its table."""

    title: str
    caption: str
    note: str
    table_caption: str
    table_note: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    wide: str = Field(exclude=True)
    narrow: str = Field(exclude=True)


def charted(chart: Chart) -> Charted:
    """Return what a page shows of a chart; `chart(charted)` in pieces/chart.html draws it.

    >>> from pullwright.draw.charts import Bar, bars
    >>> charted(bars([Bar("leaks", 9)], title="Defects", unit="pieces")).rows
    (('leaks', '9 pieces', ''),)
    """
    return Charted(
        title=chart.title,
        caption=chart.caption,
        note=chart.note,
        table_caption=chart.table.caption,
        table_note=chart.table.note,
        columns=chart.table.columns,
        rows=chart.table.rows,
        wide=chart.svg_wide,
        narrow=chart.svg_narrow,
    )
