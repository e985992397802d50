"""Putting a time study into the line: which of its elements goes to which step, shown as a change of the text, saved as a revision."""

from __future__ import annotations

from pydantic import Field as Kept

from pullwright.line import LineFileError
from pullwright.watch.into_line import elements_into_line
from pullwright.watch.misread import IntoLineError
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.difference import TextDifference
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found
from pullwright.web.saving import BASED_ON, WHO, WHY
from pullwright.web.screens.about_line import AboutLine, about_sheet
from pullwright.web.screens.study import opened_study
from pullwright.web.screens.watch_into_line import PRESS, shown_or_saved

ALL = ""


class StudyIntoLinePage(AboutLine, FormPage):
    """A study on its way into the line."""

    sheet: SheetHead
    steps: tuple[str, ...] = Kept(default=(), exclude=True)
    elements: tuple[str, ...] = Kept(default=(), exclude=True)
    changed: TextDifference | None = None
    difference: TextDifference | None = None
    overtaken_by: int | None = None
    asked: tuple[str, ...] = Kept(default=(BASED_ON.name, "step", "element", WHO.name, WHY.name), exclude=True)
    action: str = Kept(default="", exclude=True)
    back: str = Kept(default="", exclude=True)


def study_to_line(key: Key, sheet: SheetKey, desk: AtDesk) -> StudyIntoLinePage:
    """Into which step of the line do these readings go?"""
    opened = open_line(desk, key)
    line = opened.survey.line
    kept, _, timed = opened_study(desk, key, sheet)
    read = {one.element for one in timed.readings if not one.aside}
    elements = tuple(one.what for number, one in enumerate(timed.elements) if number in read)
    start = {
        BASED_ON.name: str(opened.latest),
        "step": timed.step if any(one.name == timed.step for one in line.steps) else line.steps[0].name,
        "element": ALL,
        "who": timed.who or kept.who,
        "why": f"{timed.name} (time study {kept.key})",
    }
    return StudyIntoLinePage(
        name="Put into the line",
        found=Found(
            text=f"{timed.name} goes into the line with who read what, and when; save it as the next revision."
        ),
        steps=tuple(one.name for one in line.steps),
        elements=elements,
        action=address_of(kept, "into-line"),
        back=address_of(kept),
        start=start,
        **about_sheet(opened, kept),
    )


def _form(page: StudyIntoLinePage) -> Form:
    return Form(
        "study-into-line",
        BASED_ON,
        Field("step", "Step of the line", kind="choice", choices=tuple((name, name) for name in page.steps)),
        Field(
            "element",
            "Element of the study",
            hint="An element of the same name takes the study in place of what stands there; one that is not there yet "
            "is added beside what stands there, and its time comes on top.",
            kind="choice",
            required=False,
            choices=((ALL, "all that were read, each in its place"), *((what, what) for what in page.elements)),
        ),
        WHO,
        WHY,
        PRESS,
    )


def put_study(page: StudyIntoLinePage, filled: Filled, desk: Desk) -> Done | Filled:
    """Put the study into the latest text; show what that changes, or save it."""
    latest = desk.record.revision(page.key)
    _, _, timed = opened_study(desk, page.key, page.sheet.key)
    chosen = [filled.typed["element"]] if filled.typed["element"] else list(page.elements)
    try:
        if page.sheet.struck:
            raise IntoLineError(
                f"the study {timed.name}", "was struck", "a study that counts", "take the striking back first"
            )
        text = elements_into_line(latest.text, timed, step=filled.typed["step"], elements=chosen)
    except (IntoLineError, LineFileError) as error:
        return filled.back({"element": str(error)})
    return shown_or_saved(filled, desk, latest, text)


def register(pages: Pages) -> None:
    """Add the page that puts a study into the line."""
    pages.form("/lines/{key}/studies/{sheet}/into-line", study_to_line, "into_line.html", form=_form, act=put_study)
