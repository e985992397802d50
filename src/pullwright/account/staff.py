"""The people of a line as they are paid: how many, for how long, and how much of that in breaks and meetings."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow


@dataclass(frozen=True, slots=True)
class Staff:
    """People by crew (persons), their paid time and the paid pauses in it (person-s/wd); `assumed` where no people are given."""

    numbers: tuple[Figure, ...]
    paid: Figure
    pauses: Figure
    assumed: bool


def staff_of(flow: Flow, besides: tuple[Figure, ...]) -> Staff:
    """Who is paid? `besides` is person-time beside the work at the steps (person-s/wd): carrying, growing piles.

    Where no people are given, as many are assumed as all of it needs, so that nobody is short of hands that nobody has counted.
    """
    people = flow.people
    numbers = tuple(crew.number for crew in people.crews)
    if not people.assumed:
        return Staff(numbers, people.paid, people.pauses, assumed=False)
    work = sum(figure.value for figure in people.attended.values()) * flow.made.value
    work += sum(figure.value for figure in besides)
    wanted = math.ceil(work / flow.day.value - 1e-9)
    if wanted <= numbers[0].value:
        return Staff(numbers, people.paid, people.pauses, assumed=True)
    number = given(
        "people assumed, with carrying",
        float(wanted),
        "persons",
        Source(
            "common practice", "no people are given: as many as the attended work and the carrying need, rounded up"
        ),
        note="give `people` in the line file for the real number",
    )
    paid = derive(
        "paid time, with carrying", lambda n, s: n * s, number, flow.givens.paid_seconds(), unit="person-s/wd", formula="people x paid time of a day"
    )  # fmt: skip
    pauses = derive(
        "paid breaks and planned stops, with carrying",
        lambda n, s: n * s,
        number,
        flow.givens.paid_pauses(),
        unit="person-s/wd",
        formula="people x paid breaks and planned stops of a day",
    )
    return Staff((number,), paid, pauses, assumed=True)
