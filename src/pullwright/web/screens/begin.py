"""Beginning a line: from an example, or from a line file of one's own, typed, pasted or chosen."""

from __future__ import annotations

import re
import unicodedata
from typing import Annotated

from fastapi import Query

from pullwright.record import InvalidEntry, LineExists
from pullwright.record.limits import LIMITS
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import PRESSED, Field, Filled, Form
from pullwright.web.opened import example_of
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Crumb, Found
from pullwright.web.saving import CHECK, FILE, PRESS, TEXT, WHO, WHY, refused
from pullwright.web.way import line_way

TITLE = Field(
    "title",
    "What people call the line",
    hint="Its address is made from it, and stays when the line is renamed.",
    most=LIMITS["title"].most,
    asked_by="save",
)
BEGIN = Form("begin", TITLE, TEXT, FILE, WHO, WHY, PRESS)
Example = Annotated[str, Query(max_length=80, description="The key of an example to begin from.")]


class BeginPage(FormPage):
    """A new line; `examples` are those that it may begin from."""

    examples: tuple[Crumb, ...]


def key_of(title: str) -> str:
    """Return the key of a line that people call by this title.

    >>> key_of("Hand pump line 2"), key_of("Größe & Maß"), key_of("泵")
    ('hand-pump-line-2', 'groe-ma', 'line')
    """
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    key = re.sub(r"[^a-z0-9]+", "-", plain)[: LIMITS["key"].most].strip("-")
    return key or "line"


def begin(desk: AtDesk, example: Example = "") -> BeginPage:
    """From what may a new line begin?"""
    chosen = example_of(desk, example) if example else None
    start = {} if chosen is None else {TITLE.name: chosen.title, TEXT.name: chosen.text}
    found = "Begin a line: say what people call it, and what its line file is."
    if chosen is not None:
        found = f"Begin a line from {chosen.title}: change what you like now or later, and save it."
    return BeginPage(
        name="Begin a line",
        found=Found(text=found),
        trail=(Crumb(words="Lines", href="/"),),
        examples=tuple(
            Crumb(words=one.title, href=f"/new?example={one.key}", here=one is chosen) for one in desk.examples
        ),
        start=start,
    )


def add(page: BeginPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Read the text that was typed; say what it means, or add the line."""
    text = filled.typed[TEXT.name]
    key = free_key(desk, filled.typed[TITLE.name])
    worked_out = desk.shelf.of(text, f"{key}.yaml")
    if worked_out.survey is None:
        return refused(filled, worked_out.faults, worked_out.more_faults)
    if filled.typed[PRESSED] == CHECK:
        return filled.shown_again(f"It can be read; nothing was saved yet. {worked_out.survey.sentence}")
    try:
        desk.record.add_line(key, filled.typed[TITLE.name], text, filled.typed["who"], filled.typed["why"])
    except LineExists:
        return filled.back(
            {TITLE.name: "Somebody began a line of that name a moment ago. Save once more, or change it."}
        )
    except InvalidEntry as error:
        return filled.back({error.field: f"{error.read} was read; allowed is {error.allowed}."})
    return Done(line_way(key).base)


def free_key(desk: Desk, title: str) -> str:
    """Return the key for a title, with a number behind it where another line has it already."""
    taken = {entry.key for entry in desk.record.lines(away=True)}
    key, number = key_of(title), 1
    found = key
    while found in taken:
        number += 1
        ending = f"-{number}"
        found = key[: LIMITS["key"].most - len(ending)].rstrip("-") + ending
    return found


def register(pages: Pages) -> None:
    """Add the page on which a line begins."""
    pages.form("/new", begin, "begin.html", form=BEGIN, act=add)
