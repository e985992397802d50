"""Changing a line as text: faults are marked at their lines, nothing typed is lost, nothing of others is overwritten."""

from __future__ import annotations

from pydantic import Field as Kept

from pullwright.web.desk import AtDesk, Desk
from pullwright.web.difference import TextDifference, difference_of
from pullwright.web.forms import PRESSED, Filled, Form
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found, Notice, TextFault
from pullwright.web.saving import BASED_ON, CHECK, FILE, PRESS, TEXT, WHO, WHY, refused, save, text_faults
from pullwright.web.screens.about_line import about

EDIT = Form("edit", BASED_ON, TEXT, FILE, WHO, WHY, PRESS)


class EditPage(FormPage):
    """The text of a line, to be changed; `difference` from the latest revision once there is one to be shown."""

    key: str
    revision: int | None
    title: str
    notices: tuple[Notice, ...] = ()
    faults: tuple[TextFault, ...] = ()
    difference: TextDifference | None = None
    overtaken_by: int | None = None
    action: str = Kept(default="", exclude=True)
    back: str = Kept(default="", exclude=True)


def edit(key: Key, desk: AtDesk) -> EditPage:
    """What does the text of this line say now, so that it can be changed?"""
    opened = open_line(desk, key)
    faults = text_faults(opened.worked_out.faults)
    return EditPage(
        name="Change as text",
        found=Found(text=_found(opened.title, len(faults)), look=bool(faults)),
        trail=opened.trail(),
        places=opened.places("Change as text"),
        title=opened.title,
        faults=faults,
        start={BASED_ON.name: str(opened.latest), TEXT.name: opened.worked_out.text},
        action=opened.way.part("edit"),
        back=opened.way.base,
        **about(opened),
    )


def _found(title: str, faults: int) -> str:
    if faults:
        return f"The text of {title} cannot be read as a line file: {faults} {'place' if faults == 1 else 'places'} to put right."
    return f"Change the text of {title}; every save is a revision of its own, and nothing is ever overwritten."


def change(page: EditPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Read the text that was typed; say what it means, or save it as the next revision."""
    text = filled.typed[TEXT.name]
    worked_out = desk.shelf.of(text, f"{page.key}.yaml")
    if worked_out.survey is None:
        return refused(filled, worked_out.faults, worked_out.more_faults)
    if filled.typed[PRESSED] != CHECK:
        return save(filled, desk, page.key, text)
    latest = desk.record.revision(page.key)
    return filled.shown_again(
        f"It can be read; nothing was saved yet. {worked_out.survey.sentence}",
        difference=difference_of(latest.text, text),
    )


def register(pages: Pages) -> None:
    """Add the page on which a line is changed as text."""
    pages.form("/lines/{key}/edit", edit, "edit.html", form=EDIT, act=change)
