"""The stopwatch: a page that times the elements of a cycle by taps, keeps every reading on the phone, and sends it when it can."""

from __future__ import annotations

import json

from pydantic import Field as Kept
from starlette.responses import Response

from pullwright.survey.caution import caution_of
from pullwright.watch.study.sheet import StudySheet
from pullwright.watch.study.told import body_of
from pullwright.web.assets import STATIC
from pullwright.web.desk import AtDesk
from pullwright.web.line_sheets import SheetHead, SheetKey, address_of, head_of, open_sheet, trail_to
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.screens.study_notes import AT_ONCE
from pullwright.web.studies import study_on

WORKER = "/stopwatch_worker.js"
SCRIPT = "text/javascript"


class StopwatchPage(AboutLine):
    """The stopwatch of a study; `told` is what its script has to know, as JSON."""

    sheet: SheetHead
    caution: str
    told: str = Kept(exclude=True)
    on_paper: str = Kept(exclude=True)


def stopwatch(key: Key, sheet: SheetKey, desk: AtDesk) -> StopwatchPage:
    """How long does each element of the cycle take, timed by taps at the machine, with a network or without?"""
    opened = open_line(desk, key)
    kept = open_sheet(desk, key, sheet, "study")
    study = study_on(kept, desk.record.notes(kept.key))
    survey = opened.worked_out.survey
    told = {
        # A record that was begun anew may have a study of the same key; what a phone still holds belongs to this one only.
        "id": f"{key} {kept.key} {kept.when.isoformat()}",
        "page": address_of(kept, "stopwatch"),
        "notes": address_of(kept, "notes"),
        "worker": WORKER,
        "atOnce": AT_ONCE,
        "who": study.who or kept.who,
        "rating": study.rating,
        "elements": body_of(study)["elements"],
    }
    return StopwatchPage(
        name="Stopwatch",
        found=Found(text=f"{study.name}, {what_is_timed(study)}: tap at the end of each element."),
        trail=trail_to(kept, opened.trail()),
        places=(),
        sheet=head_of(kept),
        caution=opened.worked_out.once("caution", lambda: caution_of(survey.line)) if survey else "",
        told=json.dumps(told),
        on_paper=address_of(kept, "sheet.pdf"),
        **about(opened),
    )


def what_is_timed(study: StudySheet) -> str:
    """Return what a study is about, as a person says it.

    >>> what_is_timed(StudySheet("T-1", (), of="honing", step="hone", station="hone 1"))
    'honing at hone 1'
    """
    what = study.of or study.step or "work"
    return f"{what} at {study.station}" if study.station and study.station != what else what


def stopwatch_worker() -> Response:
    """Which script opens the stopwatch without a network? It is asked for by browsers, under one address for ever."""
    return Response((STATIC / "stopwatch_worker.js").read_bytes(), media_type=SCRIPT)


def register(pages: Pages) -> None:
    """Add the stopwatch, and the script that keeps it on a phone."""
    pages.page("/lines/{key}/studies/{sheet}/stopwatch", stopwatch, "stopwatch.html")
    pages.file(WORKER, stopwatch_worker, SCRIPT)
