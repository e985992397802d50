"""A knob: one thing of a line that can be turned, where, and the values that it may take."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.forecast.search.errors import CannotSearch, CannotTurn
from pullwright.forecast.search.kinds import KINDS
from pullwright.forecast.search.rebuilding import sensible
from pullwright.line import Line
from pullwright.line.faults import likely_slip, listed

MOST_VALUES = 10_000
"""The most values of one knob."""


@dataclass(frozen=True, slots=True)
class Knob:
    """What may be turned, where, to which values (rising; in cards, pieces, people, machines, times of today's, or the line's currency).

    >>> Knob("cards", "weld base", (3, 1, 2)).values
    (1, 2, 3)
    """

    kind: str
    where: str
    values: tuple[float, ...]

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise CannotSearch(f"{self.kind!r} is nothing that can be turned; allowed: {listed(KINDS, 20)}")
        kind = KINDS[self.kind]
        rising = tuple(sorted(set(self.values)))
        if not rising:
            raise CannotSearch(f"{self.name} has no values to try; give some, such as 1..12")
        if len(rising) > MOST_VALUES:
            raise CannotSearch(
                f"{self.name} has {len(rising):,} values; at most {MOST_VALUES:,} are tried: take larger steps"
            )
        for value in rising:
            if not math.isfinite(value) or value < kind.least or (kind.whole and value != round(value)):
                allowed = f"{'whole numbers' if kind.whole else 'numbers'} from {kind.least:g}"
                raise CannotSearch(f"{self.name} cannot be {value:g}; allowed: {allowed}")
        object.__setattr__(self, "values", tuple(int(value) if kind.whole else float(value) for value in rising))

    @property
    def name(self) -> str:
        """What it is called: "cards of weld base"."""
        return KINDS[self.kind].named(self.where)

    @property
    def unit(self) -> str:
        """What its values count: cards, pieces, people, machines, times, money."""
        return KINDS[self.kind].unit


def check_place(line: Line, kind: str, where: str) -> None:
    """CannotTurn, with what may be turned in this line, where it has no such place."""
    places = KINDS[kind].places(line)
    if where in places:
        return
    if not places:
        others = listed(key for key, other in KINDS.items() if other.places(line))
        raise CannotTurn(
            f"{KINDS[kind].named(where)}: nothing of that kind can be turned in {line.line}; allowed there: {others}"
        )
    slip = likely_slip(where, list(places))
    hint = f" ({slip})" if slip else ""
    raise CannotTurn(
        f"{KINDS[kind].named(where)}: {where or 'no place'} was read; allowed: {listed(map(repr, places), 20)}{hint}"
    )


def turned(line: Line, knobs: Sequence[Knob], setting: Sequence[float]) -> Line:
    """How does the line look with its knobs turned to a setting?

    Parameters: `knobs`, and `setting`, one value for each of them in their order and units. Returns a line that is checked like one read from a
    file; its counted stock is lowered to what fits its places and its cards. Errors: CannotTurn.

    >>> line = Line.read("examples/hand_pump.yaml")
    >>> turned(line, [Knob("room before", "weld base", (14, 28))], [14]).stores[10].capacity.value
    14.0
    """
    if len(knobs) != len(setting):
        raise CannotTurn(f"{len(setting)} values were read for {len(knobs)} knobs; give one for each")
    said = shown(knobs, setting)
    for knob, value in zip(knobs, setting, strict=True):
        check_place(line, knob.kind, knob.where)
        Knob(knob.kind, knob.where, (value,))
        line = KINDS[knob.kind].turn(line, knob.where, int(value) if KINDS[knob.kind].whole else value)
    return sensible(line, said)


def shown(knobs: Sequence[Knob], setting: Sequence[float]) -> str:
    """A setting in words.

    >>> shown([Knob("cards", "saw", (1, 2)), Knob("set-up", "saw", (0.5, 1.0))], (2, 0.5))
    'cards of saw: 2, set-up of saw: 50 %'
    """
    return ", ".join(
        f"{knob.name}: {value_shown(knob.unit, value)}" for knob, value in zip(knobs, setting, strict=True)
    )


def value_shown(unit: str, value: float) -> str:
    """One value of a knob in words; times of today's as a percentage."""
    return f"{100 * value:.10g} %" if unit == "times" else f"{value:,.10g}".replace(",", " ")
