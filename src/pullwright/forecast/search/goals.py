"""What is to be small: one row of a table for each goal, with the words that ask for it, what is turned for it, and what it costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pullwright.forecast.search.knob import Knob
from pullwright.forecast.search.promises import Promise
from pullwright.forecast.search.trial import Setting


@dataclass(frozen=True, slots=True)
class Goal:
    """A goal.

    `words` ask for it; `turns`: the word before the names of places, and the kind of knob that it turns; `unit` of its cost; `measure`: the cost is the mean of
    this measure over runs (empty: the sum of the knobs that it turns); `smaller`: what is said not to do; `promises` that hold where none are given
    (empty: those of the line file).
    """

    words: str
    turns: Mapping[str, str]
    unit: str
    measure: str = ""
    smaller: str = ""
    promises: tuple[Promise, ...] = ()

    def cost(self, knobs: Sequence[Knob], setting: Setting) -> float:
        """What a setting costs, where that is settled without a run: the sum of what this goal turns."""
        kinds = set(self.turns.values())
        return float(sum(value for knob, value in zip(knobs, setting, strict=True) if knob.kind in kinds))


GOALS: tuple[Goal, ...] = (
    Goal("fewest cards", {"of": "cards"}, "cards", smaller="smaller number of cards"),
    Goal("smallest stores", {"before": "room before", "after": "room after"}, "pieces of room", smaller="smaller room"),
    Goal("smallest cap", {"of": "cap"}, "pieces", smaller="smaller cap"),
    Goal("fewest people", {"of": "people"}, "people", smaller="smaller number of people"),
    Goal("fewest machines", {"of": "machines"}, "machines", smaller="smaller number of machines"),
    Goal("least cash", {"": "cash"}, "money", smaller="smaller amount of cash", promises=(Promise("dry", 0.05),)),
    Goal("best lots", {"of": "lot"}, "pieces", measure="stock"),
)
"""Goals that have words of their own; besides them, `least MEASURE by KNOBS` makes the mean of any measure small."""
