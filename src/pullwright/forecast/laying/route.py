"""The way through: which steps take from which, and what has to begin for one unit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.forecast.laying.source import Source
from pullwright.forecast.plant import NEVER

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Through:
    """Who takes from whom. I steps, K inputs at the most, P products.

    `input_count` (I,): inputs of each step, one of jobs where it takes from no other; `need`, `giver` (P, I, K): how many of an input, from which step;
    `next_step`, `next_input` (P, I): who takes from a step, as which input; `place` (I,) in the route; `joins` (I,): does it put pieces together?
    `last` (P,): the step that ends a unit.
    """

    input_count: Ints
    need: Ints
    giver: Ints
    next_step: Ints
    next_input: Ints
    place: Ints
    joins: Ints
    last: Ints


def taken_by(of: Source) -> Through:
    """Which steps take from which, for each product. The inputs of a step are counted product by product: what ways that merely meet bring is one input."""
    products, steps = len(of.line.products), len(of.line.steps)
    takes = [of.line.route.takes_for(name) for name in of.product_names]
    count = np.array([max(1, *(len(takes[p][i]) for p in range(products))) for i in range(steps)])
    need = np.zeros((products, steps, count.max()), np.int64)
    giver = np.full((products, steps, count.max()), NEVER)
    next_step, next_input = np.full((products, steps), NEVER), np.zeros((products, steps), np.int64)
    for p in range(products):
        for i in sorted(of.through[p]):
            for k, one in enumerate(takes[p][i]):
                quantity = 1
                if one.quantity is not None:
                    quantity = of.whole(("steps", i, "after", one.place or 0, "quantity"), one.quantity)
                need[p, i, k], giver[p, i, k] = quantity, one.step
                next_step[p, one.step], next_input[p, one.step] = i, k
    joins = np.array([int(count[i] > 1 or need[:, i, :].max() > 1) for i in range(steps)])
    place = np.empty(steps, np.int64)
    for n, i in enumerate(of.line.route.order):
        place[i] = n
    last = np.array([next(i for i in of.through[p] if next_step[p, i] == NEVER) for p in range(products)])
    return Through(count, need, giver, next_step, next_input, place, joins, last)


def alike(of: Source, through: Through) -> Ints:
    """(I, K) inputs from sub-flows in which nothing hangs on the product; the first one that a step takes is always for a product."""
    _, steps, most = through.giver.shape
    found = np.zeros((steps, most), np.int64)
    for i in range(steps):
        for k in range(1, int(through.input_count[i])):
            givers = set(through.giver[:, i, k]) - {NEVER}
            way = [
                step
                for j, step in enumerate(of.line.steps)
                if any(of.line.route.comes_before(j, int(giver)) for giver in givers)
            ]
            found[i, k] = not any(
                step.for_ is not None or any(one.for_ is not None for one in step.elements) or (step.set_up and step.set_up.pairs)
                or step.lots or (step.release and step.release.loops)
                for step in way
            )  # fmt: skip
    return found


def jobs(of: Source, through: Through) -> tuple[Ints, Ints]:
    """Jobs at each first step for a unit, (P, I); and in place of a piece scrapped at a step, (P, I, I): jobs at first steps, and below 0, as
    many pieces as that of later steps on its way."""
    need, giver = through.need, through.giver
    products, steps, _ = need.shape
    first = np.zeros((products, steps), np.int64)
    in_place = np.zeros((products, steps, steps), np.int64)
    for p in range(products):
        for i in of.line.route.order:
            if i not in of.through[p]:
                continue
            givers = [k for k in range(need.shape[2]) if need[p, i, k] > 0]
            for k in givers:
                in_place[p, i] += in_place[p, giver[p, i, k]] * need[p, i, k]
            in_place[p, i, i] = -1 if givers else 1
        first[p] = in_place[p, through.last[p]]
    return first, in_place
