"""What activity sampling is: rounds planned at random moments, and the looks that were taken on them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pullwright.line.kinds import KindKey


@dataclass(frozen=True, slots=True)
class Round:
    """One round to walk: its number from 1, the moment that was drawn, and the stations in the order to visit them."""

    number: int
    at: datetime
    stations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """One look at one person or place: on which round, where, when, and what was seen there.

    `seen` is a kind of the accounts; "unexplained" where nobody could say. `uid` names the look for ever, `where` it is
    written ("row 17 of looks.csv", "round 3").
    """

    uid: str
    round: int
    station: str
    at: datetime
    seen: KindKey
    who: str = ""
    note: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class Tour:
    """A whole activity sampling: the rounds that were planned with this seed, and the looks taken so far."""

    name: str
    rounds: tuple[Round, ...]
    looks: tuple[Look, ...] = ()
    line: str = ""
    seed: int = 0
