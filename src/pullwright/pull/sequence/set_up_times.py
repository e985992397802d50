"""What the set-ups of a sequence take at the step whose set-ups it decides on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import cached_property
from itertools import pairwise

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow


class SetUpTimes:
    """Times from product to product at one step; without a step, set-ups take no time."""

    def __init__(self, flow: Flow, pacer: int | None) -> None:
        self._flow, self._pacer = flow, pacer

    @property
    def step(self) -> str | None:
        """The name of the step."""
        return None if self._pacer is None else self._flow.line.steps[self._pacer].name

    def lot_of(self, product: str) -> int | None:
        """How many pieces of a product it makes in a lot today."""
        return None if self._pacer is None else self._flow.line.steps[self._pacer].lot_of(product)

    def changes(self, sequence: Sequence[str]) -> Counter[tuple[str, str]]:
        """How often does each product come after each other one there? Products that skip the step change nothing."""
        if self._pacer is not None:
            here = self._flow.line.route.products_of(self._pacer)
            sequence = [name for name in sequence if name in here]
        return Counter((a, b) for a, b in pairwise(sequence) if a != b)

    @cached_property
    def _pairs(self) -> dict[tuple[str, str], Figure]:
        if self._pacer is None:
            return {}
        set_up = self._flow.line.steps[self._pacer].set_up
        assert set_up is not None
        path = ("steps", self._pacer, "set_up", "pairs")
        return {
            (pair.from_, pair.to): self._flow.givens.figure((*path, k, "time")) for k, pair in enumerate(set_up.pairs)
        }

    def time(self, a: str, b: str) -> Figure | None:
        """How long does the set-up from one product to another take (s)?"""
        if self._pacer is None:
            return None
        usual = self._flow.givens.figure(("steps", self._pacer, "set_up", "time"))
        return self._pairs.get((a, b), usual)

    @cached_property
    def shortest(self) -> float:
        """The shortest set-up from one product to another (s)."""
        if self._pacer is None:
            return 0.0
        here = self._flow.line.route.products_of(self._pacer)
        times = [time.value for a in here for b in here if a != b and (time := self.time(a, b)) is not None]
        return min(times, default=0.0)

    def seconds(self, sequence: Sequence[str]) -> float:
        """How long do the set-ups of this sequence take in all (s)?"""
        times = ((self.time(a, b), n) for (a, b), n in self.changes(sequence).items())
        return float(sum(time.value * n for time, n in times if time is not None))

    def figures(self, words: str, sequence: Sequence[str]) -> tuple[Figure, Figure]:
        """Set-ups of a sequence and their time (s), as figures; `words` go behind their names."""
        changes = self.changes(sequence)
        how = "changes of product in the sequence" + (f" at {self.step}" if self.step else "")
        number = given(f"set-ups of the day{words}", float(sum(changes.values())), "set-ups", Source("computed", how))
        by_time: dict[Figure, int] = {}
        for (a, b), n in changes.items():
            time = self.time(a, b)
            if time is not None:
                by_time[time] = by_time.get(time, 0) + n
        if not by_time:
            none = "no step of the line is set up" if self._pacer is None else "the product never changes"
            return number, given(f"set-up time of the day{words}", 0.0, "s", Source("computed", none))
        numbers = [
            given(f"set-ups of the day{words} / {time.name}", float(n), "set-ups", Source("computed", how))
            for time, n in by_time.items()
        ]
        inputs = [figure for pair in zip(numbers, by_time, strict=True) for figure in pair]
        total = derive(
            f"set-up time of the day{words}", lambda *v: sum(v[k] * v[k + 1] for k in range(0, len(v), 2)), *inputs, unit="s",
            formula="sum over the changes of product of set-ups x set-up time",
        )  # fmt: skip
        return number, total
