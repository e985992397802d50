"""Putting a study right: marks on readings, rating, allowances; each a note with who wrote it, nothing overwritten."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any
from uuid import uuid4

from fastapi import Query
from pydantic import Field as Kept

from pullwright.figure import number_text
from pullwright.record import NewNote
from pullwright.record.limits import LIMITS
from pullwright.watch.study.allowances import BY_KEY, TABLE
from pullwright.watch.study.faults import StudyError
from pullwright.watch.study.performance import rating_of
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of, open_sheet
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found
from pullwright.web.screens.about_line import AboutLine, about_sheet
from pullwright.web.screens.study import opened_study
from pullwright.web.studies import study_with

NumberAsked = Annotated[str, Query(max_length=400, description="The numbers of readings.", examples=["3, 7"])]
WHO = Field("who", "Who says so", most=LIMITS["who"].most, autocomplete="name")
ACTS = (
    ("aside", "set it aside"),
    ("count", "let it count"),
    ("foreign", "it is foreign to the work"),
    ("rate", "give it a rating of its own"),
)
CORRECT = Form(
    "correct-reading",
    Field("number", "Number of the reading", hint="As the page of the study lists it; several with commas: 3, 7, 12.", most=400),
    Field("act", "What about it", kind="choice", choices=ACTS),
    Field("why", "Why", hint="What happened: the phone rang, a chip was stuck. It stands beside the reading for ever.", required=False, most=200),
    Field("rating", "Rating", hint="100 is standard; needed only to give it a rating of its own.", required=False, most=10),
    WHO,
)  # fmt: skip
TERMS = Form(
    "study-terms",
    Field("rating", "Rating of the study", hint="For every reading that has none of its own. 100 is the pace of somebody trained who keeps it up all day.", most=10),
    Field(
        "allowances",
        "Allowances on basic time",
        hint="One in a line: a row of the table below, or one of your own with its share: waiting for the crane; 2 %.",
        kind="text",
        required=False,
        most=4_000,
    ),
    WHO,
)  # fmt: skip


class CorrectPage(AboutLine, FormPage):
    """Readings that are to be put right."""

    sheet: SheetHead
    action: str = Kept(default="", exclude=True)
    back: str = Kept(default="", exclude=True)
    table: tuple[tuple[str, str, str], ...] = ()


def correct(key: Key, sheet: SheetKey, desk: AtDesk, number: NumberAsked = "") -> CorrectPage:
    """Which readings are to be set aside, to count again, or to get a rating of their own?"""
    said = "Put readings right: each correction is kept beside the reading."
    return _page(key, sheet, desk, "readings", "Correct readings", said).model_copy(
        update={"start": {"number": number}}
    )


def terms(key: Key, sheet: SheetKey, desk: AtDesk) -> CorrectPage:
    """At which rating was the study taken, and which allowances hold?"""
    page = _page(
        key, sheet, desk, "terms", "Rating and allowances", "Say at which pace it was timed, and how much rest is owed."
    )
    _, _, timed = opened_study(desk, key, sheet)
    lines = [
        one.key if one.key in BY_KEY and BY_KEY[one.key].share == one.share else f"{one.words or one.key}; {number_text(one.share * 100, 1)} %"
        for one in timed.allowances
    ]  # fmt: skip
    start = {"rating": number_text(timed.rating * 100, 0), "allowances": "\n".join(lines)}
    table = tuple((row.key, row.words, f"{number_text(row.share * 100, 0)} %") for row in TABLE)
    return page.model_copy(update={"start": start, "table": table})


def _page(key: str, sheet: str, desk: Desk, part: str, name: str, found: str) -> CorrectPage:
    opened = open_line(desk, key)
    kept = open_sheet(desk, key, sheet, "study")
    return CorrectPage(
        name=name,
        found=Found(text=found),
        action=address_of(kept, part),
        back=address_of(kept),
        **about_sheet(opened, kept),
    )


def put_right(page: CorrectPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Note what is said of these readings."""
    typed = filled.typed
    _, _, timed = opened_study(desk, page.key, page.sheet.key)
    chosen = []
    for part in typed["number"].replace(";", ",").split(","):
        number = part.strip()
        if not number:
            continue
        if not (number.isascii() and number.isdigit()) or not 0 < int(number[:7]) <= len(timed.readings):
            return filled.back({"number": f"{number[:20]!r} was read; allowed are 1 to {len(timed.readings)}."})
        chosen.append(timed.readings[int(number) - 1])
    body: dict[str, Any] = {}
    why = typed["why"].strip()
    if typed["act"] == "aside":
        if not why:
            return filled.back({"why": "Nothing was typed here; say why it does not count."})
        body = {"aside": why}
    elif typed["act"] == "count":
        body = {"aside": ""}
    elif typed["act"] == "foreign":
        body = {"element": -1} | ({"note": why} if why else {})
    else:
        try:
            body = {"rating": rating_of(typed["rating"].strip() or "nothing")}
        except StudyError as error:
            return filled.back({"rating": str(error)})
    return _written(page, filled, desk, [("mark", {"of": one.uid, **body}) for one in chosen])


def set_terms(page: CorrectPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Note the rating and the allowances of the study."""
    typed = filled.typed
    try:
        rating = rating_of(typed["rating"].strip())
    except StudyError as error:
        return filled.back({"rating": str(error)})
    rows, wrong = [], []
    for number, line in enumerate(typed["allowances"].splitlines(), 1):
        words, _, share = (part.strip() for part in line.partition(";"))
        if not words:
            continue
        if not share and words in BY_KEY:
            rows.append({"key": words, "share": BY_KEY[words].share, "words": BY_KEY[words].words})
            continue
        digits = share.removesuffix("%").strip().replace(",", ".")
        try:
            rows.append({"key": words, "share": float(digits) / 100, "words": words})
        except ValueError:
            wrong.append(f"line {number}: {line.strip()[:40]!r} is no row of the table and has no share such as 2 %")
    if wrong:
        return filled.back({"allowances": "; ".join(wrong[:5])})
    return _written(
        page, filled, desk, [("rating", {"rating": rating}), ("allowances", {"rows": rows})], field="allowances"
    )


def _written(
    page: CorrectPage, filled: Filled, desk: Desk, told: list[tuple[str, dict[str, Any]]], field: str = "number"
) -> Done | Filled:
    """Write these notes, where the study can still be understood with them."""
    sheet, before = desk.record.sheet(page.sheet.key), desk.record.notes(page.sheet.key)
    now = datetime.now(UTC)
    notes = [NewNote(uuid4().hex, kind, body, filled.typed["who"], now) for kind, body in told]
    try:
        study_with(sheet, before, notes)
    except StudyError as error:
        return filled.back({field: str(error)})
    desk.record.write_notes(sheet.key, notes)
    return Done(page.back)


def register(pages: Pages) -> None:
    """Add the forms that put a study right."""
    pages.form("/lines/{key}/studies/{sheet}/readings", correct, "study_correct.html", form=CORRECT, act=put_right)
    pages.form("/lines/{key}/studies/{sheet}/terms", terms, "study_terms.html", form=TERMS, act=set_terms)
