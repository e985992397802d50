"""Pressure: from how many pieces before a step on people hurry, and what comes of it."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from pullwright.figure import Figure
from pullwright.forecast.events.rows import PLENTY
from pullwright.forecast.laying.source import Source
from pullwright.forecast.pressure import levels_of


def pressure(of: Source) -> dict[str, np.ndarray]:
    """More than the level of a step is one piece more than the whole number below it."""
    if of.line.pressure is None:
        return {"step_hurry_at": np.full(len(of.line.steps), PLENTY), "hurry": np.array([0.0, 1.0])}

    @cache
    def levels() -> tuple[Figure, ...]:
        return levels_of(of.flow)

    def level(i: int) -> float:
        return of.taken(of.givens.once(("pressure level", i), lambda: levels()[i]))

    found = [level(i) for i in range(len(of.line.steps))]
    return {
        "step_hurry_at": np.array([math.floor(level) + 1 if level < PLENTY else PLENTY for level in found]),
        "hurry": np.array([of.value(("pressure", "faster")), of.value(("pressure", "more_defects"))]),
    }
