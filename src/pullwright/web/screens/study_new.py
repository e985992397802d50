"""Beginning a time study: of a step of the line, with its elements proposed, or from a file of readings."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Annotated

from fastapi import Query
from pydantic import Field as Kept

from pullwright.record.limits import LIMITS
from pullwright.watch.study.csv_file import read_csv
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.told import body_of, sheet_of
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.line_sheets import watched
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.studies import element_rows, elements_of_step, free_study_name, reading_notes, typed_elements
from pullwright.web.way import line_way

StepAsked = Annotated[str, Query(max_length=200, description="The step to be timed.", examples=["hone bore"])]
StudyAsked = Annotated[str, Query(max_length=200, description="A study of the line that is to be taken again.")]
NAME = Field("name", "What the study is called", hint="The line file refers to it by this name.", most=60)
OF = Field("of", "What is timed", required=False, most=160)
AT_ONCE = 1_000
"""Readings of a file that are written in one go."""
ELEMENTS = Field(
    "elements",
    "Elements, in the order of a cycle",
    hint="One in a line: what; by hand, machine or on foot; value, needed or which waste; once in how many cycles. "
    "An element begins and ends with something that can be seen or heard. "
    "Left empty, the elements are those that the line says of the step.",
    kind="text",
    most=20_000,
    required=False,
)
PRODUCT = Field("product", "Which product", required=False, most=120)
WHO = Field(
    "who",
    "Who takes the readings",
    hint="A post, or the name that people on the floor know you by. Ask the person who is timed first.",
    most=LIMITS["who"].most,
    autocomplete="name",
)
FILE = Field(
    "file",
    "Or readings that were taken already",
    hint="A CSV file: one column an element and one row a cycle, or one row a reading. It takes the place of the elements.",
    kind="data",
    required=False,
)
CSV = Field(
    "csv",
    "Or readings as text",
    hint="The same, pasted from a spreadsheet.",
    kind="text",
    required=False,
    most=2_000_000,
)


class BeginStudyPage(AboutLine, FormPage):
    """A time study to be begun."""

    steps: tuple[tuple[str, str], ...] = Kept(default=(), exclude=True)
    products: tuple[str, ...] = Kept(default=(), exclude=True)
    action: str = Kept(default="", exclude=True)
    back: str = Kept(default="", exclude=True)


def begin_study(key: Key, desk: AtDesk, step: StepAsked = "", study: StudyAsked = "") -> BeginStudyPage:
    """Which step is to be timed, element by element?"""
    opened = open_line(desk, key)
    line = opened.worked_out.survey.line if opened.worked_out.survey else None
    steps = tuple((one.name, one.station) for one in line.steps) if line else ()
    chosen = step if any(name == step for name, _ in steps) else ""
    elements = elements_of_step(line, chosen) if line and chosen else ()
    again = next((one for one in line.studies if one.name == study), None) if line and study else None
    start = {
        NAME.name: free_study_name(line, desk.record.sheets("study", line=key, struck=True)),
        OF.name: again.of if again else chosen,
        "step": chosen,
        ELEMENTS.name: typed_elements(elements),
    }
    what = f"of {chosen}" if chosen else "of a step"
    return BeginStudyPage(
        name="Begin a time study",
        found=Found(text=f"Begin a time study {what}: say what a cycle consists of; the stopwatch comes next."),
        trail=(*opened.trail(), watched(key)),
        places=opened.places(""),
        steps=steps,
        products=tuple(one.name for one in line.products) if line else (),
        action=line_way(key).part("studies/new"),
        back=line_way(key).part("watch"),
        start=start,
        **about(opened),
    )


def _form(page: BeginStudyPage) -> Form:
    steps = (("", "none of this line"), *((name, f"{name}, at {station}") for name, station in page.steps))
    step = Field("step", "Which step", kind="choice", required=False, choices=steps)
    product = Field(PRODUCT.name, PRODUCT.label, required=False, most=PRODUCT.most, known=page.products)
    return Form("begin-study", NAME, OF, step, product, ELEMENTS, FILE, CSV, WHO)


def _elements_in_line(desk: Desk, key: str, step: str) -> str:
    """The elements that the line says of this step, as they would be typed."""
    survey = open_line(desk, key).worked_out.survey
    return typed_elements(elements_of_step(survey.line, step)) if survey and step else ""


def begin(page: BeginStudyPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Begin the study: with these elements, or with all that a file holds."""
    typed = filled.typed
    who = typed["who"]
    station = next((station for name, station in page.steps if name == typed["step"]), "")
    head = {"name": typed["name"].strip(), "of": typed["of"].strip(), "station": station, "step": typed["step"], "product": typed["product"].strip()}  # fmt: skip
    chosen = filled.files.get(FILE.name)
    text, name = (chosen.content.read(), chosen.name) if chosen else (typed["csv"].encode(), "what was pasted")
    try:
        if text.strip():
            study = read_csv(_as_text(text), name)
            body = body_of(study) | {name: said for name, said in head.items() if said}
            notes = list(reading_notes(study, who))
        else:
            said_in_the_line = "" if typed["elements"].strip() else _elements_in_line(desk, page.key, typed["step"])
            rows, wrong = element_rows(typed["elements"] or said_in_the_line)
            if not rows:
                wrong = ["Nothing was typed here, and no file was chosen: say at least one element."]
            if wrong:
                return filled.back({"elements": "; ".join(wrong[:6])})
            body, notes = {**head, "elements": rows}, []
        sheet_of(body, ())
    except StudyError as error:
        return filled.back({"file" if chosen else "csv" if text.strip() else "elements": f"{error}"})
    if text.strip():
        with tempfile.NamedTemporaryFile() as kept:
            kept.write(text)
            kept.flush()
            file = (name if chosen else "pasted.csv", Path(kept.name))
            sheet = desk.record.begin_sheet("study", head["name"], body, who, line=page.key, file=file)
    else:
        sheet = desk.record.begin_sheet("study", head["name"], body, who, line=page.key)
    for first in range(0, len(notes), AT_ONCE):
        desk.record.write_notes(sheet.key, notes[first : first + AT_ONCE])
    way = line_way(page.key).part(f"studies/{sheet.key}")
    return Done(way if notes else f"{way}/stopwatch")


def _as_text(raw: bytes) -> str:
    """Return the text of a file. Raises StudyError where it is none."""
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        utf16 = "it is saved as UTF-16; " if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else ""
        raise StudyError(
            f"byte {error.start + 1:,} of the file",
            "is no text in UTF-8",
            "a CSV file in UTF-8",
            f"{utf16}save it as UTF-8",
        ) from error


def register(pages: Pages) -> None:
    """Add the page on which a time study begins."""
    pages.form("/lines/{key}/studies/new", begin_study, "study_new.html", form=_form, act=begin)
