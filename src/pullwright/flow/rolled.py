"""Rolled throughput yield: how many of the units that leave went through everything right the first time."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.rates import Rates


def rolled_throughput_yield(rates: Rates) -> Figure:
    """What share of the units went through every step right the first time?

    The product of the first-pass yields, each to the power of the pieces that go into a unit: two levers must both be right. What is put
    right on the spot was not right the first time. Over several ways through the mean, weighted by demand.
    """
    inputs: list[Figure] = []
    counts = []
    for way, demand in zip(rates.ways, rates.way_demand, strict=True):
        steps = [(rates.steps[i].losses.first_pass, way.needed[i]) for i in way.steps]
        lossy = [(first, pieces) for first, pieces in steps if not (first.certain and first.value == 1)]
        inputs += [demand, *(figure for pair in lossy for figure in pair)]
        counts.append(len(lossy))

    def rolled(*values: Any) -> Any:
        total: Any = 0.0
        weight: Any = 0.0
        rest = iter(values)
        for count in counts:
            demand = next(rest)
            product: Any = 1.0
            for _ in range(count):
                first = np.clip(next(rest), 0.0, 1.0)
                product = product * first ** next(rest)
            total, weight = total + product * demand, weight + demand
        return total / weight

    return derive(
        "rolled throughput yield",
        rolled,
        *inputs,
        unit="share",
        formula="product of the first-pass yields of all steps, each for all its pieces in a unit; mean over the ways through",
    )
