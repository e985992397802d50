"""Rounds at random moments: nobody can be ready for them, and every working second is as likely to be seen as any other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import ceil
from typing import Literal

import numpy as np

from pullwright.line.calendar import WorkCalendar
from pullwright.line.faults import shown
from pullwright.watch.misread import SampleError
from pullwright.watch.sample.looks import Round

Within = Literal["working", "paid"]
WALK_S = 600.0
"""How long one round takes where nobody says, in seconds."""
MOST_ROUNDS = 10_000
MOST_DAYS = 3_660


def plan_rounds(
    calendar: WorkCalendar,
    first: date,
    last: date,
    rounds: int,
    stations: Sequence[str],
    *,
    seed: int | np.random.Generator,
    walk_s: float = WALK_S,
    within: Within = "working",
) -> tuple[Round, ...]:
    """At which moments should somebody walk round and look, and in which order?

    Parameters: the shifts that start from `first` to `last`, both included; `rounds`, how many; `stations`, each once; `seed`, a
    whole number or a generator; `walk_s`, how long a round takes, in s; `within`: "working" leaves breaks and planned stops out,
    "paid" leaves out only what is not paid (for shares of the paid time).
    Result: the rounds in the order of time, numbered from 1, at whole seconds, no two closer than a walk takes, each with the
    stations in an order of its own.
    Method: the time is laid out in one piece and bent to a ring, parted into as many equal stretches as there are rounds. Each
    stretch holds one moment; where in their stretches they lie is spread evenly over the rounds (a Latin hypercube), so that
    every hour of the shift has its turn. Then the ring is turned by a random angle: that makes every second exactly as likely as
    any other, however far apart the rounds must be.
    Errors: `SampleError` where so many rounds do not fit, with the most that do; where there is no working time, or no station.
    Source: systematic sampling with a random start, Cochran, Sampling Techniques (1977), ch. 8; McKay, Beckman & Conover (1979).

    >>> from pullwright.line.calendar import Pause, Shift
    >>> day = Shift("day", 7 * 3600, 15 * 3600, breaks=(Pause("lunch", 12 * 3600, 13 * 3600),))
    >>> for one in plan_rounds(WorkCalendar((day,)), date(2026, 3, 17), date(2026, 3, 17), 2, ["saw", "press"], seed=4):
    ...     print(one.number, one.at.date(), ", ".join(sorted(one.stations)))
    1 2026-03-17 press, saw
    2 2026-03-17 press, saw
    """
    names = _checked(first, last, rounds, stations, walk_s)
    rng = np.random.default_rng(seed)
    pieces = _pieces(calendar, first, last, within)
    lengths = np.array([length for _, length in pieces], dtype=np.int64)
    total = int(lengths.sum())
    if total == 0:
        raise SampleError(
            f"{first} to {last}", "holds no working time", "days on which a shift starts", "take other days"
        )
    walk = max(1, ceil(walk_s))
    if rounds * walk > total:
        raise SampleError(
            f"{rounds:,} rounds of {walk / 60:.4g} min",
            f"do not fit into {total / 3600:.4g} h of working time",
            f"at most {most_that_fit(calendar, first, last, walk_s=walk_s, within=within):,}",
            "plan fewer rounds, shorter ones or more days",
        )
    stretch = total / rounds
    within_stretch = (rng.permutation(rounds) + rng.random(rounds)) / rounds * (stretch - walk)
    turned = (np.arange(rounds) * stretch + within_stretch + rng.random() * total) % total
    moments = np.sort(np.minimum(np.floor(turned), total - 1).astype(np.int64))
    begins = np.concatenate(([0], np.cumsum(lengths)[:-1]))
    rows = np.searchsorted(begins, moments, side="right") - 1
    return tuple(
        Round(
            number,
            pieces[row][0] + timedelta(seconds=int(moment - begins[row])),
            tuple(names[i] for i in rng.permutation(len(names))),
        )
        for number, (moment, row) in enumerate(zip(moments.tolist(), rows.tolist(), strict=True), 1)
    )


def most_that_fit(
    calendar: WorkCalendar, first: date, last: date, *, walk_s: float = WALK_S, within: Within = "working"
) -> int:
    """How many rounds fit between two days at most, one walk after the other?

    >>> from pullwright.line.calendar import Shift
    >>> most_that_fit(WorkCalendar((Shift("day", 7 * 3600, 15 * 3600),)), date(2026, 3, 17), date(2026, 3, 17))
    48
    """
    return sum(length for _, length in _pieces(calendar, first, last, within)) // max(1, ceil(walk_s))


def plan_text(rounds: Sequence[Round]) -> str:
    """The plan as one reads it on paper: day by day, the moment, and the way round.

    >>> print(plan_text([Round(1, datetime(2026, 3, 17, 8, 12, 40), ("saw", "press"))]))
    Tuesday 2026-03-17
       1  08:12  saw, press
    """
    lines: list[str] = []
    for number, one in enumerate(rounds):
        if number == 0 or rounds[number - 1].at.date() != one.at.date():
            lines.append(f"{one.at:%A %Y-%m-%d}")
        lines.append(f"{one.number:>4}  {one.at:%H:%M}  {', '.join(one.stations)}")
    return "\n".join(lines)


def _checked(first: date, last: date, rounds: int, stations: Sequence[str], walk_s: float) -> tuple[str, ...]:
    if not 1 <= rounds <= MOST_ROUNDS:
        raise SampleError(f"{rounds:,} rounds", "cannot be planned", f"1 to {MOST_ROUNDS:,}")
    if last < first or (last - first).days > MOST_DAYS:
        raise SampleError(
            f"{first} to {last}", "is no time to plan for", f"a last day after the first, at most {MOST_DAYS:,} days on"
        )
    if not 0 < walk_s <= 86_400:
        raise SampleError(f"a walk of {walk_s:g} s", "is none", "more than 0 s, at most a day")
    return sound_stations(stations)


def sound_stations(stations: Sequence[str]) -> tuple[str, ...]:
    """The places to look at, each once; SampleError where there is none, or one stands twice."""
    names = tuple(stations)
    if not names or not all(isinstance(name, str) and name.strip() for name in names):
        raise SampleError(
            f"stations {shown(list(names))}", "are no places to look at", "one station or more, each with a name"
        )
    if twice := [name for name in names if names.count(name) > 1]:
        raise SampleError(
            f"station {shown(twice[0])}", "stands twice in the round", "each station once", "take it out once"
        )
    return names


@dataclass(frozen=True, slots=True)
class _Span:
    begin: int
    until: int


def _pieces(calendar: WorkCalendar, first: date, last: date, within: Within) -> list[tuple[datetime, int]]:
    """Stretches as (begin, length in s), those of shifts that start from first to last, in order."""
    found: list[tuple[datetime, int]] = []
    for ordinal in range(first.toordinal(), last.toordinal() + 1):
        day = date.fromordinal(ordinal)
        midnight = datetime.combine(day, time())
        for shift in calendar.shifts_on(day):
            spans = [_Span(*stretch) for stretch in shift.stretches()]
            if within == "paid":
                paid = [shift.seconds_of(pause) for pause in shift.breaks if pause.paid]
                spans += [_Span(shift.start + begin, shift.start + until) for begin, until in paid]
            found += [(midnight + timedelta(seconds=span.begin), span.until - span.begin) for span in spans]
    return sorted(found)
