"""Benches: each step at each of its stations, downstream first."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.laying.source import Source


def benches(
    of: Source, place: np.ndarray, joins: np.ndarray, inputs: np.ndarray, lots: np.ndarray
) -> dict[str, np.ndarray]:
    """The benches of all steps, and their queues; see `Plant` for the arrays, here and in the other parts."""
    rows: list[tuple[int, int, float, float]] = []
    span = np.zeros((len(of.line.steps), 2), np.int64)
    for i in sorted(range(len(of.line.steps)), key=lambda i: -place[i]):
        step = of.line.steps[i]
        others = [(of.station_index[one.station], of.value(("steps", i, "also_at", k, "share")),
                   1.0 if one.times is None else of.value(("steps", i, "also_at", k, "times"))) for k, one in enumerate(step.also_at)]  # fmt: skip
        own = 1.0 - sum(share for _, share, _ in others)
        reached = 0.0
        span[i, 0] = len(rows)
        for station, share, factor in [(of.station_index[step.station], own, 1.0), *others]:
            reached += share
            rows.append((i, station, factor, reached))
        span[i, 1] = len(rows)
    queue, queues = [], 0
    for i, *_ in rows:
        queue.append(queues)
        queues += (inputs[i] + lots[i]) * len(of.line.products) if joins[i] else 1
    at: list[list[int]] = [[] for _ in of.line.stations]
    for b, (_, station, _, _) in enumerate(rows):
        at[station].append(b)
    ends = np.cumsum([0, *(len(one) for one in at)])
    return {
        "bench_step": np.array([row[0] for row in rows]),
        "bench_station": np.array([row[1] for row in rows]),
        "bench_factor": np.array([row[2] for row in rows]),
        "bench_share": np.array([row[3] for row in rows]),
        "bench_queue": np.array(queue),
        "step_bench": span,
        "station_bench": np.stack([ends[:-1], ends[1:]], axis=1),
        "bench_at": np.array([b for one in at for b in one], np.int64),
    }
