"""Cards in the forecast: how many the rule, the swings and the forecast ask for, side by side; worked out in the background."""

from __future__ import annotations

from functools import partial
from typing import cast
from urllib.parse import parse_qsl

from pydantic import Field as Kept
from starlette.requests import Request

from pullwright.forecast.errors import CannotRun, TooMuch
from pullwright.forecast.said import sentence_of
from pullwright.line import Line, LineFileError
from pullwright.line.edit import EditError
from pullwright.pull.errors import BadPlanInput, NoSuchPlan
from pullwright.survey.planned.cards_run import CardsRun, cards_by_forecast
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forms import PRESSED, Field, Filled, Form
from pullwright.web.long_work import Stop, Tell, Work
from pullwright.web.opened import Opened, form_everywhere, open_example, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found, Piece
from pullwright.web.plan_pages import PlanAsked, PlanMatter, plan_asked, plan_with

BEGIN, STOP = "begin", "stop"
PRESS = Form(
    "cards-run", Field(PRESSED, "What to do", kind="choice", choices=((BEGIN, "Ask the forecast"), (STOP, "Stop")))
)


class LoopRow(Piece):
    """The cards of one loop: by the rule, by the swings, in the forecast, and what explains the difference."""

    loop: str
    per_card: int
    rule: int
    stochastic: int
    seen: int
    words: str


class CardsRunPage(PlanMatter, FormPage):
    """How far it is, and what it found."""

    state: str
    done: int = 0
    whole: int = 0
    seconds: float = 0.0
    loops: tuple[LoopRow, ...] = ()
    plenty: str = ""
    made_by: str = ""
    error: str = ""
    action: str = Kept(default="", exclude=True)


def plan_cards_run(opened: Opened, request: Request, desk: AtDesk) -> CardsRunPage:
    """How many cards are enough when people, room, breakdowns and all other loops are there too?"""
    ask = plan_asked(opened, request, desk)
    work = desk.forecasts.surer.of(_name(ask))
    page = {**ask.about("Cards in the forecast"), "action": ask.part("/cards-in-forecast")}
    if work is None:
        return CardsRunPage(
            **page, state="none", found=Found(text="Nobody has asked the forecast about these cards yet.")
        )
    page |= {"state": work.state, "done": work.done, "whole": work.whole, "seconds": round(work.seconds, 1)}
    if work.state == "done":
        return CardsRunPage(**page, **_told(cast(CardsRun, work.result)))
    return CardsRunPage(**page, found=_how_far(work), error=_error(work))


def _name(ask: PlanAsked) -> str:
    return f"cards {ask.wished.text}"


def _error(work: Work[object]) -> str:
    if work.state != "failed":
        return ""
    known = (CannotRun, TooMuch, NoSuchPlan, BadPlanInput, EditError, LineFileError)
    return str(work.error) if isinstance(work.error, known) else "something went wrong that should not; begin it again."


def _how_far(work: Work[object]) -> Found:
    match work.state:
        case "waits":
            return Found(text="The cards wait for their turn: something else is being run.")
        case "under way":
            far = f"{work.done} of {work.whole} loops are done" if work.whole else "it has just begun"
            return Found(text=f"The line is run with fewer and fewer cards: {far}.")
        case "stopped":
            return Found(text="It was stopped before it had an answer.")
    return Found(text=f"The forecast cannot be asked about these cards: {_error(work)}", look=True)


def _told(run: CardsRun) -> dict[str, object]:
    return {
        "found": Found(text=run.sentence, look=bool(run.more)),
        "loops": tuple(LoopRow(loop=one.loop, per_card=one.per_card, rule=one.rule, stochastic=one.stochastic, seen=one.seen, words=one.words) for one in run.loops),
        "plenty": f"With plenty of cards: {sentence_of(run.plenty)} With these: {sentence_of(run.forecast)}",
        "made_by": run.forecast.made_by,
    }  # fmt: skip


def _run(ask: PlanAsked, stop: Stop, tell: Tell) -> CardsRun:
    cards = ask.planned.plan.cards
    planned = Line.from_text(ask.as_planned(("cards",)))
    return cards_by_forecast(planned, cards, stop=stop, tell=tell)


def press(page: CardsRunPage, filled: Filled, desk: Desk) -> Done:
    """Begin it, or stop it."""
    opened = open_example(desk, page.key) if page.revision is None else open_line(desk, page.key, page.revision)
    ask = plan_with(opened, parse_qsl(page.query), desk)
    if filled.typed[PRESSED] == STOP:
        desk.forecasts.surer.stop(_name(ask))
    else:
        desk.forecasts.surer.begin(_name(ask), partial(_run, ask))
    return Done(page.action)


def register(pages: Pages) -> None:
    """Add the cards in the forecast."""
    form_everywhere(pages, "/plan/cards-in-forecast", plan_cards_run, "plan_cards_run.html", form=PRESS, act=press)
