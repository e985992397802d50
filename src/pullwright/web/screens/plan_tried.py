"""The plan in the forecast: what the line as planned will really do, beside the line as it is, on the same luck."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Literal
from urllib.parse import urlencode

from fastapi import Query
from pydantic import Field
from starlette.requests import Request

from pullwright.forecast.errors import CannotRun, TooMuch
from pullwright.forecast.warm import USUAL_SECONDS, WARMTH
from pullwright.line import Line, LineFileError
from pullwright.line.edit import EditError
from pullwright.survey.planned.chapters import PARTS
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.difference import TextDifference, difference_of
from pullwright.web.forecast_answers import Answering, AnswerTable, ForecastWay
from pullwright.web.forecast_pages import Waiting, first_line
from pullwright.web.foreseen import Beside
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Piece, Shown, WhyNode
from pullwright.web.plan_pages import PlanAsked, PlanMatter, plan_asked
from pullwright.web.problems import NextStep, Problem
from pullwright.web.screens.forecast_why import found_of, told_in
from pullwright.web.screens.why import AskedDigest, AskedName
from pullwright.web.slow_shelf import UnderWay
from pullwright.web.why_tree import tree_of

OfTried = Annotated[
    Literal["today", "option"], Query(description="Whose figure: that of the line today, or of the line as planned.")
]


TakenParts = Annotated[
    list[str],
    Query(alias="part", max_length=20, description="Which parts of the plan are tried; cards and deliveries where nothing is said.", examples=[["cards"]]),
]  # fmt: skip


class Choice(Piece):
    """A part of the plan that may be tried; `taken` says whether it is, `changes` how much it changes."""

    key: str
    title: str
    taken: bool
    changes: int


class PlanTriedPage(PlanMatter):
    """What the forecast says of a plan; `refused` where it cannot be run, `waiting` while it is."""

    choices: tuple[Choice, ...] = ()
    action: str = Field(default="", exclude=True)
    typed: tuple[tuple[str, str], ...] = Field(default=(), exclude=True)
    answers: AnswerTable | None = None
    money: AnswerTable | None = None
    because: tuple[str, ...] = ()
    changed: TextDifference | None = None
    left_out: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    made_by: str = ""
    waiting: Waiting | None = None
    refused: str = ""


def plan_tried(opened: Opened, request: Request, desk: AtDesk, parts: TakenParts = []) -> PlanTriedPage:  # noqa: B006
    """What will the line really do when it is run as planned?"""
    ask = plan_asked(opened, request, desk)
    keys = _taken(parts, ask)
    changes = ask.planned.changes_of(keys)
    page: dict[str, object] = {
        **ask.about("In the forecast"), "because": tuple(change.because for change in changes), "action": opened.way.part("plan/tried"),
        "typed": tuple(ask.wished.typed.items()),
        "choices": tuple(Choice(key=one.key, title=one.title, taken=one.key in keys, changes=len(one.changes)) for one in ask.planned.chapters if one.changes),
    }  # fmt: skip
    try:
        text = ask.as_planned(keys)
        line = Line.from_text(text, name=f"{opened.key}.yaml")
    except (EditError, LineFileError) as error:
        said = f"The plan cannot be written into the line file: {error}"
        return PlanTriedPage(**page, found=Found(text=said, look=True), refused=said)
    page["changed"] = difference_of(opened.worked_out.text, text)
    found = _beside(ask, desk, line, text)
    if isinstance(found, Waiting):
        return PlanTriedPage(**page, found=Found(text=found.words), waiting=found)
    if isinstance(found, str):
        return PlanTriedPage(
            **page, found=Found(text=f"The forecast cannot run this plan: {found}", look=True), refused=found
        )
    told, here = Answering(found, _way(ask, keys)), (found.option or found.today).forecast
    return PlanTriedPage(
        **page,
        found=first_line(found, "the plan", money=True),
        answers=told.headline(),
        money=told.money(),
        left_out=here.left_out,
        notes=here.notes,
        made_by=here.made_by,
    )


class PlanTriedWhyPage(PlanMatter):
    """Why one number of what the forecast says of a plan is what it is."""

    figure: Shown
    why: WhyNode
    made_by: str


def plan_tried_why(
    opened: Opened,
    request: Request,
    desk: AtDesk,
    figure: AskedName = "",
    digest: AskedDigest = "",
    of: OfTried = "today",
    parts: TakenParts = [],  # noqa: B006
) -> PlanTriedWhyPage:
    """Why is this number of the forecast of a plan what it is?"""
    ask = plan_asked(opened, request, desk)
    found: Beside | Waiting | str
    try:
        text = ask.as_planned(_taken(parts, ask))
        found = _beside(ask, desk, Line.from_text(text, name=f"{opened.key}.yaml"), text)
    except (EditError, LineFileError) as error:
        found = str(error)
    if not isinstance(found, Beside):
        said = found.words if isinstance(found, Waiting) else found
        raise Problem(
            404, "a figure of a plan in the forecast", title="The forecast of this plan is not there now.", allowed="A plan that was run.", todo=said,
            steps=(NextStep("The plan in the forecast", ask.part("/tried")),),
        )  # fmt: skip
    here = found.option if of == "option" and found.option is not None else found.today
    told, _ = told_in(found, here, figure, digest, ask.part("/tried"))
    currency = opened.survey.line.currency
    tree = tree_of(told, replace(_way(ask, _taken(parts, ask)), of=of), currency)
    return PlanTriedWhyPage(
        found=Found(text=found_of(told, currency)), figure=tree.figure, why=tree, made_by=here.forecast.made_by, **ask.about(f"Why: {told.name}")
    )  # fmt: skip


def _taken(parts: Sequence[str], ask: PlanAsked) -> list[str]:
    """The parts that are tried, in the order of the plan. Problem (422) names those that there are."""
    known = [part.key for part in PARTS]
    wrong = [one for one in parts if one not in known]
    if wrong:
        raise Problem(
            422, f"the part {wrong[0][:80]!r}", title="This plan has no such part.", allowed=f"One of: {', '.join(known)}.", todo="Choose the parts on the page.",
            steps=(NextStep("The plan in the forecast", ask.part("/tried")),),
        )  # fmt: skip
    return [part.key for part in PARTS if (part.key in parts if parts else part.usual)]


def _way(ask: PlanAsked, keys: Sequence[str]) -> ForecastWay:
    query = [*ask.wished.typed.items(), *(("part", key) for key in keys)]
    return ForecastWay(ask.opened.way.base, urlencode(query), page="plan/tried/why")


def _beside(ask: PlanAsked, desk: Desk, line: Line, text: str) -> Beside | Waiting | str:
    """Today and the plan, run on the same luck; why not, in words, where one of them cannot be run."""
    opened, forecasts = ask.opened, desk.forecasts
    if WARMTH.state == "under way":
        said = "The forecast is being made ready: what runs the line is compiled, once after an installation."
        return Waiting(words=said, seconds=WARMTH.seconds, usual=USUAL_SECONDS)
    try:
        today = forecasts.today(opened.survey, opened.worked_out.text)
        if isinstance(today, UnderWay):
            return Waiting(words="The line as it is is being run, day after day.", seconds=today.seconds)
        option = forecasts.another(today, line, text)
    except (CannotRun, TooMuch) as error:
        return str(error)
    if isinstance(option, UnderWay):
        return Waiting(words="The line as planned is being run, day after day.", seconds=option.seconds)
    return Beside(today, option)


def register(pages: Pages) -> None:
    """Add the plan in the forecast, and the why of its numbers."""
    everywhere(pages, "/plan/tried/why", plan_tried_why, "plan_tried_why.html")
    everywhere(pages, "/plan/tried", plan_tried, "plan_tried.html")
