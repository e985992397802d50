"""Which numbers of the story rest on little, and what would make them surer?"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Weak:
    """A number that rests on little: what it is, why it is weak, what to go and watch, how many more readings (0: not by number).

    `weight` orders them: how much hangs on it, 0 to 1. `about` is "calendar", "step", "station", "lead", "yield",
    "breakdown", "demand" or "data"; `name` the step or station, where there is one.
    """

    about: str
    name: str
    what: str
    why: str
    do: str
    more: int
    weight: float
    rows: tuple[int, ...] = ()


@dataclass(frozen=True)
class WatchNext:
    """What to watch next, the most telling first."""

    items: tuple[Weak, ...]
    found: str
