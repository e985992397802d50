"""Putting a plan into the line: its wishes, and what it changes, shown as a change of the text, saved as a revision."""

from __future__ import annotations

from urllib.parse import parse_qsl

from pydantic import Field as Kept
from starlette.requests import Request

from pullwright.line import Line, LineFileError
from pullwright.line.edit import EditError
from pullwright.pull.changes import Change, applied
from pullwright.pull.plan import plan_of
from pullwright.pull.wished import wish_changes
from pullwright.survey import survey_of
from pullwright.survey.planned.planned import Planned
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.difference import TextDifference
from pullwright.web.forms import Field, Filled, Form
from pullwright.web.opened import Key, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found
from pullwright.web.plan_pages import PlanMatter, plan_asked
from pullwright.web.saving import BASED_ON, WHO, WHY
from pullwright.web.screens.watch_into_line import PRESS, shown_or_saved
from pullwright.web.wished import read_wishes

WISHES_ONLY, USUAL = "wishes", "usual"


class PlanIntoLinePage(PlanMatter, FormPage):
    """A plan on its way into the line; `chapters` are the parts that change something, with their titles."""

    chapters: tuple[tuple[str, str], ...] = Kept(default=(), exclude=True)
    changed: TextDifference | None = None
    difference: TextDifference | None = None
    overtaken_by: int | None = None
    action: str = Kept(default="", exclude=True)


def plan_into_line(key: Key, request: Request, desk: AtDesk) -> PlanIntoLinePage:
    """What of the plan goes into the line file?"""
    ask = plan_asked(open_line(desk, key), request, desk)
    changing = tuple((chapter.key, chapter.title) for chapter in ask.planned.chapters if chapter.changes)
    return PlanIntoLinePage(
        found=Found(text="The plan goes into the line file; look at what it changes there, and save it as the next revision."),
        chapters=changing,
        action=ask.part("/into-line"),
        start={
            BASED_ON.name: str(ask.opened.latest), "what": USUAL, WHO.name: "",
            WHY.name: f"Pull plan{' with ' + ask.wished.words if ask.wished.typed else ''}"[:400],
        },
        **ask.about("Put into the line"),
    )  # fmt: skip


def _form(page: PlanIntoLinePage) -> Form:
    return Form(
        "plan-into-line",
        BASED_ON,
        Field(
            "what", "What goes in", kind="choice",
            choices=((USUAL, "the wishes, cards and deliveries"), *((key, f"the wishes, and {title.lower()}") for key, title in page.chapters), (WISHES_ONLY, "the wishes alone")),
        ),
        WHO,
        WHY,
        PRESS,
    )  # fmt: skip


def put_plan(page: PlanIntoLinePage, filled: Filled, desk: Desk) -> Done | Filled:
    """Put the plan into the latest text; show what that changes, or save it."""
    latest = desk.record.revision(page.key)
    try:
        wished = read_wishes(parse_qsl(page.query), Line.from_text(latest.text), page.file_href)
        text = applied(latest.text, wish_changes(wished.typed))
        text = applied(text, _chosen(text, filled.typed["what"]))
        Line.from_text(text)
    except (EditError, LineFileError) as error:
        return filled.back(
            {"what": f"{error}"}, notice="Nothing was saved: the plan does not fit the text as it stands."
        )
    return shown_or_saved(filled, desk, latest, text)


def _chosen(text: str, what: str) -> tuple[Change, ...]:
    if what == WISHES_ONLY:
        return ()
    planned = Planned(plan_of(survey_of(Line.from_text(text)).accounts))
    return planned.changes if what == USUAL else planned.changes_of((what,))


def register(pages: Pages) -> None:
    """Add the page that puts a plan into the line."""
    pages.form("/lines/{key}/plan/into-line", plan_into_line, "plan_into_line.html", form=_form, act=put_plan)
