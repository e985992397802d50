"""One unit on its way through the line: where it waited, where it was worked on, as a picture and row by row."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query
from pydantic import Field as Kept
from starlette.requests import Request

from pullwright.draw.unit_way import Spell, unit_way
from pullwright.forecast.errors import CannotRun, TooMuch
from pullwright.forecast.layout import layout_of
from pullwright.forecast.one_unit import NoUnit, Unit, unit_through
from pullwright.forecast.unit_said import unit_sentence, working_time
from pullwright.line import Line
from pullwright.web.desk import AtDesk
from pullwright.web.forecast_pages import Asked, ForecastMatter, Refused, Waiting, asked
from pullwright.web.opened import Opened, everywhere
from pullwright.web.pages import Pages
from pullwright.web.pieces import Crumb, Found, Piece
from pullwright.web.screens.line import NARROW, WIDE
from pullwright.web.slow_shelf import UnderWay

DAYS = 120
"""Working days that are run to find units that were begun and ended."""
USUAL, SLOW = 0.5, 0.95
KINDS = ((USUAL, "usual"), (SLOW, "slow"))
Share = Annotated[float, Query(ge=0, le=1, description="Of the units of the run, the share that took less time.")]


class StayRow(Piece):
    """From `begin` to `end` (s of working time since the unit was begun) the unit was `doing` at `step`; the rest are the same in words."""

    step: str
    doing: str
    begin: float
    end: float
    from_words: str
    to_words: str
    long_words: str


class UnitPage(ForecastMatter):
    """One unit on its way: how long it took (s), what share of the units took less, and its stays."""

    seconds: float = 0.0
    touched: float = 0.0
    share: float = 0.0
    days: int = DAYS
    day: float = 0.0
    stays: tuple[StayRow, ...] = ()
    others: tuple[Crumb, ...] = Kept(default=(), exclude=True)
    wide: str = Kept(default="", exclude=True)
    narrow: str = Kept(default="", exclude=True)


def one_unit(opened: Opened, request: Request, desk: AtDesk, share: Share = USUAL) -> UnitPage:
    """How does a usual unit get through the line, or one of the slow ones?"""
    ask = asked(opened, request, desk)
    page = {**ask.about("One unit"), "others": _others(ask, share)}
    found = _followed(ask, desk, share)
    if isinstance(found, (Waiting, Refused)):
        return UnitPage(**page, **ask.without_answer(found))
    if isinstance(found, NoUnit):
        words = f"No unit was begun and ended within {DAYS} working days: there is none to follow."
        return UnitPage(**page, found=Found(text=words))
    unit, day = found
    kind = next((words for at, words in KINDS if at == share), f"“{share:.0%} are quicker”")
    start = unit.stays[0].begin if unit.stays else 0.0
    spells = [Spell(one.step, one.doing, one.begin - start, one.end - start) for one in unit.stays]

    def said(seconds: float) -> str:
        return working_time(seconds, day)

    words = f"With {ask.settings.words}: " if ask.settings.turnings else ""
    return UnitPage(
        **page, found=Found(text=words + unit_sentence(unit, day, kind)), seconds=unit.seconds, touched=unit.touched, share=unit.share, day=day,
        stays=tuple(_row(one, day) for one in spells),
        wide=unit_way(spells, day=day, time_words=said, width=WIDE, prefix="wide-unit") if spells else "",
        narrow=unit_way(spells, day=day, time_words=said, width=NARROW, prefix="narrow-unit") if spells else "",
    )  # fmt: skip


def _followed(ask: Asked, desk: AtDesk, share: float) -> tuple[Unit, float] | NoUnit | Waiting | Refused:
    """The unit, and the working seconds of a day; or why there is none (yet)."""
    beside = ask.beside()
    if isinstance(beside, (Waiting, Refused)):
        return beside
    line = (beside.option or beside.today).forecast.line

    def follow() -> tuple[Unit, float] | NoUnit:
        return _follow(line, share)

    try:
        found = desk.forecasts.kept.ask(f"unit {ask.opened.worked_out.text} {ask.settings.query} {share!r}", follow)
    except (CannotRun, TooMuch) as error:
        return Refused(said=str(error), todo="Put this right in the line file, and the unit can be followed.")
    return (
        Waiting(words="A unit is being followed through the line.", seconds=found.seconds)
        if isinstance(found, UnderWay)
        else found
    )


def _follow(line: Line, share: float) -> tuple[Unit, float] | NoUnit:
    layout = layout_of(line)
    try:
        return unit_through(layout, days=DAYS, share=share), layout.day
    except NoUnit as none:
        return none


def _row(one: Spell, day: float) -> StayRow:
    return StayRow(
        step=one.step, doing=one.doing, begin=one.begin, end=one.end, from_words=_moment(one.begin, day), to_words=_moment(one.end, day),
        long_words=working_time(one.end - one.begin, day),
    )  # fmt: skip


def _moment(seconds: float, day: float) -> str:
    """A moment since the begin: the working day, counted from 1, and the working time into it."""
    whole, rest = divmod(round(seconds), round(day))
    minutes = rest // 60
    return f"day {whole + 1}, {minutes // 60}:{minutes % 60:02d}"


def _others(ask: Asked, share: float) -> tuple[Crumb, ...]:
    mark = "&" if ask.query else "?"
    return tuple(
        Crumb(
            words=f"A {words} one",
            href=ask.part("/unit") + (f"{mark}share={at:g}" if at != USUAL else ""),
            here=at == share,
        )
        for at, words in KINDS
    )


def register(pages: Pages) -> None:
    """Add the way of one unit."""
    everywhere(pages, "/forecast/unit", one_unit, "one_unit.html")
