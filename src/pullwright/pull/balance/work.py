"""The work that is to be shared out among posts: elements with their times, and which one comes before which."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from pullwright.pull.errors import BadPlanInput

TICK = 1e-3
"""The grain of time in a balance (s): times are rounded up to it and the takt down, so that a proof holds for the real times too."""


@dataclass(frozen=True, slots=True)
class Element:
    """One element of the work.

    `time`: how long a person is bound by it (s), on average; `deviation`: its standard deviation from piece to piece (s). `after`: names of
    the elements that must be done before it on the same piece. `skill`: what a person must be able to do; empty where anybody can.
    `place`: where on the floor it is done (m), where that is known. `station`: the station of the line that it belongs to; empty where there is none.
    """

    name: str
    time: float
    after: tuple[str, ...] = ()
    deviation: float = 0.0
    skill: str = ""
    place: tuple[float, float] | None = None
    station: str = ""


@dataclass(frozen=True)
class Work:
    """All elements that are to be shared out, in an order in which they can be done (`of` puts them into one).

    >>> work = Work.of([Element("glue", 30.0, after=("cut",)), Element("cut", 20.0)])
    >>> work.names, work.total
    (('cut', 'glue'), 50.0)
    """

    elements: tuple[Element, ...]

    @classmethod
    def of(cls, elements: Iterable[Element]) -> Work:
        """Put elements into an order of work; BadPlanInput for a name that stands twice or is unknown, a time below 0, a circle."""
        given = tuple(elements)
        by_name: dict[str, Element] = {}
        for element in given:
            if element.name in by_name:
                raise BadPlanInput(
                    f"{element.name!r} is the name of two elements; allowed: names that stand once; rename one"
                )
            if not 0 <= element.time < float("inf"):
                raise BadPlanInput(f"element {element.name!r} takes {element.time} s; allowed: a time from 0 s on")
            if not 0 <= element.deviation < float("inf"):
                raise BadPlanInput(
                    f"element {element.name!r} has a deviation of {element.deviation} s; allowed: from 0 s on"
                )
            by_name[element.name] = element
        for element in given:
            for before in element.after:
                if before not in by_name:
                    raise BadPlanInput(f"element {element.name!r} comes after {before!r}, and there is no such element")
        return cls(tuple(by_name[name] for name in _in_order(by_name)))

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The names, in order of work."""
        return tuple(element.name for element in self.elements)

    @cached_property
    def index(self) -> dict[str, int]:
        """Where each name stands."""
        return {name: i for i, name in enumerate(self.names)}

    @cached_property
    def arcs(self) -> tuple[tuple[int, int], ...]:
        """Pairs of places (before, after), as they were given."""
        return tuple((self.index[before], i) for i, element in enumerate(self.elements) for before in element.after)

    @property
    def total(self) -> float:
        """The work of one piece (s)."""
        return sum(element.time for element in self.elements)


def _in_order(by_name: dict[str, Element]) -> list[str]:
    """Names in an order of work, as near to the given one as can be; BadPlanInput names the elements of a circle."""
    done: dict[str, None] = {}
    waiting = list(by_name)
    while waiting:
        ready = next((name for name in waiting if all(before in done for before in by_name[name].after)), None)
        if ready is None:
            circle = _circle(by_name, waiting)
            said = " before ".join(f"{name!r}" for name in [*circle, circle[0]])
            raise BadPlanInput(f"these elements wait for one another: {said}; take one of these orders away")
        done[ready] = None
        waiting.remove(ready)
    return list(done)


def _circle(by_name: dict[str, Element], left: list[str]) -> list[str]:
    """A circle among elements of which each waits for another one of them, in the order in which they would have to be done."""
    seen: list[str] = [left[0]]
    while True:
        before = next(name for name in by_name[seen[-1]].after if name in left)
        if before in seen:
            return seen[seen.index(before) :][::-1]
        seen.append(before)
