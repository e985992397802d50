"""What is still open about a cyclic order, settled by constraint programming: the best one, proven, or a bound nearer to it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

EFFORT = 10.0
"""So much work goes into a proof at most: the solver's own measure, about a second each, the same on every machine."""
_GRAIN = 1e-3


def proven_cycle(times: NDArray[np.float64], known: Sequence[int], seed: int) -> tuple[tuple[int, ...], float, float]:
    """Is there a better order than the one known, and below what is there none?

    `times` as in `exact_cycle`; `known`: an order to begin with. Result: the best order found, how long its changes take, and a bound that no order
    undercuts. Times are rounded down to the millisecond for the proof, so that the bound holds for the real ones too. The circuit constraint of
    CP-SAT, one worker, so that the same `seed` gives the same answer.

    >>> proven_cycle(np.array([[0.0, 9.0, 1.0], [1.0, 0.0, 9.0], [9.0, 1.0, 0.0]]), (0, 1, 2), 0)
    ((0, 2, 1), 3.0, 3.0)
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    count = len(times)
    costs = np.floor(times / _GRAIN + 1e-6).astype(np.int64)
    arcs = {(a, b): model.new_bool_var(f"{a} {b}") for a in range(count) for b in range(count) if a != b}
    model.add_circuit([(a, b, used) for (a, b), used in arcs.items()])
    model.minimize(sum(int(costs[a, b]) * used for (a, b), used in arcs.items()))
    follows = dict(zip(known, (*known[1:], known[0]), strict=True))
    for (a, b), used in arcs.items():
        model.add_hint(used, follows[a] == b)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = EFFORT
    status = solver.solve(model)
    order = tuple(known)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        after = {a: b for (a, b), used in arcs.items() if solver.boolean_value(used)}
        found = [0]
        while after[found[-1]]:
            found.append(after[found[-1]])
        order = min((order, tuple(found)), key=lambda one: _length(times, one))
    at_least = solver.best_objective_bound * _GRAIN if status != cp_model.UNKNOWN else 0.0
    return order, _length(times, order), at_least


def _length(times: NDArray[np.float64], order: Sequence[int]) -> float:
    return float(times[list(order), np.roll(order, -1)].sum())
