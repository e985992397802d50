"""Caps on work in process: where they begin and end, and how many pieces may still come in."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.laying.route import Through
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


def below_cap(of: Source, i: int, step: Step, before: np.ndarray, through: Through) -> int:
    """How many pieces may still come in below the cap of a step."""
    assert step.release is not None
    until = i if step.release.until is None else of.step_index[step.release.until]
    comes = of.line.route.comes_before
    inside = [j for j in range(len(of.line.steps)) if comes(i, j) and comes(j, until)]
    lying = sum(
        int(before[j, k, p].sum())
        for j in inside
        for p, k in np.ndindex(*through.giver[:, j].shape)
        if through.giver[p, j, k] in inside
    )
    return (step.release.limit or 1) - lying
