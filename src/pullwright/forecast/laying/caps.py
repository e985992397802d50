"""Caps on work in process: where they begin and end, and how many pieces may still come in."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.errors import CannotRun
from pullwright.forecast.laying.source import Source
from pullwright.line.model import Step


def caps(of: Source) -> dict[str, np.ndarray]:
    """The caps, and which steps lie within each."""
    rows, covers = [], []
    for i, step in enumerate(of.line.steps):
        if step.release is not None and step.release.by == "cap":
            until = i if step.release.until is None else of.step_index[step.release.until]
            rows.append((i, until))
            before = of.line.route.comes_before
            covers.append([int(before(i, j) and before(j, until)) for j in range(len(of.line.steps))])
    return {
        "cap": np.array(rows, np.int64).reshape(-1, 2),
        "cap_covers": np.array(covers, np.int64).reshape(-1, len(of.line.steps)),
    }


def below_cap(of: Source, i: int, step: Step, before: np.ndarray, inputs: list[list[int]]) -> int:
    """How many pieces may still come in below the cap of a step; CannotRun where a lot would never get out."""
    assert step.release is not None
    until = i if step.release.until is None else of.step_index[step.release.until]
    comes = of.line.route.comes_before
    inside = [j for j in range(len(of.line.steps)) if comes(i, j) and comes(j, until)]
    lot = max(of.line.steps[j].transfer_lot or of.line.steps[j].lot or 1 for j in inside)
    limit = step.release.limit or 1
    if any(j != until for j in inside) and lot > limit:
        raise CannotRun(
            f"the cap of {step.name} lets {limit} pieces in, and a lot of {lot} is handed on within it: nothing would ever "
            "come out; raise the cap, or hand on fewer at a time"
        )
    lying = sum(int(before[j, k].sum()) for j in inside for k, giver in enumerate(inputs[j]) if giver in inside)
    return limit - lying
