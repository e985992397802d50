"""Pressure: from how many pieces before a step on people hurry, and what comes of it."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.events.rows import PLENTY
from pullwright.forecast.laying.source import Source


def pressure(of: Source) -> dict[str, np.ndarray]:
    """Nobody hurries yet."""
    return {"step_hurry_at": np.full(len(of.line.steps), PLENTY), "hurry": np.array([0.0, 1.0])}
