"""One unit on its way through the line: where it waited, where it was worked on, and for how long."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pullwright.forecast.events.rows import BEGUN_UNIT, COMES, FINISHED_UNIT, HANDED_ON, LET_GO, TAKEN_UP
from pullwright.forecast.layout import Layout
from pullwright.forecast.runs import traced

Doing = Literal["waits", "is worked on", "is held", "is on its way"]
_NEXT: dict[int, Doing] = {
    BEGUN_UNIT: "waits",
    COMES: "waits",
    TAKEN_UP: "is worked on",
    LET_GO: "is held",
    HANDED_ON: "is on its way",
}


class NoUnit(ValueError):  # noqa: N818  (says what happened)
    """No unit was begun and ended within the days that were run."""


@dataclass(frozen=True, slots=True)
class Stay:
    """From `begin` to `end` (s of working time) the unit `doing` at `step`.

    It waits before the step; is worked on, with what its machine stood still meanwhile; is held on the machine for want of room; or is on its way
    from there: until its transfer lot is complete, and as long as the way takes.
    """

    step: str
    doing: Doing
    begin: float
    end: float

    @property
    def seconds(self) -> float:
        """How long it took (s)."""
        return self.end - self.begin


@dataclass(frozen=True)
class Unit:
    """One unit of a run: how long it took (s) from its begin, which share of the units of the run took less, and its stays, in order."""

    seconds: float
    share: float
    stays: tuple[Stay, ...]

    @property
    def touched(self) -> float:
        """Seconds in which it was worked on."""
        return sum(stay.seconds for stay in self.stays if stay.doing == "is worked on")


def unit_through(layout: Layout, *, days: float, share: float = 0.5, number: int = 0, seed: int = 0) -> Unit:
    """How does a usual unit get through the line, or one of the slow ones?

    Parameters: `days`, working days that are run from the counted stock; `share`, of the units that take less (0.5: the middle one, 0.95: a slow one); `number` and
    `seed` choose the luck, that of the run of this number in a forecast. Units that lay in the line at the start are left out: nobody knows how
    long they had been there. Where parts are put together it is the piece that the unit began as.
    Errors: NoUnit; ValueError for a share outside of 0 to 1 or no days.
    """
    if not (0 <= share <= 1 and days > 0):
        raise ValueError(
            f"a share of {share:g} and {days:g} days were read; a share lies between 0 and 1, and days are above 0"
        )
    rows, first, wide = traced(layout.plant, number=number, until=days * layout.day, day=layout.day, seed=seed)
    lives = _lives(rows)
    if not lives:
        raise NoUnit(f"no unit was begun and ended within {days:g} working days: run more days")
    when = rows[:, 0].view(np.float64)
    took = np.array([when[life[-1]] - when[life[0]] for life in lives])
    order = np.argsort(took, kind="stable")
    chosen = int(order[min(len(lives) - 1, int(share * len(lives)))])
    life = lives[chosen]
    stays = tuple(
        Stay(
            layout.steps[(int(rows[at, 3]) - first) // wide],
            _NEXT[int(rows[at, 1])],
            float(when[at]),
            float(when[then]),
        )
        for at, then in itertools.pairwise(life)
        if when[then] > when[at]
    )
    return Unit(float(took[chosen]), float((took < took[chosen]).mean()), stays)


def _lives(rows: np.ndarray) -> list[np.ndarray]:
    """The rows of each piece that was begun and became a unit within the run, from its begin to its end."""
    found = []
    order = np.lexsort((np.arange(len(rows)), rows[:, 2]))
    pieces = rows[order, 2]
    for mine in np.split(order, np.flatnonzero(np.diff(pieces)) + 1):
        whats = rows[mine, 1]
        begins = np.flatnonzero(whats == BEGUN_UNIT)
        for end in np.flatnonzero(whats == FINISHED_UNIT):
            # What goes into another piece has no end of its own, and its place in memory is used again: the last begin counts.
            before = begins[begins < end]
            if before.size and not (whats[before[-1] : end] == FINISHED_UNIT).any():
                found.append(mine[before[-1] : end + 1])
    return found
