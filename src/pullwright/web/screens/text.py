"""The text of a line file with the numbers of its lines, so that a source can be pointed at."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from pullwright.web.opened import Opened, everywhere, file_everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found
from pullwright.web.problems import Problem
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.way import LINES_AT_ONCE, first_line_shown

First = Annotated[int, Query(ge=1, le=1_000_000_000, description="The first line to be shown.")]


YAML = "application/yaml"


class TextPage(AboutLine):
    """The text of a line file, or of a long one as many lines as a page can show; `first` is the number of the first."""

    first: int
    count: int
    lines: tuple[str, ...]
    windows: tuple[Crumb, ...] = ()
    file: str


def text(opened: Opened, first: First = 1) -> TextPage:
    """What does the line file say, line by line?"""
    lines = opened.worked_out.once("lines", lambda: tuple(opened.worked_out.text.splitlines()))
    start = first_line_shown(first)
    if start > max(len(lines), 1):
        raise Problem(404, f"line {first} of {len(lines)}", allowed=f"Lines 1 to {len(lines)}.")
    windows = tuple(
        Crumb(
            words=f"lines {begin} to {min(begin + LINES_AT_ONCE - 1, len(lines))}",
            href=f"{opened.way.part('text')}?first={begin}",
            here=begin == start,
        )
        for begin in range(1, len(lines) + 1, LINES_AT_ONCE)
    )
    return TextPage(
        name="Text",
        found=Found(text=_found(opened, len(lines))),
        trail=opened.trail(),
        places=opened.places("Text"),
        first=start,
        count=len(lines),
        lines=lines[start - 1 : start - 1 + LINES_AT_ONCE],
        file=opened.way.part("text.yaml"),
        windows=windows if len(windows) > 1 else (),
        **about(opened),
    )


def _found(opened: Opened, count: int) -> str:
    what = f"The line file of {opened.title} has {count} {'line' if count == 1 else 'lines'}"
    faults = len(opened.worked_out.faults) + opened.worked_out.more_faults
    if faults:
        return f"{what}, and {faults} {'fault' if faults == 1 else 'faults'}."
    return f"{what}; every number that is given stands in one of them."


def text_file(opened: Opened) -> Response:
    """What is the line file, letter for letter, to be taken away?"""
    headers = {"Content-Disposition": f'attachment; filename="{opened.key}.yaml"'}
    return Response(opened.worked_out.text.encode(), media_type=YAML, headers=headers)


def register(pages: Pages) -> None:
    """Add the page of the text, and the file itself."""
    everywhere(pages, "/text", text, "text.html")
    file_everywhere(pages, "/text.yaml", text_file, YAML)
