"""The first page: the lines that are kept here."""

from __future__ import annotations

from pullwright.web.desk import AtDesk
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Page, Piece, RevisionLine


class KeptLine(Piece):
    """One line: its key, what people call it, and its latest revision."""

    key: str
    title: str
    latest: RevisionLine


class FrontPage(Page):
    """The lines that are kept here, the last one changed first."""

    lines: tuple[KeptLine, ...]


def front(desk: AtDesk) -> FrontPage:
    """Which lines are kept here, and who changed them last?"""
    entries = sorted(desk.record.lines(), key=lambda entry: entry.when, reverse=True)
    lines = tuple(
        KeptLine(
            key=entry.key,
            title=entry.title,
            latest=RevisionLine(number=entry.latest, who=entry.who, when=entry.when, why="", href="", latest=True),
        )
        for entry in entries
    )
    return FrontPage(name="Lines", found=Found(text=_found(lines)), lines=lines)


def _found(lines: tuple[KeptLine, ...]) -> str:
    if not lines:
        return "No line is kept here yet."
    last = lines[0]
    count = "One line is" if len(lines) == 1 else f"{len(lines)} lines are"
    return f"{count} kept here; {last.latest.who} was the last to change one, {last.title}."


def register(pages: Pages) -> None:
    """Add the first page."""
    pages.page("/", front, "front.html")
