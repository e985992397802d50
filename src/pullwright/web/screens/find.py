"""The smallest setting that keeps the promises: asked for in a form, looked for in the background, told with everything that was tried."""

from __future__ import annotations

from urllib.parse import parse_qsl

from pydantic import Field as Kept
from starlette.requests import Request

from pullwright.forecast.errors import CannotRun, TooMuch
from pullwright.forecast.search.errors import CannotSearch
from pullwright.line import Line
from pullwright.web.desk import AtDesk, Desk
from pullwright.web.find_words import (
    STOP,
    TriedRow,
    form_of,
    offered,
    promised_in,
    read_wanted,
    rows_of,
    settings_with,
    start_of,
    wrong_field,
)
from pullwright.web.forecast_pages import Asked, ForecastMatter, asked
from pullwright.web.foreseen import knobs_in
from pullwright.web.forms import PRESSED, Filled
from pullwright.web.hunts import Hunting
from pullwright.web.opened import Opened, form_everywhere, open_example, open_line
from pullwright.web.pages import Done, FormPage, Pages
from pullwright.web.pieces import Found
from pullwright.web.settings import read_settings


class FindPage(ForecastMatter, FormPage):
    """How far a search is, what it found, and all that it tried; `href` opens the setting that was found as a what-if."""

    state: str
    wanted: str = ""
    promises: tuple[str, ...] = ()
    runs: int = 0
    settings_tried: int = 0
    settings_left: int = 0
    settings_in_all: int = 0
    best: str = ""
    far: str = ""
    seconds: float = 0.0
    done: bool = False
    words: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    tried: tuple[TriedRow, ...] = ()
    left_out: tuple[str, ...] = ()
    href: str = ""
    as_today: bool = False
    error: str = ""
    action: str = Kept(default="", exclude=True)
    choices: tuple[tuple[str, str], ...] = Kept(default=(), exclude=True)
    promised: str = Kept(default="", exclude=True)


def find(opened: Opened, request: Request, desk: AtDesk) -> FindPage:
    """What is the smallest setting that keeps the promises, and how sure is that?"""
    ask = asked(opened, request, desk)
    line = _line(ask)
    hunting = desk.forecasts.hunts.last(opened.worked_out.text, ask.settings.query)
    choices = offered(ask.knobs)
    page = {
        **ask.about("Find"), "action": ask.part("/find"), "choices": choices, "promised": promised_in(line),
        "start": start_of(hunting.wanted if hunting else None, choices),
    }  # fmt: skip
    if hunting is None:
        return FindPage(
            **page,
            state="none",
            found=Found(
                text="What is the smallest that keeps the promises? Say what may be turned, and it is looked for."
            ),
        )
    return FindPage(**page, **_how_far(hunting), **_told(ask, hunting))


def _line(ask: Asked) -> Line:
    line = ask.opened.survey.line
    return ask.settings.turn(line) if ask.settings.turnings else line


def _how_far(hunting: Hunting) -> dict[str, object]:
    work, at = hunting.work, hunting.far
    state: str = work.state
    if state == "done" and hunting.answer is not None and not hunting.answer.done:
        state = "stopped"
    said = f"{at.runs:,} runs of {at.tried:,} settings, {at.left:,} of {at.settings:,} settings left"
    return {
        "state": state, "wanted": hunting.wanted.text, "promises": hunting.wanted.promises, "runs": at.runs, "settings_tried": at.tried,
        "settings_left": at.left, "settings_in_all": at.settings, "best": at.best, "seconds": round(work.seconds, 1),
        "far": f"{said}; {'best so far: ' + at.best if at.best else 'nothing is shown to keep the promises so far'}." if at.settings else "",
    }  # fmt: skip


def _told(ask: Asked, hunting: Hunting) -> dict[str, object]:
    work, answer, hunt = hunting.work, hunting.answer, hunting.hunt
    wanted = hunting.wanted.text
    if work.state == "waits":
        return {"found": Found(text=f"The search for “{wanted}” waits for its turn: something else is being run.")}
    if work.state == "under way":
        return {"found": Found(text=f"Looking for “{wanted}”.")}
    if work.state == "failed":
        return {
            "found": Found(text=f"The search for “{wanted}” broke off: {_said(work.error)}", look=True),
            "error": _said(work.error),
        }
    if answer is None or hunt is None:
        return {"found": Found(text=f"The search for “{wanted}” was stopped before it had an answer.")}
    told: dict[str, object] = {}
    if answer.found is not None:
        with_it = settings_with(ask.settings, ask.knobs, hunt, answer.found)
        told["href"] = ask.opened.way.part("forecast") + (f"?{with_it.query}" if with_it.turnings else "")
        told["as_today"] = not with_it.turnings
    return {
        "found": Found(text=answer.words[0], look=answer.done and answer.found is None),
        "done": answer.done,
        "words": answer.words[1:],
        "columns": tuple(dict.fromkeys(one.name for row in answer.tried for one in row.outcomes)),
        "tried": rows_of(answer),
        "left_out": answer.left_out,
        **told,
    }


def _said(error: Exception | None) -> str:
    if isinstance(error, (CannotSearch, CannotRun, TooMuch)):
        return str(error)
    return "something went wrong that should not; begin it again."


def press(page: FindPage, filled: Filled, desk: Desk) -> Done | Filled:
    """Begin a search, go on with one, or stop it."""
    opened = open_example(desk, page.key) if page.revision is None else open_line(desk, page.key, page.revision)
    knobs = knobs_in(opened.survey, opened.worked_out.once)
    settings = read_settings(parse_qsl(page.query), knobs, page.today_href)
    text, hunts = opened.worked_out.text, desk.forecasts.hunts
    if filled.typed[PRESSED] == STOP:
        hunts.stop(text, settings.query)
        return Done(page.action)
    wanted, errors = read_wanted(dict(filled.typed))
    if wanted is None:
        return filled.back(errors)
    try:
        hunt = wanted.hunt(settings.turn(opened.survey.line) if settings.turnings else opened.survey.line)
    except (CannotSearch, CannotRun, TooMuch) as error:
        at = wrong_field(error, wanted, own=bool(filled.typed["own"].strip()))
        said = str(error)
        return filled.back({at: f"{said[0].upper()}{said[1:]}{'' if said.endswith('.') else '.'}"})
    hunts.begin(text, settings.query, wanted, hunt)
    return Done(page.action)


def register(pages: Pages) -> None:
    """Add the search for a setting."""
    form_everywhere(
        pages, "/forecast/find", find, "find.html", form=lambda page: form_of(page.choices, page.promised), act=press
    )
