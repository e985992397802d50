"""The forecast of a line: what the coming days bring, what would change with something turned, and what stands behind that."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query
from pydantic import Field
from starlette.requests import Request

from pullwright.forecast.errors import Stopped
from pullwright.forecast.said import in_short
from pullwright.web.charted import Charted
from pullwright.web.desk import AtDesk
from pullwright.web.forecast_answers import AnswerTable
from pullwright.web.forecast_charts import charts_of, lines_drawn, soon, times_drawn
from pullwright.web.forecast_controls import ControlGroup, controls_of
from pullwright.web.forecast_pages import Asked, ForecastMatter, Refused, Waiting, answering, asked, first_line
from pullwright.web.foreseen import Beside
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.problems import Problem
from pullwright.web.screens.line import NARROW, WIDE

AskedBy = Annotated[
    str,
    Query(
        max_length=64, description="A name that an open page gives itself: a newer question of it ends an older one."
    ),
]


class ForecastAnswerPage(ForecastMatter):
    """The answer to a what-if in numbers."""

    answers: AnswerTable | None = None
    in_short: str = ""
    made_by: str = ""
    notes: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()


class ForecastPicturesPage(ForecastMatter):
    """The answer to a what-if in pictures, with cash, floor, and everything in detail."""

    soon: Charted | None = None
    charts: tuple[Charted, ...] = ()
    money: AnswerTable | None = None
    lacking: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    more: tuple[AnswerTable, ...] = ()
    wide: str = Field(default="", exclude=True)
    narrow: str = Field(default="", exclude=True)
    wide_times: str = Field(default="", exclude=True)
    narrow_times: str = Field(default="", exclude=True)


class ForecastPage(ForecastAnswerPage, ForecastPicturesPage):
    """The whole forecast, with the controls of the what-if."""

    groups: tuple[ControlGroup, ...] = Field(default=(), exclude=True)
    action: str = Field(default="", exclude=True)
    surer_href: str = Field(default="", exclude=True)


def forecast(opened: Opened, request: Request, desk: AtDesk) -> ForecastPage:
    """What will this line do in the coming days, and what if something were turned?

    The address takes any control of the page by its name, such as `?cards:weld base=4` or `?demand:pump=120` (per cent of today's); what is not
    named stays as it is today.
    """
    ask = asked(opened, request, desk)
    page = {
        "groups": controls_of(ask.knobs, ask.settings), "action": opened.way.part("forecast"), "surer_href": ask.part("/surer"), **ask.about("Forecast"),
    }  # fmt: skip
    found = ask.beside()
    if not isinstance(found, Beside):
        return ForecastPage(**page, **ask.without_answer(found))
    return ForecastPage(
        **page, found=first_line(found, ask.settings.words, money=True), **_numbers(ask, found), **_pictures(ask, found)
    )


def forecast_answer(opened: Opened, request: Request, desk: AtDesk, asked_by: AskedBy = "") -> ForecastAnswerPage:
    """What if: the answer in numbers alone, for a page that asks while a control moves."""
    ask, found = _live(opened, request, desk, asked_by)
    about = ask.about("Answer")
    if not isinstance(found, Beside):
        return ForecastAnswerPage(**about, **ask.without_answer(found))
    return ForecastAnswerPage(**about, found=first_line(found, ask.settings.words, money=False), **_numbers(ask, found))


def forecast_pictures(opened: Opened, request: Request, desk: AtDesk, asked_by: AskedBy = "") -> ForecastPicturesPage:
    """What if: the answer in pictures, with cash and floor, for a page whose controls have come to rest."""
    ask, found = _live(opened, request, desk, asked_by)
    about = ask.about("Pictures")
    if not isinstance(found, Beside):
        return ForecastPicturesPage(**about, **ask.without_answer(found))
    return ForecastPicturesPage(
        **about, found=first_line(found, ask.settings.words, money=True), **_pictures(ask, found)
    )


def _live(opened: Opened, request: Request, desk: AtDesk, asked_by: str) -> tuple[Asked, Beside | Waiting | Refused]:
    """Read and answer a question that nobody may wait for any more: then its runs are given up."""
    ask = asked(opened, request, desk)
    try:
        return ask, ask.beside(desk.forecasts.waits_for(request, asked_by))
    except Stopped:
        raise Problem(
            409, "a question that a newer one of the same page overtook", title="Nobody waits for this answer any more.", allowed="The newest question of a page.",
            todo="Ask again.",
        ) from None  # fmt: skip


def _numbers(ask: Asked, beside: Beside) -> dict[str, object]:
    here = (beside.option or beside.today).forecast
    return {
        "answers": answering(ask, beside).headline(), "in_short": in_short(here), "made_by": here.made_by, "notes": here.notes, "left_out": here.left_out,
    }  # fmt: skip


def _pictures(ask: Asked, beside: Beside) -> dict[str, object]:
    told, here = answering(ask, beside), beside.option or beside.today
    whys = ask.opened.way.why, (lambda name: told.ways()[1].why(name))
    return {
        "soon": soon(beside),
        "charts": charts_of(beside),
        "money": told.money(),
        "lacking": tuple(one.words for one in here.lacking),
        "assumed": here.cash.notes if here.cash is not None else (),
        "more": told.more(),
        "wide": lines_drawn(beside, WIDE, "wide-lines", whys),
        "narrow": lines_drawn(beside, NARROW, "narrow-lines", whys),
        "wide_times": times_drawn(told, WIDE, "wide-times"),
        "narrow_times": times_drawn(told, NARROW, "narrow-times"),
    }


def register(pages: Pages) -> None:
    """Add the forecast, and its two answers to a what-if."""
    everywhere(pages, "/forecast/answer", forecast_answer, "forecast_answer.html")
    everywhere(pages, "/forecast/pictures", forecast_pictures, "forecast_pictures.html")
    everywhere(pages, "/forecast", forecast, "forecast.html")
