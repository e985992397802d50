"""A day as it is planned: its sequence, its box, how even it is, and its set-ups."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pullwright.figure import Figure
from pullwright.pull.changes import Change
from pullwright.pull.sequence.day_box import Slot
from pullwright.pull.sequence.with_set_ups import TradeOff


@dataclass(frozen=True, slots=True)
class Uneven:
    """How far a product or part is from its even course over the day (pieces): on average and at most.

    Each for the sequence of the plan, for the most even sequence (set-ups left out of account), and for making it in lots as today.
    """

    kind: Literal["product", "part"]
    name: str
    mean: Figure
    largest: Figure
    mean_at_best: Figure
    largest_at_best: Figure
    mean_in_lots: Figure
    largest_in_lots: Figure

    def figures(self) -> tuple[Figure, ...]:
        """All six."""
        return (
            self.mean,
            self.largest,
            self.mean_at_best,
            self.largest_at_best,
            self.mean_in_lots,
            self.largest_in_lots,
        )


@dataclass(frozen=True)
class Day:
    """The plan of a day.

    `words`: which day. `asked`: pieces asked for, by product. `made`: pieces that the plan makes; `left_over`: what does not fit, by product.
    `sequence`: products in the order in which they are made, what is done first; `done`, `frozen`: how many of them are made already, and how many
    after those may not be changed. `slots`: the box. `pitch_pieces`, `takt` (s; None where nothing is made), `pitch` (s). `by`: what is even,
    products or parts. `pacer`: the step whose set-ups count (None: no step has any), `set_ups`, `set_up_time` (s), and both `in_lots`.
    `trade_off`: unevenness against set-ups, over the whole day. `squares`: unevenness (pieces²), `at_least`: what no sequence with as many
    set-ups undercuts. `uneven`: rows by product, then by part. `said`: why it is so, sentence by sentence. `changes`: what the plan changes in the
    line file; a day's sequence changes nothing in it.
    """

    words: str
    asked: dict[str, Figure]
    made: dict[str, Figure]
    left_over: dict[str, int]
    sequence: tuple[str, ...]
    done: int
    frozen: int
    slots: tuple[Slot, ...]
    pitch_pieces: Figure
    takt: Figure | None
    pitch: Figure | None
    by: Literal["rate", "parts"]
    pacer: str | None
    set_ups: Figure
    set_up_time: Figure
    set_ups_in_lots: Figure
    set_up_time_in_lots: Figure
    trade_off: tuple[TradeOff, ...]
    squares: float
    at_least: float
    uneven: tuple[Uneven, ...]
    said: tuple[str, ...]
    changes: tuple[Change, ...] = ()

    @property
    def proven(self) -> bool:
        """Is it proven that no sequence with as many set-ups is more even?"""
        return self.squares <= self.at_least * (1 + 1e-9) + 1e-12

    def figures(self) -> dict[str, Figure]:
        """All figures by name, in the order in which they are read."""
        named = [*self.asked.values(), *self.made.values(), self.pitch_pieces]
        named += [figure for figure in (self.takt, self.pitch) if figure is not None]
        named += [self.set_ups, self.set_up_time, self.set_ups_in_lots, self.set_up_time_in_lots]
        named += [figure for row in self.uneven for figure in row.figures()]
        return {figure.name: figure for figure in named}
