"""All that can be turned in a line, with today's value and a sensible range: for sliders, and where a search names no values."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pullwright.forecast.search.kinds import KINDS, Kind
from pullwright.forecast.search.knob import Knob
from pullwright.line import Line


@dataclass(frozen=True, slots=True)
class Turnable:
    """One thing that can be turned: today's value (None: nothing limits it), and a sensible range from `low` to `high` in steps of `step`.

    `unit`: cards, pieces, people, machines, times (of today's), or the line's currency; `words`: what to write beside the slider.
    """

    kind: str
    where: str
    today: float | None
    low: float
    high: float
    step: float
    unit: str
    words: str

    def knob(self) -> Knob:
        """The knob with every value of the range."""
        many = round((self.high - self.low) / self.step)
        return Knob(self.kind, self.where, tuple(round(self.low + k * self.step, 10) for k in range(many + 1)))


def knobs_of(line: Line) -> tuple[Turnable, ...]:
    """What can be turned in this line, and how far is sensible?

    >>> [one.words for one in knobs_of(Line.read("examples/first_line.yaml"))][:2]
    ['room before drill seat', 'room before glue']
    """
    found = []
    for kind in KINDS.values():
        for where, today in kind.places(line).items():
            low, high, step = _range(kind, today)
            unit = line.currency if kind.unit == "money" else kind.unit
            found.append(Turnable(kind.key, where, today, low, high, step, unit, kind.named(where)))
    return tuple(found)


def _range(kind: Kind, today: float | None) -> tuple[float, float, float]:
    if kind.unit == "times":
        return (0.1, 1.0, 0.1) if kind.key == "set-up" else (0.5, 1.5, 0.05)
    if kind.unit == "money":
        step = _round_step(2 * max(abs(today or 0.0), 5_000.0) / 40)
        low = min(0.0, math.floor((today or 0.0) / step) * step)
        return low, low + 40 * step, step
    step = max(1.0, _round_step(2 * (today or 0.0) / 40))
    low = step if kind.least == 1 and step > 1 else kind.least
    return low, max(10.0, math.ceil(2 * (today or 10.0) / step) * step), step


def _round_step(step: float) -> float:
    """The next of 1, 2, 5, 10, 20, 50 ... (times a power of ten) that is not below a step."""
    if step <= 0:
        return 0.0
    power = 10.0 ** math.floor(math.log10(step))
    return next(power * many for many in (1, 2, 5, 10) if power * many >= step * (1 - 1e-12))
