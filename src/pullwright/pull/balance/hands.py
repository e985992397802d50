"""The hands that work needs at least: what each element adds to any round, and whether the people who can do it are enough."""

from __future__ import annotations

import math

import numpy as np

from pullwright.pull.balance.rounds import Rounds, up
from pullwright.pull.balance.work import TICK

_MOST_SETS = 256
"""So many sets of crews are looked at."""


def least_ticks(rounds: Rounds) -> list[int]:
    """Ticks that each element adds to any round at least.

    With draws: the sum of a round keeps the takt in all but a share of the draws; its mean over those is at least the sum of the means of each
    element's shortest times. With a normal reserve z √(sum of variances): at least z σ² / √(all variances that fit one round).
    """
    if rounds.draws is not None:
        count = rounds.draws.shape[1]
        kept = count - math.floor((rounds.conditions.overrun or 0.0) * count + 1e-9)
        return [math.floor(float(np.sort(row)[:kept].mean()) / TICK) for row in rounds.draws]
    ticks = [up(t) for t in rounds.times]
    if not rounds.z:
        return ticks
    widest = math.sqrt(sum(element.deviation**2 for element in rounds.work.elements))
    if not widest:
        return ticks
    return [
        t + math.floor(rounds.z * element.deviation**2 / widest / TICK)
        for t, element in zip(ticks, rounds.work.elements, strict=True)
    ]


def too_few_people(rounds: Rounds, room: int) -> bool:
    """`room`: ticks that a round may have. Is there, in some crews together, less time than the work that only they can do takes? Then no plan exists, whatever the posts."""
    return any(work > number * room for work, number, _ in work_of_crews(rounds))


def work_of_crews(rounds: Rounds) -> list[tuple[int, int, tuple[int, ...]]]:
    """For sets of crews: the work that nobody else can do (ticks), how many they are, and who. Crews without a number have no end."""
    has, weights = rounds.conditions, least_ticks(rounds)
    if not has.crews:
        return []
    able: dict[frozenset[int], int] = {}
    for i, weight in enumerate(weights):
        who = frozenset(c for c, crew in enumerate(has.crews) if crew.can(has.skill_of(rounds.work, i)))
        able[who] = able.get(who, 0) + weight
    sets = {frozenset[int]()}
    for who in able:
        if len(sets) < _MOST_SETS:
            sets |= {one | who for one in sets}
    found = []
    for one in sets:
        numbers = [has.crews[c].number for c in sorted(one)]
        if one and None not in numbers:
            work = sum(weight for who, weight in able.items() if who <= one)
            found.append((work, sum(number for number in numbers if number is not None), tuple(sorted(one))))
    return found
