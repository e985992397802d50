"""Cover for absence, for many draws of times and absences at once: the same as `Ways.chance_and_share`, row by row."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pullwright.pull.crew.bounds import Limits
from pullwright.pull.crew.cover import Ways
from pullwright.pull.crew.skills import ROUNDING
from pullwright.pull.crew.there import Array, EveryWay


def chances_and_shares(ways: Ways, times: Array, absent: Array, takt: Array) -> tuple[Array, Array]:
    """The chance that all can be made, and the mean share that can, draw by draw?

    Parameters: `times` (person-s) of each task, shape (draws, tasks); `absent` of each crew, shape (draws, crews); `takt` (s), shape (draws,).
    Result: two rows of shape (draws,).
    """
    made = []
    for group in ways.groups:
        if not isinstance(group.who, EveryWay):
            # Days that are drawn are many: one draw after another.
            each = [ways.chance_and_share(*row) for row in zip(times, absent, takt.tolist(), strict=True)]
            found = np.array(each).reshape(-1, 2)
            return found[:, 0], found[:, 1]
        made.append((_shares(group.limits, group.who.people, times, takt), group.who.chances(absent.T)))
    chance = np.ones(len(takt))
    for shares, chances in made:
        chance *= np.sum(chances * (shares >= 1.0), axis=1)
    return np.minimum(chance, 1.0), np.minimum(_mean_of_lowest(made), 1.0)


def _shares(limits: Limits, people: Array, times: Array, takt: Array) -> Array:
    """Which share of the demand can each way to be there make? Shape (draws, ways); bound after bound, which takes the least room."""
    room = np.where(limits.stopped(people), 0.0, limits.room(people))
    lowest = np.full((len(takt), len(people)), np.inf)
    for b in range(len(limits.bounds)):
        np.minimum(lowest, room[:, b] * (takt / limits.work(times, b))[:, None], out=lowest)
    lowest[lowest >= 1 - ROUNDING] = 1.0
    return lowest


def _mean_of_lowest(made: Sequence[tuple[Array, Array]]) -> Array:
    """The mean of the lowest of independent shares: the sum over steps of the chance that all are above the step."""
    if not made:
        return np.ones(1)
    if len(made) == 1:
        shares, chances = made[0]
        mean: Array = np.sum(shares * chances, axis=1)
        return mean
    every = np.concatenate([shares for shares, _ in made], axis=1)
    order = np.argsort(every, axis=1)
    steps = np.diff(np.take_along_axis(every, order, axis=1), axis=1, prepend=0.0)
    first = 0
    for _, chances in made:
        weights = np.zeros_like(every)
        weights[:, first : first + chances.shape[1]] = chances
        first += chances.shape[1]
        below = np.cumsum(np.take_along_axis(weights, order, axis=1), axis=1)
        above = below[:, -1:] - below
        # Above the step before it: its own pieces have not been passed yet.
        steps *= np.maximum(np.concatenate([below[:, -1:], above[:, :-1]], axis=1), 0.0)
    found: Array = steps.sum(axis=1)
    return found
