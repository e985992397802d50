"""Made logs of the works that makes hand pumps, in many dialects. Invented."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from xml.sax.saxutils import quoteattr

import polars as pl

STEPS = (
    ("saw", "Saw 1", "pipe"),
    ("turn", "Lathe 2", "pipe"),
    ("hone bore", "Hone", "cylinder"),
    ("assemble", "Bench", "pump"),
)
BEGIN = dt.datetime(2024, 5, 13, 6, 0)


def bookings(orders: int = 12) -> list[dict[str, object]]:
    """One booking a step of each order; the first at each step of an order is a set-up."""
    rows: list[dict[str, object]] = []
    at = BEGIN
    for order in range(orders):
        for n, (step, station, _) in enumerate(STEPS):
            for kind, minutes in (("set-up", 10), ("run", 40 + 5 * n)):
                end = at + dt.timedelta(minutes=minutes)
                rows.append(
                    {
                        "order": f"P-{100 + order}", "step": step, "station": station, "start": at, "end": end,
                        "kind": kind, "person": f"W{n}", "good": 0 if kind == "set-up" else 20 - n, "scrap": int(n == 2 and kind == "run"),
                    }
                )  # fmt: skip
                at = end + dt.timedelta(minutes=7)
    return rows


def frame() -> pl.DataFrame:
    """The bookings as a table."""
    return pl.DataFrame(bookings())


def save_xlsx(path: Path) -> None:
    """The bookings as a workbook, dates typed, a formula beside them."""
    import xlsxwriter

    book = xlsxwriter.Workbook(str(path), {"default_date_format": "yyyy-mm-dd hh:mm:ss"})
    sheet = book.add_worksheet("bookings")
    rows = bookings()
    sheet.write_row(0, 0, list(rows[0]))
    for n, row in enumerate(rows, 1):
        for m, value in enumerate(row.values()):
            if isinstance(value, dt.datetime):
                sheet.write_datetime(n, m, value)
            else:
                sheet.write(n, m, value)
    book.close()


def xes(lifecycle: bool = True) -> str:
    """The bookings as XES: two events a booking where `lifecycle`, otherwise one with a start and an end."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<log xes.version="1849.2016" xmlns="http://www.xes-standard.org/">',
    ]
    lines.append('<global scope="event"><string key="concept:name" value="UNKNOWN"/></global>')
    rows = bookings()
    for order in dict.fromkeys(row["order"] for row in rows):
        lines.append(f'<trace><string key="concept:name" value={quoteattr(str(order))}/>')
        for row in rows:
            if row["order"] != order:
                continue
            said = f'<string key="concept:name" value="{row["step"]}"/><string key="org:resource" value="{row["station"]}"/>'
            said += f'<string key="kind" value="{row["kind"]}"/><string key="person" value="{row["person"]}"/>'
            said += f'<int key="good" value="{row["good"]}"/><int key="scrap" value="{row["scrap"]}"/>'
            if lifecycle:
                for word, key in (("start", "start"), ("complete", "end")):
                    when = row[key].isoformat()  # type: ignore[attr-defined]
                    lines.append(f'<event>{said}<string key="lifecycle:transition" value="{word}"/><date key="time:timestamp" value="{when}"/></event>')  # fmt: skip
            else:
                start, end = row["start"].isoformat(), row["end"].isoformat()  # type: ignore[attr-defined]
                lines.append(f'<event>{said}<date key="start" value="{start}"/><date key="end" value="{end}"/></event>')
        lines.append("</trace>")
    return "\n".join([*lines, "</log>"])
