"""Forecasts on their way to a page: today's kept for each text of a line, options for a while, older questions of a page given up."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import cast

from starlette.requests import Request

from pullwright.account import Accounts
from pullwright.forecast.answers.interval import Floats
from pullwright.forecast.compared import Compared, compared
from pullwright.forecast.forecast import Forecast, forecast_of, quick_forecast_of
from pullwright.forecast.money import (
    FloorBook,
    FloorForecast,
    Lacking,
    floor_book,
    floor_forecast,
    lacking_for_cash,
)
from pullwright.forecast.money.of_forecast import Cash, cash_of
from pullwright.forecast.search.knobs_of import Turnable, knobs_of
from pullwright.line import Line
from pullwright.survey import Survey, survey_of
from pullwright.web.asking import Asking, is_gone
from pullwright.web.hunts import Hunts
from pullwright.web.long_work import LongWork, Stop, Tell, Work
from pullwright.web.settings import Settings, read_settings
from pullwright.web.slow_shelf import SlowShelf, UnderWay

WELL_KNOWN, MOST_RUNS = 0.02, 400
"""How well the sure forecast is to know what ships, the stock and the promises kept, and the most runs that it takes for that."""
MOST_KEPT = 24
"""Forecasts that stay: those of a few lines, and the last options."""
NOT_SETTINGS = frozenset(("asked_by", "figure", "digest", "of", "share"))
"""Names in an address that turn nothing."""


@dataclass(frozen=True)
class Foreseen:
    """A line with its forecast, and what money and floor make of it."""

    survey: Survey
    forecast: Forecast

    @property
    def accounts(self) -> Accounts:
        """What prices, terms and floor are."""
        return self.survey.accounts

    @cached_property
    def lacking(self) -> tuple[Lacking, ...]:
        """What the line file lacks, so that cash cannot be counted."""
        return lacking_for_cash(self.forecast.line)

    @cached_property
    def cash(self) -> Cash | None:
        """Cash through time; None where the line file lacks something."""
        return cash_of(self.forecast, self.accounts)

    @cached_property
    def floor(self) -> FloorForecast:
        """Floor through time."""
        return floor_forecast(self._floor_book, level=self.forecast.level)

    @cached_property
    def floor_peaks(self) -> Floats:
        """The most floor that each run takes (R,), m²."""
        return self._floor_book.peaks

    @cached_property
    def _floor_book(self) -> FloorBook:
        return floor_book(self.forecast.book, self.accounts)


@dataclass(frozen=True)
class Beside:
    """Today, and an option where something is turned."""

    today: Foreseen
    option: Foreseen | None = None

    @cached_property
    def compared(self) -> Compared | None:
        """What the option changes."""
        return None if self.option is None else compared(self.today.forecast, self.option.forecast)


@dataclass
class Forecasts:
    """What the pages of forecasts share: what was run, who asked last, and what runs in the background."""

    kept: SlowShelf = field(default_factory=lambda: SlowShelf(MOST_KEPT))
    asking: Asking = field(default_factory=Asking)
    surer: LongWork = field(default_factory=LongWork)
    hunts: Hunts = field(init=False)

    def __post_init__(self) -> None:
        # One after another with the sure forecasts: each of them uses all cores.
        self.hunts = Hunts(self.surer)

    def today(self, survey: Survey, text: str) -> Foreseen | UnderWay:
        """The line as it stands, quickly; UnderWay where that takes longer than a page may. Errors: CannotRun, TooMuch."""
        return self.kept.ask(f"today {_digest(text)}", lambda: Foreseen(survey, quick_forecast_of(survey.line)))

    def option(self, today: Foreseen, text: str, settings: Settings, stop: Stop | None = None) -> Foreseen | UnderWay:
        """The line with something turned, run like today. With `stop` it is worked out here and now; otherwise as `today` is.

        Errors: Problem where it cannot be turned like that; CannotRun, TooMuch; Stopped.
        """
        name = f"option {_digest(text)} {settings.query}"
        if stop is None:
            return self.kept.ask(name, lambda: _option(today, settings, None))
        found = self.kept.found(name)
        if found is None:
            found = _option(today, settings, stop)
            self.kept.keep(name, found)
        return cast(Foreseen, found)

    def another(self, today: Foreseen, line: Line, text: str) -> Foreseen | UnderWay:
        """Another way to run the line, as a whole line file, run like today. Errors: CannotRun, TooMuch."""
        name = f"another {_digest(text)} of {_digest(today.survey.line.text)}"
        return self.kept.ask(name, lambda: Foreseen(survey_of(line), quick_forecast_of(line, like=today.forecast)))

    def sure(self, text: str, settings: Settings) -> Work[object] | None:
        """The sure forecast of this text with these settings, where somebody asked for it."""
        return self.surer.of(f"{_digest(text)} {settings.query}")

    def told_surely(self, text: str, settings: Settings) -> Foreseen | None:
        """The sure forecast, where it is there."""
        work = self.sure(text, settings)
        return cast(Foreseen, work.result) if work is not None and work.state == "done" else None

    def make_sure(self, survey: Survey, text: str, settings: Settings) -> None:
        """Begin the sure forecast: as many runs as it takes, and what is not known of the inputs."""
        self.surer.begin(f"{_digest(text)} {settings.query}", partial(_sure, survey, settings))

    def give_up(self, text: str, settings: Settings) -> None:
        """Stop the sure forecast."""
        self.surer.stop(f"{_digest(text)} {settings.query}")

    def waits_for(self, request: Request, page: str) -> Stop:
        """What says that nobody waits for the answer to this request any more: its page asked anew, or is gone."""
        overtaken = self.asking.asks(page) if page else _never
        gone = is_gone(request)
        return lambda: overtaken() or gone()


def knobs_in(
    survey: Survey, once: Callable[[str, Callable[[], tuple[Turnable, ...]]], tuple[Turnable, ...]]
) -> tuple[Turnable, ...]:
    """What can be turned in a line, found once."""
    return once("knobs", lambda: knobs_of(survey.line))


def settings_of(request: Request, knobs: tuple[Turnable, ...], today: str) -> Settings:
    """The settings in the address of a request. Problem (422) names what cannot be read."""
    asked = [(name, text) for name, text in request.query_params.multi_items() if name not in NOT_SETTINGS]
    return read_settings(asked, knobs, today)


def _option(today: Foreseen, settings: Settings, stop: Stop | None) -> Foreseen:
    line = settings.turn(today.forecast.line)
    return Foreseen(survey_of(line), quick_forecast_of(line, like=today.forecast, stop=stop))


def _sure(survey: Survey, settings: Settings, stop: Stop, tell: Tell) -> Foreseen:
    line = settings.turn(survey.line) if settings.turnings else survey.line
    turned = survey_of(line) if settings.turnings else survey
    return Foreseen(turned, forecast_of(line, half_width=WELL_KNOWN, runs=MOST_RUNS, stop=stop, progress=tell))


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:24]


def _never() -> bool:
    return False
