"""Why a number of a forecast is what it is: how it is made of the runs, what was put in, and how much of its spread is luck."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Query
from starlette.requests import Request

from pullwright.figure import Figure
from pullwright.forecast.outcome import Outcome
from pullwright.line.faults import likely_slip
from pullwright.web.desk import AtDesk
from pullwright.web.forecast_answers import ForecastWay, money_differences, money_figures
from pullwright.web.forecast_pages import Asked, ForecastMatter, asked
from pullwright.web.foreseen import Beside, Foreseen
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Found, Shown, WhyNode
from pullwright.web.problems import NextStep, Problem
from pullwright.web.screens.why import AskedDigest, AskedName
from pullwright.web.way import digest_of
from pullwright.web.why_tree import share_shown, tree_of

Of = Annotated[
    Literal["today", "option", "sure"],
    Query(
        description="Whose figure: that of the line today, of the option, or of the sure forecast with these settings."
    ),
]


class ForecastWhyPage(ForecastMatter):
    """Why one figure of a forecast is what it is."""

    figure: Shown | None = None
    why: WhyNode | None = None
    made_by: str = ""
    luck: Shown | None = None
    ignorance: Shown | None = None
    stretch: str = ""
    known: str = ""


def forecast_why(
    opened: Opened, request: Request, desk: AtDesk, figure: AskedName = "", digest: AskedDigest = "", of: Of = "today"
) -> ForecastWhyPage:
    """Why is this number of the forecast what it is, and how sure is it?"""
    ask = asked(opened, request, desk)
    found = _sure(ask) if of == "sure" else ask.beside()
    if not isinstance(found, Beside):
        return ForecastWhyPage(**ask.about("Why"), **ask.without_answer(found))
    here = found.option if of == "option" and found.option is not None else found.today
    told, outcome = told_in(found, here, figure, digest, ask.part())
    currency = here.forecast.line.currency
    tree = tree_of(told, ForecastWay(opened.way.base, ask.settings.query, of), currency)
    split = None if outcome is None else outcome.split
    return ForecastWhyPage(
        **ask.about(f"Why: {told.name}"),
        found=Found(text=found_of(told, currency)),
        figure=tree.figure,
        why=tree,
        made_by=here.forecast.made_by,
        luck=None if split is None else share_shown("luck", split.of_chance, ""),
        ignorance=None if split is None else share_shown("what is not known", split.of_ignorance, ""),
        stretch="" if outcome is None else _stretch(outcome, currency),
    )


def _sure(ask: Asked) -> Beside:
    """The sure forecast alone; Problem (404) where it is not there (any more)."""
    sure = ask.desk.forecasts.told_surely(ask.opened.worked_out.text, ask.settings)
    if sure is None:
        raise Problem(
            404, "a figure of the surer forecast", title="There is no surer forecast of this line with these settings now.",
            allowed="A figure of a surer forecast that is done.", todo="Make it surer once more.", steps=(NextStep("The surer forecast", ask.part("/surer")),),
        )  # fmt: skip
    return Beside(sure)


def _stretch(outcome: Outcome, currency: str) -> str:
    _, interval = outcome.shown(currency)
    return (
        f"With a chance of {100 * outcome.level:g} % such a stretch of days lies between {interval.replace(' to ', ' and ')}."
        if interval
        else ""
    )


def told_in(beside: Beside, here: Foreseen, name: str, digest: str, forecast: str) -> tuple[Figure, Outcome | None]:
    """The figure of this name or digest, with its outcome where it is one; Problem (404) names a near one."""
    outcomes = dict(here.forecast.outcomes)
    if beside.compared is not None:
        outcomes |= {one.difference.name: one.difference for one in beside.compared.differences.values()}
        for said, one in ((" / today", beside.today), (" / option", beside.option)):
            outcomes |= {f"{key}{said}": outcome for key, outcome in one.forecast.outcomes.items()} if one else {}
    if digest and not name:
        name = next((key for key in [*outcomes, *_inputs(here)] if digest_of(key) == digest), "")
    if name in outcomes:
        return outcomes[name].figure, outcomes[name]
    figures = money_figures(here) | {one.name: one for one in money_differences(beside).values()} | _inputs(here)
    if name in figures:
        return figures[name], None
    hint = likely_slip(name, [*outcomes, *figures])
    raise Problem(
        404,
        f"the figure {name[:200]!r}" if name else "no name of a figure",
        title="This forecast has no figure of that name.",
        allowed="The name of an answer of this forecast." + (f" {hint[0].upper()}{hint[1:]}" if hint else ""),
        todo="Look for it on the page of the forecast.",
        steps=(NextStep("The forecast", forecast),),
    )


def _inputs(here: Foreseen) -> dict[str, Figure]:
    """What the answers are held against, and what went into the runs, down to the given numbers."""
    found: dict[str, Figure] = {}
    waiting = [one for outcome in here.forecast.outcomes.values() for one in outcome.figure.inputs]
    waiting += [one for figure in money_figures(here).values() for one in figure.inputs]
    while waiting:
        one = waiting.pop()
        if one.name not in found:
            found[one.name] = one
            waiting.extend(one.inputs)
    return found


def found_of(figure: Figure, currency: str) -> str:
    text = f"{figure.name}: {figure.text(currency)}"
    return f"{text}, which is {figure.formula}." if figure.formula else f"{text}, as given."


def register(pages: Pages) -> None:
    """Add the why of a forecast."""
    everywhere(pages, "/forecast/why", forecast_why, "forecast_why.html")
