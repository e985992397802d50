"""Several people at one post, on the same piece at once: who does what, and when?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.pull.balance.rounds import Leg, Rounds, up
from pullwright.pull.balance.work import TICK


@dataclass(frozen=True)
class Schedule:
    """When each element begins (s) and which of the people does it (from 0), in the order of the legs; `ends`: when the last one is done (s)."""

    legs: tuple[Leg, ...]
    starts: tuple[float, ...]
    who: tuple[int, ...]
    ends: float


def by_tails(rounds: Rounds, legs: Sequence[Leg], people: int) -> Schedule:
    """A quick schedule: whoever is free first takes what has the longest work after it. Never wrong, not always the shortest."""
    left = sorted(legs)
    waits = {leg: _waits(rounds, leg, left) for leg in left}
    tail: dict[Leg, int] = {}
    for leg in reversed(left):
        follow = [tail[k] for k in left if leg in waits[k]]
        tail[leg] = up(rounds.times[leg[0]]) + max(follow, default=0)
    free = [0] * people
    ends: dict[Leg, int] = {}
    placed: list[tuple[Leg, int, int]] = []
    while left:
        ready = [leg for leg in left if all(k in ends for k in waits[leg])]
        person = min(range(people), key=lambda one: free[one])

        def begins(leg: Leg, person: int = person) -> int:
            return max([free[person], *(ends[k] for k in waits[leg])])

        leg = min(ready, key=lambda one: (begins(one), -tail[one]))
        start = begins(leg)
        free[person] = ends[leg] = start + up(rounds.times[leg[0]])
        placed.append((leg, start, person))
        left.remove(leg)
    return _schedule(placed, ends)


def shortest(rounds: Rounds, legs: Sequence[Leg], people: int, within: int = 0) -> Schedule:
    """The shortest schedule: precedence on the piece, each person one element at a time, nothing is interrupted.

    `within` (ticks): one that ends by then is short enough, and where none can, any will do.
    """
    quick = by_tails(rounds, legs, people)
    work = [up(rounds.times[i]) for i, _ in legs]
    longest_way = up(by_tails(rounds, legs, max(1, len(legs))).ends)
    least = max(longest_way, -(-sum(work) // people))
    if up(quick.ends) <= max(least, within) or 0 < within < least:
        return quick
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    most = up(quick.ends)
    end = model.new_int_var(longest_way, most, "end")
    starts = {leg: model.new_int_var(0, most - t, "") for leg, t in zip(legs, work, strict=True)}
    pieces = [model.new_fixed_size_interval_var(starts[leg], t, "") for leg, t in zip(legs, work, strict=True) if t > 0]
    model.add_cumulative(pieces, [1] * len(pieces), people)
    for leg, t in zip(legs, work, strict=True):
        model.add(starts[leg] + t <= end)
        for k in _waits(rounds, leg, legs):
            model.add(starts[leg] >= starts[k] + up(rounds.times[k[0]]))
    model.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 0.5
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return quick
    return with_people(rounds, {leg: solver.value(start) for leg, start in starts.items()}, people)


def with_people(rounds: Rounds, starts: dict[Leg, int], people: int) -> Schedule:
    """Give every element of a schedule (starts in ticks) to a person who is free then."""
    free = [0] * people
    ends: dict[Leg, int] = {}
    placed: list[tuple[Leg, int, int]] = []
    for leg in sorted(starts, key=lambda one: (starts[one], up(rounds.times[one[0]]), one)):
        start, time = starts[leg], up(rounds.times[leg[0]])
        # What takes no time binds nobody.
        person = 0 if not time else next(one for one in range(people) if free[one] <= start)
        ends[leg] = start + time
        free[person] = max(free[person], ends[leg])
        placed.append((leg, start, person))
    return _schedule(placed, ends)


def _waits(rounds: Rounds, leg: Leg, legs: Sequence[Leg]) -> list[Leg]:
    return [k for k in legs if k[1] == leg[1] and k[0] in rounds.before[leg[0]]]


def _schedule(placed: list[tuple[Leg, int, int]], ends: dict[Leg, int]) -> Schedule:
    return Schedule(
        tuple(leg for leg, _, _ in placed),
        tuple(start * TICK for _, start, _ in placed),
        tuple(person for *_, person in placed),
        max(ends.values(), default=0) * TICK,
    )
