"""What every page about one line has, and the pieces that several of them show."""

from __future__ import annotations

from pullwright.figure.advice import Advice
from pullwright.record import Sheet
from pullwright.web.line_sheets import head_of, trail_to
from pullwright.web.opened import Opened
from pullwright.web.pieces import Finding, Notice, Page, Watch
from pullwright.web.watch_ways import way_to_watch


class AboutLine(Page):
    """A page about one text of a line; `revision` is its number, None for an example."""

    key: str
    revision: int | None
    notices: tuple[Notice, ...] = ()


def about(opened: Opened) -> dict[str, object]:
    """Return what an `AboutLine` takes beside its own matter."""
    return {
        "key": opened.key,
        "revision": None if opened.revision is None else opened.revision.number,
        "notices": opened.notices(),
    }


def about_sheet(opened: Opened, sheet: Sheet) -> dict[str, object]:
    """Return what a page about one sheet of a line takes beside its own matter, the way to the sheet in its trail."""
    return {
        "trail": trail_to(sheet, opened.trail()),
        "places": opened.places(""),
        "sheet": head_of(sheet),
        **about(opened),
    }


def findings(opened: Opened) -> tuple[Finding, ...]:
    """Return what is out of place, each with the way to its why."""
    return tuple(
        Finding(word=one.word, sentence=one.sentence, kind=one.kind, place=one.place, figure=opened.show(one.figure))
        for one in opened.survey.findings
    )


def watch(opened: Opened, advice: tuple[Advice, ...]) -> tuple[Watch, ...]:
    """Return what to watch next, each with the way to begin it where the line is kept and can be watched."""
    return tuple(
        Watch(
            sentence=one.sentence,
            figure=opened.show(one.figure),
            about=opened.show(one.about),
            gain=one.gain,
            begin=way_to_watch(one.figure, opened.survey.line, opened.line_way) if opened.revision else None,
        )
        for one in advice
    )
