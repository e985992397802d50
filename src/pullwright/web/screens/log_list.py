"""The logs that were brought in, and bringing in another: from a file to the columns as they are understood."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from pullwright.record import InvalidEntry, Sheet
from pullwright.record.limits import LIMITS
from pullwright.watch.log.faults import LogError
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.opened_log import guessed
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Crumb, Found, Page, Piece

FILE = Field(
    "file",
    "The file",
    hint="CSV in any dialect, XLSX, Parquet or XES (IEEE 1849), also packed with gzip; up to 320 megabytes. "
    "One row for each booking, or one for each moment.",
    kind="data",
)
WHO = Field(
    "who",
    "Who brings it in",
    hint="The name that people on the floor know you by.",
    most=LIMITS["who"].most,
    autocomplete="name",
)
BRING = Form("bring-log", FILE, WHO)


class LogLine(Piece):
    """One log that was brought in."""

    key: str
    title: str
    href: str
    sheet_who: str
    when: str
    struck: bool


class LogsPage(Page):
    """The logs that were brought in, the newest first."""

    logs: tuple[LogLine, ...]
    struck: tuple[LogLine, ...]


class BringPage(FormPage):
    """A log to be brought in."""


def logs(desk: AtDesk) -> LogsPage:
    """Which logs were brought in?"""
    everything = desk.record.sheets("log", struck=True)
    kept = tuple(_line(sheet) for sheet in everything if not sheet.struck)
    if not kept:
        found = "No log was brought in yet: a list of bookings, as machines and terminals write them, tells most of a shop's story."
    else:
        found = f"{'One log is' if len(kept) == 1 else f'{len(kept)} logs are'} here; the newest is {kept[0].title}."
    return LogsPage(
        name="Logs",
        found=Found(text=found),
        trail=(Crumb(words="Lines", href="/"),),
        places=(Crumb(words="Logs", href="/logs", here=True), Crumb(words="Bring in a log", href="/logs/new")),
        logs=kept,
        struck=tuple(_line(sheet) for sheet in everything if sheet.struck),
    )


def _line(sheet: Sheet) -> LogLine:
    return LogLine(
        key=sheet.key,
        title=sheet.title,
        href=f"/logs/{sheet.key}",
        sheet_who=sheet.who,
        when=sheet.when.isoformat(timespec="minutes"),
        struck=sheet.struck,
    )


def bring() -> BringPage:
    """Which file is to be brought in?"""
    return BringPage(
        name="Bring in a log",
        found=Found(text="Bring in a log: choose the file; how its columns are understood is shown next, to be put right."),
        trail=(Crumb(words="Lines", href="/"), Crumb(words="Logs", href="/logs")),
    )  # fmt: skip


def take(page: BringPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Read the file; keep it whole when it is a log, and nothing of it otherwise."""
    chosen = filled.files.get(FILE.name)
    if chosen is None:
        return filled.back({FILE.name: "No file was chosen, and it is needed."})
    from pullwright.watch.log.reading import open_log

    with tempfile.TemporaryDirectory(prefix="pullwright-log-") as folder:
        path = Path(folder) / "log"
        with path.open("wb") as copy:
            shutil.copyfileobj(chosen.content, copy)
        try:
            plan = guessed(open_log(path, name=chosen.name))
            sheet = desk.record.begin_sheet(
                "log", chosen.name, {"plan": plan.as_dict()}, filled.typed[WHO.name], file=(chosen.name, path)
            )
        except LogError as error:
            return filled.back({FILE.name: str(error)})
        except InvalidEntry as error:
            field = WHO.name if error.field == "who" else FILE.name
            return filled.back({field: f"{error.read} was read; allowed is {error.allowed}."})
    return Done(f"/logs/{sheet.key}")


def register(pages: Pages) -> None:
    """Add the list of logs and the form that brings one in."""
    pages.page("/logs", logs, "logs.html")
    pages.form("/logs/new", bring, "log_bring.html", form=BRING, act=take)
