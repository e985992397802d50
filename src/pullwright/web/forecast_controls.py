"""The controls of a what-if: one for each knob of a line, grouped by kind, in forms that fit into an address."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from urllib.parse import quote_plus

from pullwright.forecast.search.knobs_of import Turnable
from pullwright.web.pieces import Piece
from pullwright.web.settings import Settings, limits_of, name_of, shown, typed, unit_of

ROOM = 1_400
"""Characters of an address that the fields of one form may take; the settings of the other forms go with them."""
GROUPS = {
    "cards": "Cards", "per card": "Pieces a card", "cap": "Caps", "room before": "Room before a step", "room after": "Room for what is finished",
    "lot": "Lots", "transfer lot": "Transfer lots", "people": "People", "machines": "Machines", "set-up": "Set-up times", "demand": "Demand", "cash": "Cash in hand",
}  # fmt: skip
"""What the knobs of a kind are called together."""
FIRST = (
    "demand",
    "people",
    "machines",
    "cards",
    "cap",
    "per card",
    "room before",
    "room after",
    "lot",
    "transfer lot",
    "set-up",
    "cash",
)
"""In which order the groups stand: what is asked most often first."""


class Control(Piece):
    """One control: its name in the address, its words, what stands in its field, today's value, and the range of its slider."""

    name: str
    words: str
    unit: str
    value: str
    today: str
    today_words: str
    low: str
    high: str
    step: str
    least: str
    most: str
    turned: bool


class ControlGroup(Piece):
    """Controls that are sent together; `kept` are the settings of the others, which are sent with them."""

    key: str
    words: str
    controls: tuple[Control, ...]
    kept: tuple[tuple[str, str], ...] = ()

    @property
    def turned(self) -> int:
        """How many of them are turned."""
        return sum(one.turned for one in self.controls)


def controls_of(knobs: Sequence[Turnable], settings: Settings) -> tuple[ControlGroup, ...]:
    """The controls of a line, group after group, as they stand with these settings."""
    ordered = sorted(knobs, key=lambda knob: FIRST.index(knob.kind) if knob.kind in FIRST else len(FIRST))
    groups = []
    for kind, each in groupby(ordered, key=lambda knob: knob.kind):
        for number, chunk in enumerate(_chunks(list(each))):
            inside = {name_of(knob) for knob in chunk}
            kept = tuple(
                (name_of(one.knob), typed(one.knob, one.value))
                for one in settings.turnings
                if name_of(one.knob) not in inside
            )
            words = GROUPS.get(kind, kind.capitalize()) + (f", {number + 1}" if number else "")
            key = f"{kind.replace(' ', '-')}-{number + 1}"
            groups.append(
                ControlGroup(
                    key=key, words=words, controls=tuple(_control(knob, settings) for knob in chunk), kept=kept
                )
            )
    return tuple(groups)


def _chunks(knobs: list[Turnable]) -> Iterator[list[Turnable]]:
    """Without a script every field of a form goes into the address, which has only so much room."""
    chunk: list[Turnable] = []
    taken = 0
    for knob in knobs:
        long = len(quote_plus(name_of(knob))) + 12
        if chunk and taken + long > ROOM:
            yield chunk
            chunk, taken = [], 0
        chunk.append(knob)
        taken += long
    if chunk:
        yield chunk


def _control(knob: Turnable, settings: Settings) -> Control:
    value, (least, most) = settings.of(knob), limits_of(knob)
    here = knob.today if value is None else value
    return Control(
        name=name_of(knob),
        words=knob.where or knob.words,
        unit=unit_of(knob),
        value="" if here is None else typed(knob, here),
        today="" if knob.today is None else typed(knob, knob.today),
        today_words="no limit" if knob.today is None else shown(knob, knob.today),
        low=typed(knob, min(knob.low, here) if here is not None else knob.low),
        high=typed(knob, max(knob.high, here) if here is not None else knob.high),
        step=typed(knob, knob.step if knob.unit == "times" else 1.0 if knob.step < 10 else knob.step),
        least=typed(knob, least),
        most=typed(knob, most),
        turned=value is not None,
    )
