"""A change that could make a plan fit: what it gives, what it costs in a year, and what is taken for granted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pullwright.figure import Figure
from pullwright.pull.changes import Change


@dataclass(frozen=True)
class PossibleChange:
    """One thing that could be done.

    `name`, unique; `words`: what to do, as an order without a full stop, and `many` the same for so many of it. `floor` (m2), `people` (persons) and `cash` (money): what one of it
    gives, below 0 where it takes; None where it gives none. `yearly` (money/year): what it costs, below 0 where it saves; None where nobody has
    said what it costs. `assumed`: what is taken for granted, in one sentence. `most`: how many of it can be done. `group`: of one group only one
    can be done. `stocks`: it acts on today's stock of these words, and falls away where the plan stands for that. `crew`: the people are of this
    crew; `step`: their time is given or taken at this step; `teaches`: (crew, task) that it teaches. `written`: what changes in the line
    file when so many of it are done.
    """

    name: str
    words: str
    floor: Figure | None = None
    people: Figure | None = None
    cash: Figure | None = None
    yearly: Figure | None = None
    assumed: str = ""
    most: int = 1
    group: str = ""
    stocks: tuple[str, ...] = ()
    crew: str = ""
    step: str = ""
    teaches: tuple[str, str] | None = None
    written: Callable[[int], tuple[Change, ...]] = lambda times: ()
    many: Callable[[int], str] | None = None

    def said(self, times: int) -> str:
        """What is to be done, when so many of it are."""
        if times == 1:
            return self.words
        return f"{self.words}, {times} times" if self.many is None else self.many(times)
