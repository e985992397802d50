"""When work piles up: from how much before a step on people there work faster and with more defects."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.figure import Figure, derive
from pullwright.flow import Flow, flow_of
from pullwright.flow.streams import comes_together
from pullwright.forecast.drawn import drawn
from pullwright.forecast.whole_sets import pieces_in_a_set
from pullwright.line import Line


def usual_stocks(flow: Flow) -> tuple[Figure, ...]:
    """How much usually lies before each step, in pieces of its own (sets, where it puts several together)?

    - What was counted before it; where nobody has, what the cards of the steps before it let lie there; without cards the mean that the
      flow predicts.
    - Before a first step no piece lies in a run, orders wait there: the mean number of them that the flow predicts.
    - Where that has no end, what the step takes in a working day.
    - Never less than what comes there at a time: a lot that arrives is nothing unusual.
    """
    together = comes_together(flow.givens, flow.rates)
    return tuple(_usual(flow, i, together[i]) for i in range(len(flow.line.steps)))


def _usual(flow: Flow, i: int, at_a_time: Figure) -> Figure:
    stock = next(one for one in flow.stocks if one.kind == "before" and one.step == i)
    first = not any(flow.line.route.takes_for(way.products[0])[i] for way in flow.rates.ways if i in way.steps)
    lies, said = (flow.waits[i].pieces, "orders that wait") if first else (stock.held, "stock held")
    return derive(
        f"usual stock / {stock.words}",
        _at_least,
        lies,
        stock.taken,
        at_a_time,
        unit="pieces",
        formula=f"{said}; without end: pieces taken a day; at least the pieces that come together",
    )


def _at_least(lies: Any, taken: Any, at_a_time: Any) -> Any:
    return np.maximum(np.where(np.isfinite(lies), lies, taken), at_a_time)


def pressure_levels(line: Line, flow: Flow | None = None, *, draw: int | None = None) -> NDArray[np.float64]:
    """From how much before each step on is the work there done under pressure? Shape (I,), in pieces; inf where it never is.

    A piece is worked on under pressure where, at the moment its work begins and when it has been taken itself, **more** than this
    lies before the step: pieces of all products and of everything that goes together there; at a first step the orders that wait.
    `above` x the usual stock x the pieces that make a set. Parameters: `flow`, where it is worked out already; `draw`, which of the equally
    likely draws is taken for true (None: the values themselves).

    >>> line = Line.from_text('''
    ... line: two steps
    ... calendar: {shifts: [{name: day, from: "06:00", to: "14:00"}]}
    ... products: [{name: pump, demand: {mean: 20 /d, cv: 0}}]
    ... stations: [{name: a}, {name: b}]
    ... steps:
    ...   - {name: cut, station: a, machine: 20 min, people: 0}
    ...   - {name: drill, station: b, manual: 20 min}
    ... stores: [{before: drill, counted: 6}]
    ... pressure: {above: 2, faster: 10 %, more_defects: 150 %}
    ... ''')
    >>> pressure_levels(line).tolist()  # one order at a time is usual at the first step
    [2.0, 12.0]
    """
    if line.pressure is None:
        return np.full(len(line.steps), np.inf)
    return np.array([drawn(figure, draw) for figure in levels_of(flow_of(line) if flow is None else flow)])


def levels_of(flow: Flow) -> tuple[Figure, ...]:
    """The levels of a line with `pressure`, as figures in the order of its steps."""
    above, in_a_set = flow.givens.figure(("pressure", "above")), pieces_in_a_set(flow)
    return tuple(
        derive(
            f"pressed above / {step.name}",
            lambda above, usual, n=float(in_a_set[i]): above * usual * n,
            above,
            usual,
            unit="pieces",
            formula="above x usual stock x pieces in a set",
        )
        for i, (step, usual) in enumerate(zip(flow.line.steps, usual_stocks(flow), strict=True))
    )
