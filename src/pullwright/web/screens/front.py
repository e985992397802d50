"""The first page: the lines that are kept here, each with what was found on it, and how to begin another."""

from __future__ import annotations

from time import monotonic

from pullwright.record import LineEntry
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.opened import open_line
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Page, Piece, RevisionLine
from pullwright.web.way import line_way

PATIENCE = 2.0
"""Seconds that the first page spends on lines that were not worked out yet; the others are as good as opened later."""
NOT_YET = "Not worked out yet since the workbench was opened; open it to see."


class KeptLine(Piece):
    """One line: its key, what people call it, what was found on it, and its latest revision."""

    key: str
    title: str
    href: str
    sentence: str
    look: bool
    latest: RevisionLine


class FrontPage(Page):
    """The lines that are kept here, the last one changed first, and the examples that a new one may start from."""

    lines: tuple[KeptLine, ...]
    begin: tuple[Crumb, ...]


def front(desk: AtDesk) -> FrontPage:
    """Which lines are kept here, what was found on each, and who changed it last?"""
    entries = sorted(desk.record.lines(), key=lambda entry: entry.when, reverse=True)
    until = monotonic() + PATIENCE
    lines = tuple(_kept(desk, entry, until) for entry in entries)
    begin = (
        *(Crumb(words=example.title, href=f"/new?example={example.key}") for example in desk.examples),
        Crumb(words="your own line file", href="/new"),
        Crumb(words="the log of bookings of your shop", href="/logs/new"),
    )
    return FrontPage(
        name="Lines",
        found=Found(text=_found(lines)),
        places=(
            Crumb(words="Lines", href="/", here=True),
            Crumb(words="Logs", href="/logs"),
            Crumb(words="Examples", href="/examples"),
            Crumb(words="Help", href="/help"),
        ),
        lines=lines,
        begin=begin,
    )


def _kept(desk: Desk, entry: LineEntry, until: float) -> KeptLine:
    said = desk.shelf.said(entry.key, entry.latest)
    if said is None and monotonic() < until:
        open_line(desk, entry.key, entry.latest)
        said = desk.shelf.said(entry.key, entry.latest)
    way = line_way(entry.key)
    return KeptLine(
        key=entry.key,
        title=entry.title,
        href=way.base,
        sentence=said.sentence if said else NOT_YET,
        look=bool(said and said.look),
        latest=RevisionLine(
            number=entry.latest, who=entry.who, when=entry.when, why="", href=way.part("revisions"), latest=True
        ),
    )


def _found(lines: tuple[KeptLine, ...]) -> str:
    if not lines:
        return "No line is kept here yet."
    last = lines[0]
    count = "One line is" if len(lines) == 1 else f"{len(lines)} lines are"
    return f"{count} kept here; {last.latest.who} was the last to change one, {last.title}."


def register(pages: Pages) -> None:
    """Add the first page."""
    pages.page("/", front, "front.html")
