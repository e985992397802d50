"""What is looked for, in numbers alone: settings with their costs, what their runs have to show, and how sure one wants to be."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product

import numpy as np

from pullwright.forecast.search.errors import CannotSearch
from pullwright.forecast.search.trial import Setting, Threshold

MOST_SETTINGS = 20_000
"""The most settings of a search where larger values never do worse, so that most of them need not be tried."""
MOST_TRIED = 2_000
"""The most settings of a search where every one may have to be tried."""


@dataclass(frozen=True)
class Problem:
    """A search, in numbers.

    Parameters: `axes`, the values of each knob (rising); `thresholds`, one for each promise, in the order of the columns that a run of a setting comes to;
    `cost`, what a setting costs (None: the last column, measured in the runs, is to be small on average); `rising`: a setting with
    larger values keeps every promise that one with smaller values keeps, and costs more; `confidence` of the whole answer; `most_runs` of
    one setting; `close`, how much of a measured cost does not matter; `asked`, whatever else tells this search from others.
    """

    axes: tuple[tuple[float, ...], ...]
    thresholds: tuple[Threshold, ...]
    cost: Callable[[Setting], float] | None
    rising: bool = False
    confidence: float = 0.95
    most_runs: int = 2_000
    close: float = 0.0
    asked: dict[str, object] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.axes or not all(self.axes):
            raise CannotSearch("there is nothing to try: name what may be turned, and its values")
        many = math.prod(len(axis) for axis in self.axes)
        most = MOST_SETTINGS if self.rising and self.cost is not None else MOST_TRIED
        if many > most:
            why = "" if self.rising and self.cost is not None else ", because each of them may have to be tried"
            raise CannotSearch(
                f"there are {many:,} settings; at most {most:,} are looked through{why}: turn fewer things, or take larger steps"
            )
        if not 0.5 <= self.confidence < 1:
            raise CannotSearch(
                f"a confidence of {self.confidence:g} was read; allowed: from 0.5 to below 1, such as 0.95"
            )
        if self.most_runs < 1:
            raise CannotSearch(f"at most {self.most_runs} runs of a setting were read; allowed: 1 or more")
        if not self.thresholds:
            raise CannotSearch("nothing is promised, so that the smallest setting does; say what it has to keep")
        if self.cost is None and not self.close > 0:
            raise CannotSearch(
                f"{self.close:g} was read for how much of the cost does not matter; it has to be above 0"
            )

    @cached_property
    def settings(self) -> tuple[Setting, ...]:
        """Every setting."""
        return tuple(product(*self.axes))

    @cached_property
    def costs(self) -> Sequence[float]:
        """What each setting costs, where that is settled without a run."""
        assert self.cost is not None
        return [self.cost(one) for one in self.settings]

    @cached_property
    def wrong(self) -> float:
        """The chance to be wrong that one trial may use up, so that all of them together keep the confidence.

        Every setting that may be tried gets its share, whichever are: which ones are tried hangs on the same luck as how they come out. Halving a single
        axis, only the settings on the way of right answers count: a way on which one answer may be either (its mean lies in the zone) goes
        on among settings that can be wrong in one direction each, so that at most 2 L of them can mislead, L being the halvings.
        """
        all_wrong = (1 - self.confidence) * (1.0 if self.cost is not None else 0.5)
        many = len(self.settings)
        if self.rising and self.cost is not None and len(self.axes) == 1:
            many = min(many, 2 * (1 + int(np.ceil(np.log2(many)))) if many > 1 else 1)
        return all_wrong / many
