"""The sure forecast: as many runs as it takes and what is not known of the inputs, in the background, with a button that stops it."""

from __future__ import annotations

from typing import cast
from urllib.parse import parse_qsl

from pydantic import Field as Kept
from starlette.requests import Request

from pullwright.figure import parts
from pullwright.forecast.errors import CannotRun, TooMuch
from pullwright.forecast.outcome import Outcome
from pullwright.forecast.said import ASKED, out_of_place, sentence_of
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.forecast_answers import Answering, AnswerTable, ForecastWay, outcome_shown
from pullwright.web.forecast_pages import Asked, ForecastMatter, asked
from pullwright.web.foreseen import Beside, Foreseen, knobs_in
from pullwright.web.forms import PRESSED, Field, Filled, Form
from pullwright.web.long_work import Work
from pullwright.web.opened import Opened, form_everywhere, open_example, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found, Piece, Shown
from pullwright.web.settings import read_settings
from pullwright.web.why_tree import share_shown

BEGIN, STOP = "begin", "stop"
PRESS = Form("surer", Field(PRESSED, "What to do", kind="choice", choices=((BEGIN, "Make it surer"), (STOP, "Stop"))))


class SureRow(Piece):
    """One answer: the number, how well the runs tell it, and what of its spread is luck and what is not known."""

    words: str
    question: str
    answer: Shown
    known: str
    luck: Shown | None = None
    ignorance: Shown | None = None
    look: str = ""


class SurerPage(ForecastMatter, FormPage):
    """How far the sure forecast is, and what it says."""

    state: str
    done: int = 0
    whole: int = 0
    seconds: float = 0.0
    rows: tuple[SureRow, ...] = ()
    made_by: str = ""
    settles: str = ""
    notes: tuple[str, ...] = ()
    money: AnswerTable | None = None
    capital: str = ""
    error: str = ""
    action: str = Kept(default="", exclude=True)


def surer(opened: Opened, request: Request, desk: AtDesk) -> SurerPage:
    """How sure is the forecast when it takes its time, and what of it is luck, what is not known?"""
    ask = asked(opened, request, desk)
    work = desk.forecasts.sure(opened.worked_out.text, ask.settings)
    page = {**ask.about("Surer"), "action": ask.part("/surer")}
    if work is None:
        return SurerPage(
            **page, state="none", found=Found(text="Nobody has asked for a surer forecast of this line yet.")
        )
    how_far = {"state": work.state, "done": work.done, "whole": work.whole, "seconds": round(work.seconds, 1)}
    if work.state == "done":
        return SurerPage(**page, **how_far, **_told(ask, cast(Foreseen, work.result)))
    return SurerPage(**page, **how_far, found=_how_far(work), error=_error(work))


def _error(work: Work[object]) -> str:
    if work.state != "failed":
        return ""
    return (
        str(work.error)
        if isinstance(work.error, (CannotRun, TooMuch, ValueError))
        else "Something went wrong that should not; begin it again."
    )


def _how_far(work: Work[object]) -> Found:
    match work.state:
        case "waits":
            return Found(text="The surer forecast waits for its turn: another one is being run.")
        case "under way":
            far = f"{work.done:,} of {work.whole:,} runs are done" if work.whole else "it has just begun"
            return Found(text=f"The surer forecast is being run: {far}.")
        case "stopped":
            return Found(text="The surer forecast was stopped before it had an answer.")
    return Found(text=f"The surer forecast cannot be run: {_error(work)}", look=True)


def _told(ask: Asked, sure: Foreseen) -> dict[str, object]:
    forecast, way = (
        sure.forecast,
        ForecastWay(ask.opened.way.base, ask.settings.query, "sure"),
    )
    looks = out_of_place(forecast)
    rows = tuple(
        _row(one.words, one.question, forecast.outcomes[one.name], way, forecast.line.currency, looks.get(one.name, ""))
        for one in ASKED
        if one.name in forecast.outcomes
    )
    settles = (
        f"Stock and waiting orders remember how they began for {forecast.warm_up.cut} working days."
        if forecast.settles
        else ""
    )
    words = f"With {ask.settings.words}: " if ask.settings.turnings else ""
    return {
        "found": Found(text=words + sentence_of(forecast), look=bool(looks)), "rows": rows, "made_by": forecast.made_by
        + (f"; {forecast.draws} draws of what is not known of the inputs, {forecast.runs_a_draw} runs with each" if forecast.draws else ""),
        "settles": settles, "notes": forecast.notes, "money": Answering(Beside(sure), way).money(),
        "capital": "" if sure.cash is None else f"Cash that is enough: {sure.cash.forecast.capital.words}",
    }  # fmt: skip


def _row(words: str, question: str, outcome: Outcome, way: ForecastWay, currency: str, look: str) -> SureRow:
    split = outcome.split
    known = parts(outcome.value, outcome.mean_low, outcome.mean_high, outcome.unit, currency)
    return SureRow(
        words=words, question=question, answer=outcome_shown(outcome, way.why(outcome.name), currency),
        known=f"{known.interval} {known.unit}".strip() if known.interval else "certain", look=look,
        luck=None if split is None else share_shown("luck", split.of_chance, ""),
        ignorance=None if split is None else share_shown("what is not known", split.of_ignorance, ""),
    )  # fmt: skip


def press(page: SurerPage, filled: Filled, desk: Desk) -> Done:
    """Begin it, or stop it."""
    opened = open_example(desk, page.key) if page.revision is None else open_line(desk, page.key, page.revision)
    knobs = knobs_in(opened.survey, opened.worked_out.once)
    settings = read_settings(parse_qsl(page.query), knobs, page.today_href)
    if filled.typed[PRESSED] == STOP:
        desk.forecasts.give_up(opened.worked_out.text, settings)
    else:
        desk.forecasts.make_sure(opened.survey, opened.worked_out.text, settings)
    return Done(page.action)


def register(pages: Pages) -> None:
    """Add the sure forecast."""
    form_everywhere(pages, "/forecast/surer", surer, "forecast_surer.html", form=PRESS, act=press)
