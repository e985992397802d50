"""Changing a line in a form: one part of the line file after another, and everything that was changed saved as one revision."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated

from fastapi import Query
from pydantic import Field as Kept
from starlette.requests import Request

from pullwright.line.yaml_tree import MOST_BYTES
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.difference import TextDifference, difference_of
from pullwright.web.draft import NEW, Draft, NotDone, Section
from pullwright.web.forms import PRESSED, Field, Filled, Form
from pullwright.web.line_fields import WAYS, LineField
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found, Notice
from pullwright.web.problems import Problem
from pullwright.web.saving import BASED_ON, WHO, WHY, save
from pullwright.web.screens.about_line import about
from pullwright.web.screens.form_parts import LONG, PREFIX, Entry, Inside, Wrong, own_faults, shown_of, typed_fields

DRAFT = "draft"
BEFORE = "comes_before"
BY_THE_FILE = "file"
"""Whether an entry may stay empty is said by the line file as a whole, and not before."""
GO, REMOVE, KEEP = "go:", "remove", "keep"
LONGEST_ENTRY = 20_000

REFERS: dict[str, tuple[str, ...]] = {
    "station": ("stations",),
    "step": ("steps",),
    "before": ("steps",),
    "after": ("steps",),
    "until": ("steps",),
    "to": ("steps",),
    "from": ("steps", "parts"),
    "at": ("steps",),
    "part": ("parts",),
    "supplier": ("suppliers",),
    "shifts": ("calendar.shifts",),
    "for": ("products",),
    "skills": ("steps", "stations"),
}
"""Fields that hold names of other entries, with the lists in which those stand; offered while somebody types."""

Names = dict[str, tuple[str, ...]]
"""For the name of a field, the names that may be typed into it."""
At = Annotated[str, Query(max_length=200, description="The part of the line file that is shown.", examples=["steps.2"])]


class FieldsPage(FormPage):
    """One part of a line file as fields; `changed` is what is different from the latest revision so far."""

    key: str
    revision: int | None
    title: str
    notices: tuple[Notice, ...] = ()
    section: str
    heading: str
    way: tuple[Entry, ...]
    means: str
    inside: tuple[Inside, ...]
    removable: bool
    repeated: tuple[str, ...]
    ways: tuple[tuple[str, str], ...] = WAYS
    wrong: tuple[Wrong, ...] = ()
    changed: TextDifference | None = None
    difference: TextDifference | None = None
    overtaken_by: int | None = None
    entries: tuple[str, ...] = Kept(default=(), exclude=True)
    action: str = Kept(default="", exclude=True)
    back: str = Kept(default="", exclude=True)
    names: Names = Kept(default_factory=dict, exclude=True)
    sent: bool = Kept(default=False, exclude=True)


def fields(key: Key, request: Request, desk: AtDesk, at: At = "") -> FieldsPage:
    """What does this part of the line file say, field by field?"""
    section = Section.named(at)
    if section is None:
        raise Problem(404, f"the part {at[:80]!r}", allowed="A part of a line file, such as steps.2 or calendar.")
    opened = open_line(desk, key)
    draft = Draft(opened.worked_out.text, opened.worked_out.faults)
    if not isinstance(draft.tree.data, dict):
        raise opened.unreadable()
    # What is sent may be about an entry that is only in the draft so far.
    sent = request.method == "POST"
    if not sent and not draft.holds(section):
        raise Problem(
            404, f"the part {at[:80]!r}", allowed="A part that the line file has, or that can be added to it."
        )
    shown = shown_of(key, section, draft)
    return FieldsPage(
        name="Change in a form",
        found=Found(text=f"Change {opened.title} field by field; what is changed is saved as one revision."),
        trail=opened.trail(),
        places=opened.places("Change in a form"),
        title=opened.title,
        start={**_start(section, draft), DRAFT: draft.text, BASED_ON.name: str(opened.latest)},
        back=opened.way.base,
        names=names_of(draft),
        sent=sent,
        **shown,
        **about(opened),
    )


def form_of(page: FieldsPage) -> Form:
    """Return the form of the part that a page shows."""
    section = Section.named(page.section)
    return _form(section, page.start, page.names, sent=page.sent) if section else Form("line", BASED_ON)


def names_of(draft: Draft) -> Names:
    """Return the names in a line file that its fields may refer to."""
    return {field: draft.names(*lists) for field, lists in REFERS.items()}


def _form(section: Section, typed: Mapping[str, str], names: Names, *, sent: bool = False) -> Form:
    """Return the entries of a part; a form that was `sent` may have line breaks in any of them."""
    own = [_field(field, typed.get(PREFIX + field.name, ""), names, sent=sent) for field in typed_fields(section)]
    kept = Field(DRAFT, "The line file so far", kind="text", most=MOST_BYTES)
    pressed = Field(PRESSED, "Button", required=False, most=220)
    before = Field(
        BEFORE,
        "Comes before",
        hint="The step that then takes from this one; left empty, it comes last.",
        required=False,
        known=names.get("step", ()),
    )
    extra = [before] if section.path == ("steps", NEW) else []
    return Form("line", BASED_ON, kept, *own, *extra, WHO, WHY, pressed)


def _field(field: LineField, typed: str, names: Names, *, sent: bool) -> Field:
    hint = f"{field.means} {field.may_be[:1].upper()}{field.may_be[1:]}."
    if field.shape == "choice":
        hint = field.means
    if field.otherwise:
        hint += f" Left empty: {field.otherwise}."
    choices = tuple((word, word) for word in field.choices)
    if field.shape == "choice":
        choices = (("", "(not said)"), *choices, *(((typed, typed),) if typed and typed not in field.choices else ()))
    long = sent or len(typed) > LONG or "\n" in typed
    return Field(
        PREFIX + field.name,
        field.label,
        hint=hint,
        kind="choice" if field.shape == "choice" else "text" if long else "line",
        required=field.needed,
        asked_by=BY_THE_FILE,
        most=LONGEST_ENTRY,
        choices=choices,
        known=names.get(field.name, ()),
    )


def _start(section: Section, draft: Draft) -> dict[str, str]:
    return {PREFIX + field.name: draft.typed(section, field) for field in typed_fields(section)}


def change(page: FieldsPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Put the entries into the draft; then show another part, take this one out, or save all of it."""
    section = Section.named(page.section)
    if section is None:
        raise Problem(404, f"the part {page.section[:80]!r}")
    draft = Draft(filled.typed[DRAFT])
    if not isinstance(draft.tree.data, dict):
        raise Problem(422, "a draft that is no line file", todo="Open the form again and begin once more.")
    latest = desk.record.revision(page.key).text
    pressed = filled.typed[PRESSED]
    if pressed == REMOVE:
        try:
            return _show(page, filled, Draft(draft.without(section)), section.around, latest)
        except NotDone as error:
            return _back(page, filled, section, draft, latest, error)
    try:
        after, there = _changed(draft, section, filled)
    except NotDone as error:
        return _back(page, filled, section, draft, latest, error)
    if pressed.startswith(GO):
        target = Section.named(pressed.removeprefix(GO))
        if target is None or not after.holds(target):
            raise Problem(404, f"the part {pressed[:80]!r}")
        return _show(page, filled, after, target, latest)
    if pressed == KEEP:
        return _show(page, filled, after, there, latest)
    if after.faults:
        filled = _show(page, filled, after, there, latest)
        own = own_faults(after, there)
        count = len(after.faults)
        return filled.back(
            {PREFIX + name: said for name, said in own.items()},
            notice=f"Nothing was saved yet: {count} {'thing is' if count == 1 else 'things are'} wrong in the line file as it stands.",
            beside=filled.beside,
        )
    outcome = save(filled, desk, page.key, after.text)
    if isinstance(outcome, Done):
        return outcome
    again = _show(page, outcome, after, there, latest)
    return again.back(
        outcome.errors, status=outcome.status, notice=outcome.notice, beside={**again.beside, **outcome.beside}
    )


