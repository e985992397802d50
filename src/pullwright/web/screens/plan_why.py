"""Why a number of a plan is what it is."""

from __future__ import annotations

from starlette.requests import Request

from pullwright.survey.survey import UnknownFigureError
from pullwright.web.desk import AtDesk
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Shown, WhyNode
from pullwright.web.plan_pages import PlanMatter, plan_asked
from pullwright.web.problems import NextStep, Problem
from pullwright.web.screens.why import AskedDigest, AskedName
from pullwright.web.way import digest_of
from pullwright.web.why_tree import tree_of


class PlanWhyPage(PlanMatter):
    """Why one figure of a plan is what it is."""

    figure: Shown
    why: WhyNode


def plan_why(
    opened: Opened, request: Request, desk: AtDesk, figure: AskedName = "", digest: AskedDigest = ""
) -> PlanWhyPage:
    """Why is this number of the plan what it is, down to the line file?"""
    ask = plan_asked(opened, request, desk)
    name = figure
    if digest and not name:
        name = next((one for one in ask.planned.figures if digest_of(one) == digest), "")
    try:
        told = ask.planned.figure(name)
    except UnknownFigureError as error:
        raise Problem(
            404,
            f"the figure {name[:200]!r}" if name else "no name of a figure",
            title="This plan has no figure of that name.",
            allowed="The name of a figure of this plan."
            + (f" {error.hint[0].upper()}{error.hint[1:]}" if error.hint else ""),
            todo="Look for it on the page of the plan.",
            steps=(NextStep("The plan", ask.part()),),
        ) from None
    currency = opened.survey.line.currency
    tree = tree_of(told, ask.way, currency)
    text = f"{told.name}: {told.text(currency)}"
    return PlanWhyPage(
        found=Found(text=f"{text}, which is {told.formula}." if told.formula else f"{text}, as given."),
        figure=tree.figure,
        why=tree,
        **ask.about(f"Why: {told.name}"),
    )


def register(pages: Pages) -> None:
    """Add the why of a plan."""
    everywhere(pages, "/plan/why", plan_why, "plan_why.html")
