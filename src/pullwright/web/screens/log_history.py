"""What was done with a log, and undoing it as a whole: the log, and the line that was begun from it if that is wished."""

from __future__ import annotations

from contextlib import suppress

from pydantic import Field as Kept

from pullwright.record import NothingChanged, UnknownLine
from pullwright.record.limits import LIMITS
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.opened_log import COLUMNS, DECISIONS, DRAFTED, AboutLog, LogKey, open_log_sheet
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Crumb, Found, Piece
from pullwright.web.way import line_way

WHO = Field("who", "Who does this", most=LIMITS["who"].most, autocomplete="name")
WHY = Field("why", "Why", kind="text", most=LIMITS["why"].most)
ALSO = Field(
    "also", "The line that was begun from it", kind="choice",
    choices=(("leave", "leave it as it is"), ("away", "put it away too")), required=False,
)  # fmt: skip
SAID = {
    COLUMNS: "looked the columns over",
    DECISIONS: "decided about what is odd",
    DRAFTED: "began a line from it",
    "struck": "undid it as a whole",
    "restored": "took that back",
}


class LogNote(Piece):
    """One thing that was done with a log."""

    who: str
    when: str
    what: str
    why: str = ""


class LogHistoryPage(AboutLog, FormPage):
    """The history of a log, and the form that undoes it or takes that back."""

    history: tuple[LogNote, ...] = ()
    line: Crumb | None = None
    action: str = Kept(default="", exclude=True)


def log_history(log: LogKey, desk: AtDesk) -> LogHistoryPage:
    """What was done with this log, by whom and when?"""
    opened = open_log_sheet(desk, log)
    notes = tuple(
        LogNote(
            who=note.who,
            when=note.when.isoformat(timespec="minutes"),
            what=SAID.get(note.kind, note.kind),
            why=str(note.body.get("why", "")),
        )
        for note in desk.record.notes(log)
    )
    begun = LogNote(who=opened.sheet.who, when=opened.sheet.when.isoformat(timespec="minutes"), what="brought it in")
    kept = desk.record.kept_file(log)
    size = f"{kept.size:,} bytes, digest {kept.digest[:16]}" if kept else "no file"
    found = f"{opened.file} is kept as it was handed in ({size}); {len(notes)} {'thing was' if len(notes) == 1 else 'things were'} done with it since."
    return LogHistoryPage(
        found=Found(text=found),
        history=(*reversed(notes), begun),
        line=Crumb(words=opened.drafted, href=line_way(opened.drafted).base) if opened.drafted else None,
        action=opened.part("history"),
        start={ALSO.name: "leave"},
        **opened.about("History", "History"),
    )


def _form(page: LogHistoryPage) -> Form:
    return Form("undo-log", WHO, WHY, *((ALSO,) if page.line is not None else ()))


def undo(page: LogHistoryPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Undo the log as a whole, or take that back; nothing is removed."""
    who, why, also = filled.typed["who"], filled.typed["why"], filled.typed.get(ALSO.name)
    record = desk.record
    try:
        (record.restore if page.struck else record.strike)(page.key, who, why)
    except NothingChanged:
        return filled.back(notice="Nothing was changed: somebody did the same a moment ago.")
    desk.slow.forget(f"{page.key} ")
    if page.line is not None and also == "away":
        # Where nothing changes, it is as it was wished to be.
        with suppress(NothingChanged, UnknownLine):
            (record.bring_line_back if page.struck else record.put_line_away)(page.line.words, who, why)
    return Done("/logs" if not page.struck else f"/logs/{page.key}")


def register(pages: Pages) -> None:
    """Add the history."""
    pages.form("/logs/{log}/history", log_history, "log_history.html", form=_form, act=undo)
