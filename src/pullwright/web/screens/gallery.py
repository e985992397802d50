"""The examples: each with its drawing, what was found on it, and the way to begin a line from it."""

from __future__ import annotations

from pydantic import Field

from pullwright.web.desk import AtDesk
from pullwright.web.opened import Opened, open_example
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Page, Piece
from pullwright.web.screens.line import WIDE


class ShownExample(Piece):
    """One example: its key, its title, what it is about, what was found on it, and whether it is made up."""

    key: str
    title: str
    about: str
    sentence: str
    invented: bool
    href: str
    begin: str
    small: str = Field(exclude=True)


class GalleryPage(Page):
    """Every example."""

    examples: tuple[ShownExample, ...]


def gallery(desk: AtDesk) -> GalleryPage:
    """Which examples are there to look around and to begin from?"""
    shown = []
    for example in desk.examples:
        opened = open_example(desk, example.key)
        survey = opened.survey
        shown.append(
            ShownExample(
                key=example.key,
                title=example.title,
                about=survey.line.about,
                sentence=survey.sentence,
                invented=survey.line.invented,
                href=opened.way.base,
                begin=f"/new?example={example.key}",
                small=_small(opened),
            )
        )
    count = "One example is" if len(shown) == 1 else f"{len(shown)} examples are" if shown else "No example is"
    return GalleryPage(
        name="Examples",
        found=Found(text=f"{count} here to look around, to try things on, and to begin a line from."),
        places=(
            Crumb(words="Lines", href="/"),
            Crumb(words="Examples", href="/examples", here=True),
            Crumb(words="Help", href="/help"),
        ),
        examples=tuple(shown),
    )


def _small(opened: Opened) -> str:
    prefix = f"small-{opened.key}"
    return opened.worked_out.once(
        prefix, lambda: opened.survey.drawing(WIDE, prefix=prefix, why_link=opened.way.why, heading=False)
    )


def register(pages: Pages) -> None:
    """Add the page of the examples."""
    pages.page("/examples", gallery, "gallery.html")
