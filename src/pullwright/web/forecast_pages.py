"""What every page of a forecast has: the settings of its address, today and the option, and what it says while there is no answer yet."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import Field
from starlette.requests import Request

from pullwright.forecast.errors import CannotRun, TooMuch
from pullwright.forecast.said import out_of_place, sentence_of, sentence_of_option
from pullwright.forecast.search.knobs_of import Turnable
from pullwright.forecast.warm import USUAL_SECONDS, WARMTH
from pullwright.web.desk import Desk
from pullwright.web.forecast_answers import TOO_LIKELY, Answering, ForecastWay
from pullwright.web.foreseen import Beside, knobs_in, settings_of
from pullwright.web.long_work import Stop
from pullwright.web.opened import Opened
from pullwright.web.pieces import Crumb, Found, Piece
from pullwright.web.screens.about_line import AboutLine, about
from pullwright.web.settings import Settings
from pullwright.web.slow_shelf import UnderWay

LOOK_AGAIN = 2
"""Seconds after which a page that waits looks again."""


class Waiting(Piece):
    """The answer is not there yet: why, how long it has taken (s), and how long it usually takes (0: nobody knows)."""

    words: str
    seconds: float
    usual: float = 0.0
    again: int = LOOK_AGAIN


class Refused(Piece):
    """The line cannot be run: what was said, and where it is put right."""

    said: str
    todo: str
    steps: tuple[Crumb, ...] = ()


class ForecastMatter(AboutLine):
    """A page about a forecast; `settings` are the words of what is turned, `query` asks for it."""

    settings: str = ""
    query: str = ""
    today_href: str = Field(default="", exclude=True)
    waiting: Waiting | None = None
    refused: Refused | None = None


@dataclass(frozen=True)
class Asked:
    """A question as it was asked: which line, with what turned."""

    opened: Opened
    desk: Desk
    knobs: tuple[Turnable, ...]
    settings: Settings

    @property
    def way(self) -> ForecastWay:
        """The way to the figures of today's line."""
        return ForecastWay(self.opened.way.base, self.settings.query)

    @property
    def query(self) -> str:
        """What follows the question mark, with it; empty where nothing is turned."""
        return f"?{self.settings.query}" if self.settings.turnings else ""

    def part(self, name: str = "") -> str:
        """The address of a page of this forecast."""
        return self.opened.way.part(f"forecast{name}") + self.query

    def beside(self, stop: Stop | None = None) -> Beside | Waiting | Refused:
        """Today, and the option where something is turned."""
        if WARMTH.state == "under way":
            said = "The forecast is being made ready: what runs the line is compiled, once after an installation."
            return Waiting(words=said, seconds=WARMTH.seconds, usual=USUAL_SECONDS)
        forecasts, text = self.desk.forecasts, self.opened.worked_out.text
        try:
            today = forecasts.today(self.opened.survey, text)
        except (CannotRun, TooMuch) as error:
            return self._refused(error, "Put this right in the line file, and the forecast runs.")
        if isinstance(today, UnderWay):
            return Waiting(words="The line is being run, day after day.", seconds=today.seconds)
        if not self.settings.turnings:
            return Beside(today)
        try:
            option = forecasts.option(today, text, self.settings, stop)
        except (CannotRun, TooMuch) as error:
            return self._refused(error, f"It cannot be run with {self.settings.words}. Turn one of them back.")
        if isinstance(option, UnderWay):
            return Waiting(words=f"The line is being run with {self.settings.words}.", seconds=option.seconds)
        return Beside(today, option)

    def _refused(self, error: Exception, todo: str) -> Refused:
        steps = (
            [Crumb(words="The forecast of the line as it is", href=self.opened.way.part("forecast"))]
            if self.settings.turnings
            else []
        )
        if self.opened.revision is not None:
            way = self.opened.line_way
            steps += [
                Crumb(words="Change the line in a form", href=way.part("form")), Crumb(words="Change it as text", href=way.part("edit")),
            ]  # fmt: skip
        return Refused(said=str(error), todo=todo, steps=tuple(steps))

    def about(self, name: str) -> dict[str, object]:
        """What every page of the forecast takes."""
        inside = (Crumb(words="Forecast", href=self.part()),) if name != "Forecast" else ()
        return {
            "name": name,
            "trail": (*self.opened.trail(), *inside),
            "places": self.opened.places("Forecast" if name == "Forecast" else ""),
            "settings": self.settings.words,
            "query": self.settings.query,
            "today_href": self.opened.way.part("forecast"),
            **about(self.opened),
        }

    def without_answer(self, found: Waiting | Refused) -> dict[str, object]:
        """The first line of a page without an answer, and why there is none."""
        if isinstance(found, Waiting):
            return {"found": Found(text=found.words), "waiting": found}
        words = f"The forecast cannot run this line{' with ' + self.settings.words if self.settings.turnings else ''}: {found.said}"
        return {"found": Found(text=words if words.endswith(".") else f"{words}.", look=True), "refused": found}


def asked(opened: Opened, request: Request, desk: Desk) -> Asked:
    """Read what is asked for. Problem (422) where the line or the settings cannot be read."""
    knobs = knobs_in(opened.survey, opened.worked_out.once)
    return Asked(opened, desk, knobs, settings_of(request, knobs, opened.way.part("forecast")))


def first_line(beside: Beside, words: str, *, money: bool) -> Found:
    """What was found, in a sentence; `money`: with what cash and floor say."""
    here = beside.option or beside.today
    said = sentence_of(here.forecast) if beside.compared is None else sentence_of_option(beside.compared, words)
    troubles = []
    if money:
        if here.cash is not None and here.cash.forecast.dry.figure.value > TOO_LIKELY:
            dry = here.cash.forecast.dry
            troubles.append(f"Cash runs dry in {dry.found} of {dry.of} runs.")
        over = here.floor.over
        if over is not None and over.figure.value > TOO_LIKELY:
            troubles.append(f"In {over.found} of {over.of} runs more floor is taken than there is.")
    return Found(text=" ".join([said, *troubles]), look=bool(troubles) or bool(out_of_place(here.forecast)))


def answering(ask: Asked, beside: Beside) -> Answering:
    """What turns the forecasts of a question into rows."""
    return Answering(beside, ask.way)
