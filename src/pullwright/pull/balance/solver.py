"""A general solver beside the search: a yes or no for each element at each post of its window."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.pull.balance.bounds import sharpest
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.windows import windows_of


@dataclass(frozen=True)
class Solved:
    """`posts`: a balance (numbers of elements), None where none was found; `impossible`: is it proven that there is none?"""

    posts: list[list[int]] | None
    impossible: bool


def solve(plain: Plain, posts: int, seconds: float, *, workers: int = 2, seed: int = 7) -> Solved:
    """Is there a balance with at most so many posts? By OR-Tools CP-SAT, for at most so many seconds.

    An element is at one post of its window; what comes before another is, up to each post, done at least as soon; no post has more than the takt.
    """
    from ortools.sat.python import cp_model

    windows = windows_of(plain, posts, sharpest(plain))
    if windows.clash is not None:
        return Solved(None, True)
    first, last = windows.first.tolist(), windows.last.tolist()
    model = cp_model.CpModel()
    at = [{p: model.new_bool_var("") for p in range(first[i], last[i] + 1)} for i in range(len(plain))]
    for i in range(len(plain)):
        model.add_exactly_one(at[i].values())
        for j in plain.followers[i]:
            for p in range(first[j], min(last[i], last[j] + 1)):
                sooner = [var for q, var in at[j].items() if q <= p]
                model.add(sum(sooner) <= sum(var for q, var in at[i].items() if q <= p))
    for p in range(posts):
        here = [(at[i][p], plain.times[i]) for i in range(len(plain)) if p in at[i]]
        model.add(sum(var * time for var, time in here) <= plain.takt)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(seconds, 0.01)
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Solved(None, bool(status == cp_model.INFEASIBLE))
    chosen = np.array([next(p for p, var in vars_of.items() if solver.boolean_value(var)) for vars_of in at])
    filled = [np.nonzero(chosen == p)[0].tolist() for p in range(posts)]
    return Solved([post for post in filled if post], False)
