"""A day that has begun: what happened so far, and what is asked for now."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from pullwright.pull.sequence.day_box import Stretch


@dataclass(frozen=True)
class Begun:
    """How far a day is.

    `planned`: the sequence that it began with (that of the orders where nothing is said). `done`: the products made so far, in their order.
    `frozen`: how many of the next slots of the box stay as they are; `started`: how many of the next pieces are begun already. `lost`: what was
    made beside `done` and is not there any more. `on`: the product that the set-up is for now (that of the last piece done where nothing is said).
    `now`: the time on the clock (None: the pieces done took the takt that was planned). `until`: when work ends (None: as every day). `asked`:
    pieces of each product asked for over the whole day now (None: as the orders of the line stand). `times`: the how manieth plan of the day anew
    this is, so that its figures have names of their own (0: those of the morning).
    """

    planned: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    frozen: int = 0
    started: int = 0
    lost: tuple[str, ...] = ()
    on: str | None = None
    now: dt.time | None = None
    until: dt.time | None = None
    asked: Mapping[str, int] | None = None
    times: int = 0

    @property
    def words(self) -> str:
        """What stands behind the names of its figures."""
        return "" if not self.times else " / anew" if self.times == 1 else f" / anew {self.times}"

    @property
    def at_all(self) -> bool:
        """Has anything happened, or is anything asked for otherwise?"""
        return self != Begun()


def on_the_day(clock: dt.time, stretches: tuple[Stretch, ...]) -> float:
    """A time on the clock in seconds after midnight of the day; early hours belong to a shift over midnight.

    >>> on_the_day(dt.time(1, 30), ((79_200.0, 108_000.0),)), on_the_day(dt.time(10), ((21_600.0, 50_400.0),))
    (91800.0, 36000.0)
    """
    seconds = clock.hour * 3600.0 + clock.minute * 60 + clock.second
    early = stretches and seconds < stretches[0][0] and seconds + 86_400 <= stretches[-1][1]
    return seconds + 86_400 if early else seconds


def worked_to(stretches: tuple[Stretch, ...], until: dt.time | None) -> tuple[Stretch, ...]:
    """When is worked if work ends at another time: longer than the last shift, or less long? As it stands where nothing is said.

    A time before the work of the day begins is one of the next morning.

    >>> worked_to(((0.0, 3600.0), (5400.0, 9000.0)), dt.time(3)), worked_to(((0.0, 3600.0), (5400.0, 9000.0)), dt.time(2))
    (((0.0, 3600.0), (5400.0, 10800.0)), ((0.0, 3600.0), (5400.0, 7200.0)))
    """
    if until is None or not stretches:
        return stretches
    end = on_the_day(until, stretches)
    end += 86_400 if end <= stretches[0][0] else 0
    kept = [(begin, min(stop, end)) for begin, stop in stretches if begin < end]
    if end > stretches[-1][1]:
        kept[-1] = (kept[-1][0], end)
    return tuple(kept)
