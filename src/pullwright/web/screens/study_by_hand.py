"""What is put to a study at a desk: a reading that was taken with pencil and watch, and the list of its elements put right."""

from __future__ import annotations

from pydantic import Field as Kept

from pullwright.record import NewNote
from pullwright.record.limits import LIMITS
from pullwright.watch.study.faults import StudyError
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found
from pullwright.web.screens.about_line import AboutLine, about_sheet
from pullwright.web.screens.study import opened_study
from pullwright.web.screens.study_new import ELEMENTS
from pullwright.web.studies import element_rows, new_note, study_with, typed_elements, typed_seconds

WHO = Field("who", "Who took it", hint="A post, or the name that people on the floor know you by.", most=LIMITS["who"].most, autocomplete="name")  # fmt: skip
MOST_TYPED = 9
"""Digits of the number of a cycle."""


class ByHandPage(AboutLine, FormPage):
    """Something that is put to a study at a desk."""

    sheet: SheetHead
    elements: tuple[str, ...]
    action: str = Kept(exclude=True)
    back: str = Kept(exclude=True)


def reading_by_hand(key: Key, sheet: SheetKey, desk: AtDesk) -> ByHandPage:
    """What was read with pencil and watch, and belongs to this study?"""
    said = "Add a reading that was taken with pencil and watch; it stands among the others, with who took it."
    page = _page(key, sheet, desk, "typed", "Add a reading", said)
    _, _, timed = opened_study(desk, key, sheet)
    cycle = max((one.cycle for one in timed.readings), default=0)
    whole = {one.element for one in timed.readings if one.cycle == cycle}
    following = next((at for at in range(len(timed.elements)) if at not in whole), -1)
    start = {"cycle": str(cycle or 1), "element": str(following), "who": timed.who or page.sheet.who}
    if following < 0:
        start |= {"cycle": str(cycle + 1), "element": "0"}
    return page.model_copy(update={"start": start})


def elements_of_study(key: Key, sheet: SheetKey, desk: AtDesk) -> ByHandPage:
    """What does a cycle of this study consist of?"""
    said = "Put the list of elements right: other words, what they are for, or more of them at its end."
    page = _page(key, sheet, desk, "elements", "Elements", said)
    _, _, timed = opened_study(desk, key, sheet)
    return page.model_copy(update={"start": {"elements": typed_elements(timed.elements)}})


def _page(key: str, sheet: str, desk: Desk, part: str, name: str, found: str) -> ByHandPage:
    opened = open_line(desk, key)
    kept, _, timed = opened_study(desk, key, sheet)
    return ByHandPage(
        name=name,
        found=Found(text=found),
        elements=tuple(one.what for one in timed.elements),
        action=address_of(kept, part),
        back=address_of(kept),
        **about_sheet(opened, kept),
    )


def reading_form(page: ByHandPage) -> Form:
    """Return the form of a reading: in which cycle, of which element, how long."""
    choices = (
        *((str(at), what) for at, what in enumerate(page.elements)),
        ("-1", "foreign: it does not belong to the cycle"),
    )
    return Form(
        "reading-by-hand",
        Field("cycle", "Cycle", most=MOST_TYPED),
        Field("element", "Element", kind="choice", choices=choices),
        Field("seconds", "Time", hint="In seconds, or with its unit: 41.5 or 2.5 min.", most=20),
        Field("note", "What happened", hint="Anything that was out of the ordinary.", required=False, most=200),
        WHO,
    )


ELEMENTS_FORM = Form(
    "elements",
    Field("elements", ELEMENTS.label, hint=ELEMENTS.hint, kind="text", most=ELEMENTS.most),
    Field("who", "Who says so", most=LIMITS["who"].most, autocomplete="name"),
)


def add_reading(page: ByHandPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Write the reading down."""
    typed = {name: value.strip() for name, value in filled.typed.items()}
    if not (typed["cycle"].isascii() and typed["cycle"].isdigit()):
        return filled.back({"cycle": f"{typed['cycle']!r} was read; allowed is the number of a cycle, such as 12."})
    try:
        seconds = typed_seconds(typed["seconds"])
    except ValueError as error:
        return filled.back({"seconds": str(error)})
    body = {
        "cycle": int(typed["cycle"]),
        "element": int(typed["element"]),
        "seconds": seconds,
        "where": "typed in at a desk",
    }
    note = new_note("reading", body | ({"note": typed["note"]} if typed["note"] else {}), typed["who"])
    return _written(page, filled, desk, note, "seconds")


def change_elements(page: ByHandPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Write the new list down; what was read keeps its place in it."""
    rows, wrong = element_rows(filled.typed["elements"])
    if wrong:
        return filled.back({"elements": "; ".join(wrong[:6])})
    _, _, timed = opened_study(desk, page.key, page.sheet.key)
    last = max((one.element for one in timed.readings), default=-1)
    if last >= len(rows):
        left_out = timed.elements[last].what
        return filled.back(
            {
                "elements": f"{left_out!r} would be left out, which has readings; allowed are {last + 1} elements or more, in the "
                "same order. Give it another name here, or say that its readings are foreign first."
            }
        )
    return _written(
        page, filled, desk, new_note("elements", {"elements": rows}, filled.typed["who"].strip()), "elements"
    )


def _written(page: ByHandPage, filled: Filled, desk: Desk, note: NewNote, field: str) -> Done | Filled:
    sheet = desk.record.sheet(page.sheet.key)
    try:
        study_with(sheet, desk.record.notes(sheet.key), [note])
    except StudyError as error:
        return filled.back({field: str(error)})
    desk.record.write_notes(sheet.key, [note])
    return Done(page.back)


def register(pages: Pages) -> None:
    """Add the pages on which a reading is typed in, and elements are put right."""
    base = "/lines/{key}/studies/{sheet}"
    pages.form(f"{base}/typed", reading_by_hand, "study_by_hand.html", form=reading_form, act=add_reading)
    pages.form(f"{base}/elements", elements_of_study, "study_by_hand.html", form=ELEMENTS_FORM, act=change_elements)
