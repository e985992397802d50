"""The flow of a line: takt, loads, ladder, waiting, stock, yields, indicators, and three yardsticks."""

from __future__ import annotations

from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Piece, Table
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.screens.flow_tables import TABLES


class FlowPart(Piece):
    """One part of the page: its id, its title, a sentence about it, and its tables."""

    key: str
    title: str
    margin: str
    tables: tuple[Table, ...]


class FlowPage(AboutLine):
    """All of the flow arithmetic."""

    parts: tuple[FlowPart, ...]


def flow(opened: Opened) -> FlowPage:
    """How does the work flow: how full is everything, where does a piece wait, what lies where?"""
    survey = opened.survey
    return FlowPage(
        name="Flow",
        found=Found(text=survey.flow.verdict(), look=not survey.flow.keeps_up),
        trail=opened.trail(),
        places=opened.places("Flow"),
        parts=opened.worked_out.once(f"flow {opened.way.base}", lambda: _parts(opened)),
        **about(opened),
    )


def _parts(opened: Opened) -> tuple[FlowPart, ...]:
    found = []
    for key, title, margin, make in TABLES:
        made = make(opened)
        tables = tuple(table for table in (made if isinstance(made, tuple) else (made,)) if table.rows)
        if tables:
            found.append(FlowPart(key=key, title=title, margin=margin, tables=tables))
    return tuple(found)


def register(pages: Pages) -> None:
    """Add the page of the flow."""
    everywhere(pages, "/flow", flow, "flow.html")
