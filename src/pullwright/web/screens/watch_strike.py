"""Striking a sheet as a whole, and taking that back: nothing is thrown away, and the reason stands beside it."""

from __future__ import annotations

from collections.abc import Callable

from pydantic import Field as Kept

from pullwright.record.entries import SheetKind
from pullwright.record.limits import LIMITS
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.line_sheets import PARTS, SheetHead, SheetKey, address_of, head_of, open_sheet
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found
from pullwright.web.screens.about_line import AboutLine, about_sheet

STRIKE = Form(
    "strike",
    Field("who", "Who says so", hint="The name that people on the floor know you by.", most=LIMITS["who"].most, autocomplete="name"),
    Field("why", "Why", hint="What was wrong with it, or what turned out to be right after all.", kind="text", most=LIMITS["why"].most),
)  # fmt: skip


class StrikePage(AboutLine, FormPage):
    """A sheet that is to be struck, or taken back."""

    sheet: SheetHead
    action: str = Kept(exclude=True)


def view_of(kind: SheetKind) -> Callable[..., StrikePage]:
    """Return the view of the page that strikes sheets of this kind."""

    def strike(key: Key, sheet: SheetKey, desk: AtDesk) -> StrikePage:
        """Should this sheet no longer count, or count again?"""
        opened = open_line(desk, key)
        kept = open_sheet(desk, key, sheet, kind)
        head = head_of(kept)
        text = f"{head.words.capitalize()} {head.title} counts today. Struck, it stays with every note, and counts no longer."
        if kept.struck:
            text = f"{head.words.capitalize()} {head.title} was struck. Taken back, it counts again as it stands."
        return StrikePage(
            name="Take it back" if kept.struck else "Strike it",
            found=Found(text=text),
            action=address_of(kept, "strike"),
            **about_sheet(opened, kept),
        )

    strike.__name__ = f"strike_{PARTS[kind]}"
    return strike


def turn(page: StrikePage, filled: Filled, desk: Desk) -> Done | Filled:
    """Strike a sheet, or take that back."""
    act = desk.record.restore if page.sheet.struck else desk.record.strike
    act(page.sheet.key, filled.typed["who"], filled.typed["why"])
    return Done(page.sheet.href)


def register(pages: Pages) -> None:
    """Add the pages that strike a tour of rounds and a round of counting."""
    for kind in ("sample", "count", "study"):
        pages.form(
            f"/lines/{{key}}/{PARTS[kind]}/{{sheet}}/strike", view_of(kind), "strike.html", form=STRIKE, act=turn
        )
