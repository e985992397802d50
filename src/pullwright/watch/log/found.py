"""What one search for something odd found: which events, and a sentence about them."""

from __future__ import annotations

from dataclasses import dataclass

from .laid import Ints
from .looked import Looked

MOST_NAMED = 1_000
"""So many rows of an oddity are named; its count says how many there are."""


@dataclass(frozen=True, slots=True)
class Found:
    """The places of the events, and a sentence; `count` where it counts something else than events."""

    places: Ints
    sentence: str
    count: int | None = None

    @property
    def many(self) -> int:
        """How many are there?"""
        return int(self.places.size) if self.count is None else self.count

    def rows(self, log: Looked) -> tuple[int, ...]:
        """The first source rows."""
        return tuple(sorted(log.laid.row[self.places[:MOST_NAMED]].tolist()))


def counted(log: Looked, places: Ints, told: str, verb: str = "is") -> Found | None:
    """A finding about so many rows; None where there are none. `told` holds {n} for how many rows do what.

    >>> plural("ends"), plural("is"), plural("has"), plural("goes on")
    ('end', 'are', 'have', 'go on')
    """
    if not places.size:
        return None
    many = f"{places.size:,} of {log.laid.size:,} rows {plural(verb) if places.size != 1 else verb}"
    said = told.format(n=many)
    return Found(places, said if said.endswith("?") else f"{said}.")


def plural(verb: str) -> str:
    """A verb as several do it."""
    known = {"touches": "touch", "is": "are", "has": "have", "goes on": "go on", "says": "say", "takes": "take"}
    return known.get(verb, verb.removesuffix("s"))
