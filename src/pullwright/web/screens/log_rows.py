"""Rows of a log as they stand in its file, and the rows that are set aside with their reasons, to be taken away."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from pullwright.web.desk import AtDesk
from pullwright.web.opened_log import LOOK_AGAIN, AboutLog, LogKey, LogStages, Waiting, open_log_sheet
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found
from pullwright.web.problems import Problem

MOST_ROWS, MOST_COLUMNS = 60, 40
CSV = "text/csv"
Rows = Annotated[
    str, Query(max_length=1_500, description="Numbers of rows, with commas between them.", examples=["2,3,17"])
]


class LogRowsPage(AboutLog):
    """Rows as they stand in the file; the first column is the number of the row."""

    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    more_columns: int = 0


def log_rows(log: LogKey, desk: AtDesk, rows: Rows = "2") -> LogRowsPage:
    """What stands in these rows of the file?"""
    opened = open_log_sheet(desk, log)
    about = opened.about("Rows", "Rows")
    wanted = _numbers(rows)
    try:
        raw = LogStages(desk, opened).raw()
    except Waiting:
        return LogRowsPage(found=Found(text=f"{opened.file} is being read."), under_way=LOOK_AGAIN, **about)
    import polars as pl

    names = [name for name in raw.table.columns if name != "row"]
    shown = names[:MOST_COLUMNS]
    found = raw.table.filter(pl.col("row").is_in(wanted)).select("row", *shown)
    told = tuple(tuple("" if cell is None else str(cell) for cell in row) for row in found.iter_rows())
    missing = len(wanted) - len(told)
    text = f"{len(told)} {'row' if len(told) == 1 else 'rows'} of {opened.file}, as they stand in the file."
    if missing:
        text += f" {missing} of those asked for {'is' if missing == 1 else 'are'} not there."
    return LogRowsPage(
        found=Found(text=text), columns=("row", *shown), rows=told, more_columns=len(names) - len(shown), **about
    )


def _numbers(asked: str) -> list[int]:
    parts = [part.strip() for part in asked.split(",") if part.strip()]
    if (
        not parts
        or len(parts) > MOST_ROWS
        or not all(part.isascii() and part.isdigit() and len(part) < 10 for part in parts)
    ):
        raise Problem(
            422,
            f"the rows {asked[:80]!r}",
            title="These are no rows of a log.",
            allowed=f"Up to {MOST_ROWS} whole numbers with commas between them, such as 2,3,17.",
        )  # fmt: skip
    return sorted({int(part) for part in parts})


def log_aside(log: LogKey, desk: AtDesk) -> Response:
    """Which rows are set aside, and why? To be taken away as CSV."""
    opened = open_log_sheet(desk, log)
    try:
        telling = LogStages(desk, opened).telling()
    except Waiting:
        raise Problem(503, f"the rows of {opened.file} that are set aside", todo="It is still being worked out: ask again in a moment.") from None  # fmt: skip
    from pullwright.watch.neutral import neutral_csv

    headers = {"Content-Disposition": f'attachment; filename="{opened.key}-set-aside.csv"'}
    return Response(neutral_csv(telling.decided.aside).encode(), media_type=CSV, headers=headers)


def register(pages: Pages) -> None:
    """Add the rows and the file of what is set aside."""
    pages.page("/logs/{log}/rows", log_rows, "log_rows.html")
    pages.file("/logs/{log}/aside.csv", log_aside, CSV)
