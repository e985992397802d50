"""The line file that a log drafts: to be read, corrected and begun as a line of its own."""

from __future__ import annotations

from pydantic import Field as Kept

from pullwright.record import InvalidEntry, LineExists
from pullwright.watch.log.draft import DraftError, draft_line
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import PRESSED, Filled, Form
from pullwright.web.opened_log import (
    DRAFTED,
    LOOK_AGAIN,
    AboutLog,
    LogKey,
    LogStages,
    Waiting,
    note_on,
    open_log_sheet,
)
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Crumb, Found
from pullwright.web.saving import CHECK, PRESS, TEXT, WHO, WHY, refused
from pullwright.web.screens.begin import TITLE, free_key
from pullwright.web.way import line_way

BEGIN = Form("begin-from-log", TITLE, TEXT, WHO, WHY, PRESS)


class LogDraftPage(AboutLog, FormPage):
    """The drafted line file; `line` is the line that was begun from this log before."""

    line: Crumb | None = None
    missing: str = ""
    action: str = Kept(default="", exclude=True)


def log_draft(log: LogKey, desk: AtDesk) -> LogDraftPage:
    """Which line file follows from this log?"""
    opened = open_log_sheet(desk, log)
    about, line = opened.about("Drafted line", "Drafted line"), None
    if opened.drafted:
        line = Crumb(words=opened.drafted, href=line_way(opened.drafted).base)
    stages, action = LogStages(desk, opened), opened.part("draft")
    title = opened.file.rpartition(".")[0] or opened.file
    try:
        telling = stages.telling()
        draft = stages.drawn("draft", lambda: draft_line(telling.story, telling.decided, name=title))
    except Waiting:
        found = Found(text=f"The line file is being drafted from {opened.file}.")
        return LogDraftPage(found=found, under_way=LOOK_AGAIN, line=line, action=action, **about)
    except DraftError as error:
        found = Found(text="No line file can be drafted from this log.", look=True)
        return LogDraftPage(found=found, missing=str(error), line=line, action=action, **about)
    return LogDraftPage(
        found=Found(text="A line file, drafted from the log: every guess says where it comes from. Read it, put it right, begin the line."),
        line=line, action=action, start={TITLE.name: title, TEXT.name: draft.text, WHY.name: f"drafted from {opened.file}"},
        **about,
    )  # fmt: skip


def begin_line(page: LogDraftPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Say what the text means, or begin the line with it."""
    text, title = filled.typed[TEXT.name], filled.typed[TITLE.name]
    key = free_key(desk, title)
    worked_out = desk.shelf.of(text, f"{key}.yaml")
    if worked_out.survey is None:
        return refused(filled, worked_out.faults, worked_out.more_faults)
    if filled.typed[PRESSED] == CHECK:
        return filled.shown_again(f"It can be read; nothing was saved yet. {worked_out.survey.sentence}")
    try:
        desk.record.add_line(key, title, text, filled.typed["who"], filled.typed["why"])
    except LineExists:
        return filled.back(
            {TITLE.name: "Somebody began a line of that name a moment ago. Save once more, or change it."}
        )
    except InvalidEntry as error:
        return filled.back({error.field: f"{error.read} was read; allowed is {error.allowed}."})
    note_on(desk, open_log_sheet(desk, page.key), DRAFTED, {"line": key}, filled.typed["who"])
    return Done(line_way(key).base)


def register(pages: Pages) -> None:
    """Add the drafted line."""
    pages.form("/logs/{log}/draft", log_draft, "log_draft.html", form=BEGIN, act=begin_line)
