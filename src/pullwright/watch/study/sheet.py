"""What a time study is: its elements, its readings, and what was said of it; as plain values, wherever they were written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pullwright.line.kinds import ElementKind

Work = Literal["manual", "machine", "walking"]


@dataclass(frozen=True, slots=True)
class TimedElement:
    """One element of a cycle, in the order in which it is done: what, by hand, by machine or on foot, and what it is for.

    `every` says in how many cycles it comes once (a tool change every 20th piece: 20).
    """

    what: str
    work: Work = "manual"
    kind: ElementKind = "needed"
    every: int = 1
    because: str = ""


@dataclass(frozen=True, slots=True)
class TimedReading:
    """One reading: how long one element took in one cycle.

    `element` counts from 0 in the study's elements; -1 is a foreign element, something that does not belong to the cycle.
    `seconds` as read; `rating` 1.0 is standard performance, None where the study's own rating holds; `aside` is the
    reason why it is set aside, empty where it counts; `when` and `who` as written down; `where` it stands ("row 17 of
    study.csv", "reading 12 of the stopwatch"); `uid` names it for ever.
    """

    uid: str
    cycle: int
    element: int
    seconds: float
    rating: float | None = None
    aside: str = ""
    note: str = ""
    when: str = ""
    who: str = ""
    where: str = ""
    origin: str = ""
    """Where it was written down first, when it stands somewhere else now: "reading 12 of the stopwatch"."""


@dataclass(frozen=True, slots=True)
class Allowance:
    """An allowance on basic time: a row of the table of allowances, or one of the works' own, as a share of basic time."""

    key: str
    share: float
    words: str = ""


@dataclass(frozen=True, slots=True)
class StudySheet:
    """A whole time study. `rating` holds for every reading that has none of its own (1.0 = standard performance)."""

    name: str
    elements: tuple[TimedElement, ...]
    readings: tuple[TimedReading, ...] = ()
    of: str = ""
    line: str = ""
    station: str = ""
    step: str = ""
    product: str = ""
    on: str = ""
    who: str = ""
    rating: float = 1.0
    allowances: tuple[Allowance, ...] = ()
