"""The people of a line as they are paid: how many, for how long, and how much of that in breaks and meetings."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow


@dataclass(frozen=True, slots=True)
class Staff:
    """All people of the line, of every shift (persons), their paid time and the paid pauses in it (person-s/wd).

    `assumed`: no people are given.
    """

    people: Figure
    paid: Figure
    pauses: Figure
    assumed: bool


def staff_of(flow: Flow, besides: tuple[Figure, ...]) -> Staff:
    """Who is paid? `besides` is person-time beside the work at the steps (person-s/wd): carrying, growing piles.

    Where no people are given, as many are assumed as all of it needs, so that nobody is short of hands that nobody has counted.
    """
    people = flow.people
    if not people.assumed:
        shifts = [len(crew.shifts or flow.line.calendar.shifts) for crew in flow.line.people]
        return Staff(
            _everybody(tuple(crew.number for crew in people.crews), shifts), people.paid, people.pauses, assumed=False
        )
    everywhere = [len(flow.line.calendar.shifts)]
    work = sum(figure.value for figure in people.attended.values()) * flow.made.value
    work += sum(figure.value for figure in besides)
    wanted = math.ceil(work / flow.day.value - 1e-9)
    number = people.crews[0].number
    if wanted <= number.value:
        return Staff(_everybody((number,), everywhere), people.paid, people.pauses, assumed=True)
    source = Source(
        "common practice", "no people are given: as many as the attended work and the carrying need, rounded up"
    )
    note = "give `people` in the line file for the real number"
    number = given("people assumed, with carrying", float(wanted), "persons", source, note=note)
    return Staff(
        _everybody((number,), everywhere),
        _times("paid time, with carrying", number, flow.givens.paid_seconds()),
        _times("paid breaks and planned stops, with carrying", number, flow.givens.paid_pauses()),
        assumed=True,
    )


def _everybody(numbers: tuple[Figure, ...], shifts: list[int]) -> Figure:
    return derive(
        "people here",
        lambda *n: sum(one * count for one, count in zip(n, shifts, strict=True)),
        *numbers,
        unit="persons",
        formula=f"people x shifts ({', '.join(map(str, shifts))})",
    )


def _times(name: str, number: Figure, seconds: Figure) -> Figure:
    return derive(name, lambda n, s: n * s, number, seconds, unit="person-s/wd", formula=f"people x {seconds.name}")