def _changed(draft: Draft, section: Section, filled: Filled) -> tuple[Draft, Section]:
    """Return the draft with what was typed in it; NotDone when an entry that was changed is wrong by itself."""
    typed = {field.name: filled.typed.get(PREFIX + field.name, "") for field in typed_fields(section)}
    text, there = draft.with_entries(section, typed)
    after = Draft(text)
    following = filled.typed.get(BEFORE, "").strip()
    if following and section.path == ("steps", NEW) and there != section:
        after = Draft(after.with_step_before(there, following))
    if text != draft.text:
        changed = {
            field.name
            for field in typed_fields(section)
            if typed[field.name].strip() != draft.typed(section, field).strip()
        }
        own = own_faults(after, there)
        wrong = own if section.is_new else {name: said for name, said in own.items() if name in changed}
        if wrong:
            raise NotDone(wrong)
    return after, there


def _show(page: FieldsPage, filled: Filled, draft: Draft, section: Section, latest: str) -> Filled:
    """Return the form of a part of the draft, with what was said about the save so far."""
    start = _start(section, draft)
    kept = {name: filled.typed[name] for name in (BASED_ON.name, WHO.name, WHY.name)}
    form = _form(section, start, names_of(draft))
    own = own_faults(draft, section)
    typed = {**kept, **start, DRAFT: draft.text}
    shown = shown_of(page.key, section, draft)
    changed = difference_of(latest, draft.text)
    notice = "Nothing is changed so far." if draft.text == latest else _so_far(changed)
    again = form.filled(typed).shown_again(notice, changed=changed if draft.text != latest else None, **shown)
    return again.back(
        {PREFIX + name: said for name, said in own.items()}, status=200, notice=notice, beside=again.beside
    )


def _so_far(changed: TextDifference) -> str:
    lines = "one line" if changed.new == 1 else f"{changed.new} lines"
    return f"Changed so far, and not saved yet: {lines} new, {changed.gone} gone."


def _back(page: FieldsPage, filled: Filled, section: Section, draft: Draft, latest: str, error: NotDone) -> Filled:
    """Return the form as it was typed, with what is wrong; the draft is as it was before."""
    form = _form(section, filled.typed, names_of(draft))
    changed = difference_of(latest, draft.text) if draft.text != latest else None
    return form.filled(filled.typed).back(
        {PREFIX + name: said for name, said in error.errors.items()},
        notice=f"Nothing was changed: {error.said}" if error.said else "",
        beside={**shown_of(page.key, section, draft), "changed": changed},
    )


def look_over(page: FieldsPage, filled: Filled, desk: Desk) -> Filled:
    """Return a form that goes back with what the page shows of its draft, which may know more than the latest revision."""
    section, draft = Section.named(page.section), Draft(filled.typed.get(DRAFT, ""))
    if section is None or not isinstance(draft.tree.data, dict):
        return filled
    latest = desk.record.revision(page.key).text
    changed = difference_of(latest, draft.text) if draft.text != latest else None
    beside = {**shown_of(page.key, section, draft), "changed": changed}
    return replace(filled, form=_form(section, filled.typed, names_of(draft)), beside=beside)


def register(pages: Pages) -> None:
    """Add the page on which a line is changed in a form."""
    pages.form("/lines/{key}/form", fields, "form.html", form=form_of, act=change, look_over=look_over)
