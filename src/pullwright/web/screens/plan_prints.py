"""The plan on paper: one page to hang up, and the cards to be cut out."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Query
from starlette.requests import Request
from starlette.responses import Response

from pullwright.paper import card_sheet, plan_sheet, rest_sheet
from pullwright.pull.cards.card import faces
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.pull.plan import plan_of
from pullwright.web.desk import AtDesk
from pullwright.web.opened import Opened, file_everywhere
from pullwright.web.pages import Pages
from pullwright.web.plan_pages import PlanAsked, plan_asked
from pullwright.web.problems import NextStep, Problem
from pullwright.web.rest_asked import rest_asked

PDF = "application/pdf"
PaperSize = Annotated[
    Literal["a3", "a4"], Query(description="The size of the paper; A4 holds less of a long plan.", examples=["a4"])
]


def plan_pdf(opened: Opened, request: Request, desk: AtDesk, paper: PaperSize = "a3") -> Response:
    """The pull plan on one page, to hang up beside the line.

    The address takes any wish by its name in the line file, as the page of the plan does.
    """
    ask = plan_asked(opened, request, desk)
    revision = "" if opened.revision is None else str(opened.revision.number)
    return _pdf(opened, "plan", plan_sheet(ask.planned, paper=paper, revision=revision, wished=ask.wished.words))


def plan_cards_pdf(opened: Opened, request: Request, desk: AtDesk) -> Response:
    """The cards of the pull plan to be cut out, each with a QR code of its number.

    The address takes any wish by its name in the line file, as the page of the plan does.
    """
    ask = plan_asked(opened, request, desk)
    survey = ask.worked_out.survey
    if survey is None:
        raise opened.unreadable()
    line = survey.line
    try:
        # The cards alone: other parts of the plan may be refused.
        hung = ask.worked_out.once("cards to print", lambda: faces(plan_of(survey.accounts).cards.hung))
    except (BadPlanInput, NoSuchPlan) as error:
        raise _no_cards(ask, str(error)) from None
    if not hung:
        raise _no_cards(ask, "none of its loops has a card")
    return _pdf(opened, "cards", card_sheet(hung, line=line.line, invented=line.invented))


def plan_rest_pdf(opened: Opened, request: Request, desk: AtDesk) -> Response:
    """The rest of today on one page of A4, for whoever makes it: slot by slot, in which order.

    The address is that of the page of the rest of today.
    """
    ask = rest_asked(opened, request, desk)
    try:
        told = ask.rest
    except (BadPlanInput, NoSuchPlan) as error:
        raise Problem(
            422,
            str(error)[:400],
            title="The rest of today cannot be printed.",
            allowed="What the page of the rest of today takes.",
            todo="Put it right there; it still has what was typed.",
            steps=(NextStep("The rest of today", ask.address()),),
        ) from None
    return _pdf(opened, "rest", rest_sheet(told, wished=ask.wished.words))


def _no_cards(ask: PlanAsked, read: str) -> Problem:
    return Problem(
        404,
        read,
        title="This plan has no cards to print.",
        allowed="A plan in which something goes round with cards.",
        todo="See on the page of the plan why there are none.",
        steps=(NextStep("The plan", ask.part()),),
    )


def _pdf(opened: Opened, what: str, made: bytes) -> Response:
    headers = {"Content-Disposition": f'inline; filename="{opened.key}-{what}.pdf"'}
    return Response(made, media_type=PDF, headers=headers)


def register(pages: Pages) -> None:
    """Add the prints of a plan."""
    file_everywhere(pages, "/plan.pdf", plan_pdf, PDF)
    file_everywhere(pages, "/plan/cards.pdf", plan_cards_pdf, PDF)
    file_everywhere(pages, "/plan/rest.pdf", plan_rest_pdf, PDF)
