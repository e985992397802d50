"""Putting what was seen and counted into the line: shown as a change of its text first, saved as its next revision."""

from __future__ import annotations

from collections.abc import Callable

from pydantic import Field as Kept

from pullwright.line import LineFileError
from pullwright.record import Revision, Sheet
from pullwright.record.entries import SheetKind
from pullwright.watch.into_line import counts_into_line, tour_into_line
from pullwright.watch.misread import IntoLineError
from pullwright.web.counting import counts_on
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.difference import TextDifference, difference_of
from pullwright.web.forms import PRESSED, Field, Filled, Form
from pullwright.web.line_sheets import PARTS, SheetHead, SheetKey, address_of, head_of, open_sheet
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found
from pullwright.web.problems import Problem
from pullwright.web.saving import BASED_ON, WHO, WHY, save
from pullwright.web.screens.about_line import AboutLine, about_sheet
from pullwright.web.tours import tour_on

REPLACE = Field(
    "replace",
    "What stands there already",
    hint="A count without a date, or a share that was given otherwise.",
    kind="choice",
    required=False,
    choices=(("", "may not be replaced"), ("yes", "may be replaced")),
)
PRESS = Field(PRESSED, "Button", kind="choice", required=False, choices=(("save", "Save"), ("look", "Look")))
INTO = Form("into-line", BASED_ON, REPLACE, WHO, WHY, PRESS)


class IntoLinePage(AboutLine, FormPage):
    """What the text of the line would read with a sheet in it; `why_not` says why it does not fit."""

    sheet: SheetHead
    changed: TextDifference | None
    why_not: str
    asked: tuple[str, ...] = Kept(exclude=True)
    difference: TextDifference | None = None
    overtaken_by: int | None = None
    action: str = Kept(exclude=True)
    back: str = Kept(exclude=True)


def view_of(kind: SheetKind) -> Callable[..., IntoLinePage]:
    """Return the view of the page that puts sheets of this kind into the line."""

    def into_line(key: Key, sheet: SheetKey, desk: AtDesk) -> IntoLinePage:
        """What does the line file read with what was watched in it?"""
        opened = open_line(desk, key)
        kept = open_sheet(desk, key, sheet, kind)
        changed, why_not = None, ""
        try:
            changed = difference_of(
                opened.worked_out.text, text_with(kept, desk, opened.worked_out.text, replace=False)
            )
        except (IntoLineError, LineFileError) as error:
            why_not = str(error)
        head = head_of(kept)
        said = (
            f"{head.title} goes into the line with who saw it, when, and on which round; save it as the next revision."
        )
        return IntoLinePage(
            name="Put into the line",
            found=Found(
                text=said if not why_not else f"{head.title} does not go into the line as it stands: {why_not}."
            ),
            changed=changed,
            why_not=why_not,
            asked=(BASED_ON.name, *((REPLACE.name,) if kind == "count" else ()), WHO.name, WHY.name),
            action=address_of(kept, "into-line"),
            back=address_of(kept),
            start={
                BASED_ON.name: str(opened.latest),
                "who": kept.who,
                "why": f"{head.title} ({head.words} {head.key})",
            },
            **about_sheet(opened, kept),
        )

    into_line.__name__ = f"into_line_{PARTS[kind]}"
    return into_line


def text_with(sheet: Sheet, desk: Desk, text: str, *, replace: bool) -> str:
    """Return the text of a line file with a sheet in it; IntoLineError or LineFileError where it does not fit."""
    notes = desk.record.notes(sheet.key)
    if sheet.struck:
        raise IntoLineError(
            f"the sheet {sheet.title}", "was struck", "a sheet that counts", "take the striking back first"
        )
    if sheet.kind == "sample":
        return tour_into_line(text, tour_on(sheet, notes))
    return counts_into_line(text, counts_on(sheet, notes), replace=replace)


def put_in(page: IntoLinePage, filled: Filled, desk: Desk) -> Done | Filled:
    """Put a sheet into the latest text of the line; show what that changes, or save it."""
    sheet, latest = desk.record.sheet(page.sheet.key), desk.record.revision(page.key)
    try:
        text = text_with(sheet, desk, latest.text, replace=filled.typed["replace"] == "yes")
    except (IntoLineError, LineFileError) as error:
        return filled.back(
            {"replace": f"{error}."},
            notice="Nothing was saved yet: what was watched does not fit the line as it stands.",
        )
    except ValueError as error:
        raise Problem(422, str(error)) from error
    return shown_or_saved(filled, desk, latest, text)


def shown_or_saved(filled: Filled, desk: Desk, latest: Revision, text: str) -> Done | Filled:
    """Save the text on top of the latest revision, or show what it changes there, as the button says."""
    changed = difference_of(latest.text, text)
    if filled.typed[PRESSED] != "save":
        return filled.shown_again("This is what would be changed; nothing was saved yet.", changed=changed)
    outcome = save(filled, desk, latest.key, text)
    if isinstance(outcome, Done):
        return outcome
    return outcome.back(
        outcome.errors, status=outcome.status, notice=outcome.notice, beside={"changed": changed, **outcome.beside}
    )


def register(pages: Pages) -> None:
    """Add the pages that put a tour and a round of counting into the line."""
    for kind in ("sample", "count"):
        path = f"/lines/{{key}}/{PARTS[kind]}/{{sheet}}/into-line"
        pages.form(path, view_of(kind), "into_line.html", form=INTO, act=put_in)
