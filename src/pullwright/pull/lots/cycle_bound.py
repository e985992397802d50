"""How little time the changes of any cyclic order can take: a bound that no order undercuts."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Times = NDArray[np.float64]
MOST_WITH_CUTS = 60
"""Up to so many products the bound is sharpened by cuts; above, it is that of the assignment alone."""
MOST_ROUNDS = 60
_GRAIN = 1_000_000


def bound(times: Times) -> float:
    """So much time do the changes of every cyclic order take at least.

    `times` as in `exact_cycle`, n from 3 on. First the assignment problem: every product gets one after it, whether or not that makes one cycle.
    Then the same in fractions, with a cut for every set of products that the answer goes out of less than once (Dantzig, Fulkerson & Johnson 1954,
    from memory): the bound of Held & Karp. Every round of cuts is a bound by itself, so that stopping early is safe.

    >>> pairs = np.array([[0.0, 1.0, 9.0, 9.0], [1.0, 0.0, 9.0, 9.0], [9.0, 9.0, 0.0, 1.0], [9.0, 9.0, 1.0, 0.0]])
    >>> assignment_bound(pairs), round(bound(pairs), 3)
    (4.0, 20.0)
    """
    assigned = assignment_bound(times)
    return max(assigned, _with_cuts(times)) if len(times) <= MOST_WITH_CUTS else assigned


def assignment_bound(times: Times) -> float:
    """The least time in which every product gets another one after it."""
    from scipy.optimize import linear_sum_assignment

    never = times.copy()
    np.fill_diagonal(never, 1.0 + times.sum())
    rows, columns = linear_sum_assignment(never)
    return float(never[rows, columns].sum())


def _with_cuts(times: Times) -> float:
    from scipy.optimize import linprog
    from scipy.sparse import csr_array, vstack

    solve: Any = linprog  # its types know no sparse rows
    count = len(times)
    come, go = np.nonzero(~np.eye(count, dtype=bool))
    arcs = np.arange(len(come))
    ones = np.ones(2 * len(arcs))
    once = csr_array((ones, (np.concatenate((come, count + go)), np.concatenate((arcs, arcs)))))
    costs, best = times[come, go], 0.0
    cuts: list[Any] = []
    for _ in range(MOST_ROUNDS):
        found = solve(
            costs, A_eq=once, b_eq=np.ones(2 * count), bounds=(0.0, 1.0), method="highs",
            A_ub=vstack(cuts) if cuts else None, b_ub=-np.ones(len(cuts)) if cuts else None,
        )  # fmt: skip
        if found.status != 0:
            break
        # The programme is solved to its tolerance, so that its last digits prove nothing.
        best = max(best, float(found.fun) - 1e-7 * abs(float(found.fun)))
        used = np.zeros((count, count))
        used[come, go] = found.x
        sets = _left_too_seldom(used)
        if not sets:
            break
        for inside in sets:
            leaves = np.flatnonzero(inside[come] & ~inside[go])
            cuts.append(csr_array((-np.ones(len(leaves)), (np.zeros(len(leaves), int), leaves)), (1, len(arcs))))
    return best


def _left_too_seldom(used: Times) -> list[NDArray[np.bool_]]:
    """Sets of products that an answer in fractions goes out of less than once: parts that hang apart, else the least cuts."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import breadth_first_order, connected_components, maximum_flow

    parts, part = connected_components(used > 1e-6, directed=False)
    if parts > 1:
        return [part == one for one in range(parts)]
    room = np.round(used * _GRAIN).astype(np.int32)
    whole = csr_array(room)
    sets: dict[bytes, NDArray[np.bool_]] = {}
    for end in range(1, len(used)):
        flow = maximum_flow(whole, 0, end)
        if flow.flow_value < _GRAIN * (1 - 1e-4):
            reached = breadth_first_order(room - flow.flow.toarray() > 0, 0, return_predecessors=False)
            inside = np.zeros(len(used), dtype=bool)
            inside[reached] = True
            sets[inside.tobytes()] = inside
    return list(sets.values())
