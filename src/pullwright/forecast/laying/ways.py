"""Ways on which pieces are carried from step to step."""

from __future__ import annotations

import numpy as np

from pullwright.flow.ladder import move_time
from pullwright.forecast.laying.source import Source
from pullwright.forecast.plant import NEVER


def ways(of: Source, next_step: np.ndarray, next_input: np.ndarray) -> dict[str, np.ndarray]:
    """The ways that take time, and who gives to whom."""
    products, steps = next_step.shape
    hop = np.full((products, steps), NEVER)
    times: list[float] = []
    ends: list[int] = []
    inputs: list[int] = []
    for m, move in enumerate(of.line.moves):
        i = of.step_index.get(move.from_)
        if i is None:
            continue
        to = NEVER if move.to == "shipping" else of.step_index[move.to]
        seconds = of.taken(move_time(of.givens, m))
        mine = [p for p in range(products) if i in of.through[p] and next_step[p, i] == to]
        if not mine or seconds <= 0:
            continue
        hop[mine, i] = len(times)
        times.append(seconds)
        ends.append(to)
        inputs.append(next_input[mine[0], i])
    rooms: list[set[int]] = [set() for _ in range(steps + 1)]
    for p in range(products):
        for i in of.through[p]:
            rooms[steps if next_step[p, i] == NEVER else next_step[p, i]].add(i)
    marks = np.cumsum([0, *(len(one) for one in rooms)])
    return {
        "hop": hop,
        "hop_time": np.array(times, float),
        "hop_end": np.array(ends, np.int64),
        "hop_input": np.array(inputs, np.int64),
        "feeders": np.stack([marks[:-1], marks[1:]], axis=1),
        "feeder_of": np.array([i for one in rooms for i in sorted(one)], np.int64),
    }
