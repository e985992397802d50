"""How many pieces make a whole set before a step: where flows come together, several pieces go into one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pullwright.flow import Flow


def pieces_in_a_set(flow: Flow) -> NDArray[np.float64]:
    """How many pieces does each step take, of all that it takes, for one of its own? Shape (I,), in pieces; 1 where it puts nothing together.

    The flow and the accounts count sets before such a step, a run counts pieces. Where products go different ways it is the mean over
    the ways, weighted by demand; alike where nobody pulls.

    >>> from pullwright.flow import flow_of
    >>> from pullwright.line import Line
    >>> line = Line.from_text('''
    ... line: carts
    ... calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
    ... products: [{name: cart, demand: 10 /d}]
    ... stations: [{name: a}, {name: b}, {name: c}]
    ... steps:
    ...   - {name: frame, station: a, manual: 60 s}
    ...   - {name: wheel, station: b, manual: 60 s, after: []}
    ...   - {name: join, station: c, manual: 60 s, after: [frame, {step: wheel, quantity: 4}]}
    ... ''')
    >>> pieces_in_a_set(flow_of(line)).tolist()
    [1.0, 1.0, 5.0]
    """
    weights = [max(demand.value, 0.0) for demand in flow.rates.way_demand]
    if not sum(weights) > 0:
        weights = [1.0] * len(weights)
    pieces, weight = np.zeros(len(flow.line.steps)), np.zeros(len(flow.line.steps))
    for way, pulled in zip(flow.rates.ways, weights, strict=True):
        takes = flow.line.route.takes_for(way.products[0])
        for i in way.steps:
            one = sum(1.0 if taking.quantity is None else taking.quantity.value for taking in takes[i])
            pieces[i] += pulled * max(one, 1.0)
            weight[i] += pulled
    return np.where(weight > 0, pieces / np.where(weight > 0, weight, 1.0), 1.0)
