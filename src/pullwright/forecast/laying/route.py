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

    `inputs`: the steps that each step takes from; `need`, `giver` (P, I, K): how many of an input, and from which step;
    `next_step`, `next_input` (P, I): who takes from a step, as which input; `place` (I,) in the route; `joins` (I,): does it put pieces together?
    """

    inputs: list[list[int]]
    need: Ints
    giver: Ints
    next_step: Ints
    next_input: Ints
    place: Ints
    joins: Ints

    @property
    def input_count(self) -> Ints:
        """(I,) inputs of each step; a step that takes from no other has one, of jobs."""
        return np.array([max(1, len(one)) for one in self.inputs])


def taken_by(of: Source) -> Through:
    """Which steps take from which, for each product."""
    products, steps = len(of.line.products), len(of.line.steps)
    takes = [of.line.route.takes_for(name) for name in of.product_names]
    inputs = [sorted({one.step for p in range(products) for one in takes[p][i]}) for i in range(steps)]
    most = max(1, *(len(one) for one in inputs))
    need = np.zeros((products, steps, most), np.int64)
    giver = np.full((products, steps, most), NEVER)
    next_step, next_input = np.full((products, steps), NEVER), np.zeros((products, steps), np.int64)
    for p in range(products):
        for i in sorted(of.through[p]):
            for one in takes[p][i]:
                quantity = 1
                if one.quantity is not None:
                    quantity = of.whole(("steps", i, "after", one.place or 0, "quantity"), one.quantity)
                k = inputs[i].index(one.step)
                need[p, i, k], giver[p, i, k] = quantity, one.step
                next_step[p, one.step], next_input[p, one.step] = i, k
    joins = np.array([int(len(inputs[i]) > 1 or need[:, i, :].max() > 1) for i in range(steps)])
    place = np.empty(steps, np.int64)
    for n, i in enumerate(of.line.route.order):
        place[i] = n
    return Through(inputs, need, giver, next_step, next_input, place, joins)


def alike(of: Source, inputs: list[list[int]]) -> np.ndarray:
    """Inputs from sub-flows in which nothing hangs on the product; the first one that a step takes is always for a product."""
    found = np.zeros((len(inputs), max(1, *(len(one) for one in inputs))), np.int64)
    for i, givers in enumerate(inputs):
        main = {takes[i][0].step for takes in map(of.line.route.takes_for, of.product_names) if takes[i]}
        for k, giver in enumerate(givers):
            way = [step for j, step in enumerate(of.line.steps) if of.line.route.comes_before(j, giver)]
            found[i, k] = giver not in main and not any(
                step.for_ is not None or any(one.for_ is not None for one in step.elements) or (step.set_up and step.set_up.pairs)
                for step in way
            )  # fmt: skip
    return found


def jobs(of: Source, through: Through) -> tuple[np.ndarray, np.ndarray]:
    """Jobs at each first step for a unit, and in place of a piece scrapped at a step; NEVER marks the steps on its way."""
    need, giver = through.need, through.giver
    products, steps, _ = need.shape
    first = np.zeros((products, steps), np.int64)
    in_place = np.zeros((products, steps, steps), np.int64)
    for p in range(products):
        for i in of.line.route.order:
            if i not in of.through[p]:
                continue
            givers = [k for k in range(need.shape[2]) if need[p, i, k] > 0]
            if not givers:
                in_place[p, i, i] = 1
            for k in givers:
                before = in_place[p, giver[p, i, k]]
                in_place[p, i] += np.where(before > 0, before * need[p, i, k], 0)
                in_place[p, i][before == NEVER] = NEVER
                if giver[p, i, k] not in np.flatnonzero(in_place[p, i] > 0):
                    in_place[p, i, giver[p, i, k]] = NEVER
            if givers:
                in_place[p, i, i] = NEVER
        last = next(i for i in of.through[p] if through.next_step[p, i] == NEVER)
        first[p] = np.maximum(in_place[p, last], 0)
    return first, in_place
