"""What is asked of a line in an address: `?cards:weld base=4` turns one knob, and what is not named stays as it is today."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import urlencode

from pullwright.forecast.search.errors import CannotTurn
from pullwright.forecast.search.kinds import KINDS
from pullwright.forecast.search.knob import Knob, turned
from pullwright.forecast.search.knobs_of import Turnable
from pullwright.line import Line
from pullwright.line.faults import likely_slip
from pullwright.web.problems import NextStep, Problem, Wrong

BEYOND = 10
"""A number may be so many times what is a sensible range for it; more is a slip of a key."""
MOST_NAMED = 4
"""Settings that are named one by one in a sentence."""
LONGEST = 40
"""Characters of one number."""


@dataclass(frozen=True, slots=True)
class Turning:
    """One knob with what it is turned to, in the knob's own unit."""

    knob: Turnable
    value: float

    @property
    def words(self) -> str:
        """Say it: "cards of weld base: 4 instead of 6"."""
        today = "no limit" if self.knob.today is None else shown(self.knob, self.knob.today)
        return f"{self.knob.words} {shown(self.knob, self.value)} instead of {today}"


@dataclass(frozen=True)
class Settings:
    """What is turned, in the order of the knobs; nothing: the line as it is today."""

    turnings: tuple[Turning, ...] = ()

    @cached_property
    def query(self) -> str:
        """The settings as an address asks for them."""
        return urlencode([(name_of(one.knob), typed(one.knob, one.value)) for one in self.turnings])

    @property
    def words(self) -> str:
        """Say what is turned, the first ones one by one."""
        said = [one.words for one in self.turnings[:MOST_NAMED]]
        more = len(self.turnings) - len(said)
        return ", ".join(said) + (f" and {more} more" if more else "")

    def of(self, knob: Turnable) -> float | None:
        """To what this knob is turned; None where it is not."""
        return next((one.value for one in self.turnings if one.knob is knob), None)

    def turn(self, line: Line) -> Line:
        """The line as it would be. Problem (422) where the settings contradict one another."""
        knobs = [Knob(one.knob.kind, one.knob.where, (one.value,)) for one in self.turnings]
        try:
            return turned(line, knobs, [one.value for one in self.turnings])
        except CannotTurn as error:
            raise Problem(
                422, self.words, title="The line cannot be turned like that.", allowed=str(error), todo="Turn one of them back, or turn them less far."
            ) from error  # fmt: skip


def name_of(knob: Turnable) -> str:
    """What a knob is called in an address."""
    return f"{knob.kind}:{knob.where}"


def is_share(knob: Turnable) -> bool:
    """Is it given in per cent of today's?"""
    return knob.unit == "times"


def typed(knob: Turnable, value: float) -> str:
    """A value as it is typed: times of today's in per cent.

    >>> typed(Turnable("demand", "pump", 1.0, 0.5, 1.5, 0.05, "times", "demand of pump"), 1.15)
    '115'
    """
    return f"{round(100 * value, 6) if is_share(knob) else value:.10g}"


def unit_of(knob: Turnable) -> str:
    """The unit beside the field."""
    return "% of today's" if is_share(knob) else knob.unit


def shown(knob: Turnable, value: float) -> str:
    """A value with its unit, in words."""
    number = typed(knob, value)
    if is_share(knob):
        return f"{number} %"
    if KINDS[knob.kind].unit == "money":
        return f"{value:,.10g} {knob.unit}".replace(",", "\u00a0")
    return number


def read_settings(asked: Iterable[tuple[str, str]], knobs: Sequence[Turnable], today: str) -> Settings:
    """Read the settings of an address.

    Parameters: `asked`, its names and texts; the `knobs` of the line; `today`, the address of the page without any.
    An empty text, and today's own value, turn nothing. Problem (422) names every entry that cannot be read.
    """
    by_name = {name_of(knob): knob for knob in knobs}
    found: dict[str, float] = {}
    wrong: list[Wrong] = []
    for name, text in asked:
        knob = by_name.get(name)
        if knob is None:
            wrong.append(Wrong(name[:80] or "(no name)", _unknown(name, by_name)))
        elif name in found:
            wrong.append(Wrong(knob.words, "it is turned twice; give it once"))
        elif text.strip():
            try:
                found[name] = _value(knob, text)
            except ValueError as error:
                wrong.append(Wrong(knob.words, str(error)))
    if wrong:
        raise Problem(
            422,
            "settings in the address: " + ", ".join(one.field for one in wrong[:MOST_NAMED]),
            title="This what-if cannot be asked: something in it is not allowed.",
            allowed="The controls of the forecast page, each with a number in its range.",
            todo="Correct what is named below, or start from the line as it is today.",
            wrong=tuple(wrong[:20]),
            steps=(NextStep("The forecast of the line as it is", today),),
        )
    return Settings(
        tuple(Turning(knob, found[name]) for name, knob in by_name.items() if found.get(name, knob.today) != knob.today)
    )


def _unknown(name: str, by_name: dict[str, Turnable]) -> str:
    if not by_name:
        return "nothing can be turned in this line"
    hint = likely_slip(name, list(by_name))
    return "nothing of that name can be turned in this line" + (f": {hint}" if hint else "")


def limits_of(knob: Turnable) -> tuple[float, float]:
    """Between which numbers a knob may be turned, in its own unit."""
    kind = KINDS[knob.kind]
    high = BEYOND * max(abs(knob.high), 1.0)
    return (-high if kind.least == -math.inf else kind.least), high


def _value(knob: Turnable, text: str) -> float:
    low, high = limits_of(knob)
    kind = KINDS[knob.kind]
    what = "a whole number" if kind.whole else "a number"
    allowed = f"{what} from {typed(knob, low)} to {typed(knob, high)} {unit_of(knob)} is wanted"
    said = text.strip().removesuffix("%").replace("\u00a0", "").replace(" ", "").replace(",", ".")
    try:
        if len(said) > LONGEST or "_" in said:
            raise ValueError
        number = float(said)
    except ValueError:
        raise ValueError(f"{text[:LONGEST]!r} was read; {allowed}") from None
    value = round(number / 100, 8) if is_share(knob) else number
    if not low <= value <= high or (kind.whole and value != round(value)):
        raise ValueError(f"{text[:LONGEST]} was read; {allowed}")
    return float(value)
