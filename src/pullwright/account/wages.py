"""What an hour of the people of a line costs."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.account.rows import nothing
from pullwright.figure import Figure, derive
from pullwright.flow import Flow


def average_wage(flow: Flow) -> Figure:
    """What does a paid hour cost, on average over the crews (money/s)? 0 where no wage is given.

    A crew without a wage counts at the mean of the others: its hours are not free.
    """
    line, givens = flow.line, flow.givens
    inputs = []
    for c, crew in enumerate(line.people):
        if crew.wage is not None:
            inputs += [
                givens.number(("people", c, "number"), crew.number, "persons"),
                givens.paid_seconds(crew.shifts),
                givens.figure(("people", c, "wage")),
            ]
    if not inputs:
        return nothing("average wage", "money/s", "no wage is given in `people`, so that hours cost nothing here")

    def average(*v: Any) -> Any:
        hours = sum(v[k] * v[k + 1] for k in range(0, len(v), 3))
        return sum(v[k] * v[k + 1] * v[k + 2] for k in range(0, len(v), 3)) / np.maximum(hours, 1e-12)

    return derive(
        "average wage",
        average,
        *inputs,
        unit="money/s",
        formula="mean over the crews with a wage, weighted by people x paid time",
    )


def wage_notes(flow: Flow) -> tuple[str, ...]:
    """Say whose hours are not paid as the file says."""
    without = [crew.name for crew in flow.line.people if crew.wage is None]
    if len(without) == len(flow.line.people):
        return ("No wage is given: hours cost nothing here.",)
    if not without:
        return ()
    return (f"No wage is given for {' and '.join(without)}: their hours count at the mean of the others.",)
