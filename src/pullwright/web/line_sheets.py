"""Sheets of the record on their way to a page: where each has its pages, who began it and when, whether it still counts."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated
from urllib.parse import quote

from fastapi import Path

from pullwright.record import Sheet, UnknownSheet
from pullwright.record.entries import SheetKind
from pullwright.web.desk import Desk
from pullwright.web.pieces import Crumb, Piece
from pullwright.web.problems import NextStep, Problem
from pullwright.web.way import line_way

SheetKey = Annotated[
    str, Path(max_length=60, description="The key of a sheet, as its address shows it.", examples=["sample-1"])
]
PARTS: dict[SheetKind, str] = {"study": "studies", "sample": "tours", "count": "counts"}
"""Where the sheets of a kind are, under the line that they are about."""
WORDS: dict[SheetKind, str] = {
    "study": "time study",
    "sample": "tour of rounds",
    "count": "round of counting",
    "log": "log",
}


class SheetHead(Piece):
    """What stands over every sheet: its title, who began it when, and whether it was struck."""

    key: str
    kind: str
    words: str
    title: str
    who: str
    when: datetime
    struck: bool
    notes: int
    href: str


def head_of(sheet: Sheet) -> SheetHead:
    """Return what a page shows over a sheet."""
    return SheetHead(
        key=sheet.key,
        kind=sheet.kind,
        words=WORDS[sheet.kind],
        title=sheet.title,
        who=sheet.who,
        when=sheet.when,
        struck=sheet.struck,
        notes=sheet.notes,
        href=address_of(sheet),
    )


def address_of(sheet: Sheet, part: str = "") -> str:
    """Return the address of a sheet, or of one of its pages.

    >>> from datetime import UTC
    >>> sheet = Sheet("sample-1", "sample", "hone", "Rounds", {}, "A. Weber", datetime(2025, 3, 4, tzinfo=UTC))
    >>> address_of(sheet), address_of(sheet, "looks.csv")
    ('/lines/hone/tours/sample-1', '/lines/hone/tours/sample-1/looks.csv')
    """
    if sheet.kind not in PARTS or sheet.line is None:
        return f"/logs/{quote(sheet.key, safe='')}"
    base = f"{line_way(sheet.line).part(PARTS[sheet.kind])}/{quote(sheet.key, safe='')}"
    return f"{base}/{part}" if part else base


def open_sheet(desk: Desk, key: str, sheet_key: str, kind: SheetKind) -> Sheet:
    """Return a sheet of this kind about this line; Problem (404) when there is none, with the way to those that there are."""
    desk.record.revision(key)
    try:
        sheet = desk.record.sheet(sheet_key)
    except UnknownSheet:
        sheet = None
    if sheet is None or sheet.kind != kind or sheet.line != key:
        raise Problem(
            404,
            f"the {WORDS[kind]} {sheet_key[:80]!r}",
            allowed=f"A {WORDS[kind]} of this line.",
            todo="Look for it among all that was watched at this line.",
            steps=(NextStep("What was watched", line_way(key).part("watch")),),
        )
    return sheet


def trail_to(sheet: Sheet, before: tuple[Crumb, ...]) -> tuple[Crumb, ...]:
    """Return the way to a page of a sheet, the sheet itself in it."""
    return (*before, watched(sheet.line or ""), Crumb(words=sheet.title, href=address_of(sheet)))


def watched(key: str) -> Crumb:
    """Return the way to all that was watched at a line."""
    return Crumb(words="Watch", href=line_way(key).part("watch"))
