"""How does an answer go along with what is not known of the inputs? A straight line through the draws that were run."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.answers.interval import Floats
from pullwright.watch.sample.clusters import t_quantile

SURE = 0.95
"""Level at which a slope has to differ from 0: what cannot be told from luck is taken as none."""


def slopes_of(inputs: Floats, answers: Floats) -> Floats:
    """By how much does an answer change with each input, all others left as they are?

    Parameters: `inputs` (P, K) and `answers` (K,), draw by draw. Result: (P,), in units of the answer for one of the input; 0 where the draws are too few
    to tell it from luck, or fewer than two more than there are inputs.
    Source: ordinary least squares, Student's t of each slope.

    >>> k = np.arange(20.0)
    >>> slopes_of(np.array([k, k % 3]), 5.0 + 2.0 * k + 0.01 * (-1.0) ** k).round(3).tolist()
    [2.0, 0.0]
    """
    many, draws = inputs.shape
    freedom = draws - 1 - many
    if freedom < 2:
        return np.zeros(many)
    scale = inputs.std(axis=1)
    table = np.divide(
        (inputs - inputs.mean(axis=1, keepdims=True)).T, scale, out=np.zeros((draws, many)), where=scale > 0
    )
    centred = answers - answers.mean()
    slopes, _, _, _ = np.linalg.lstsq(table, centred, rcond=None)
    noise = float(((centred - table @ slopes) ** 2).sum()) / freedom
    errors = np.sqrt(noise * np.maximum(np.diag(np.linalg.pinv(table.T @ table)), 0.0))
    told = (np.abs(slopes) > t_quantile(freedom, SURE) * errors) & (scale > 0)
    found: Floats = np.divide(slopes, scale, out=np.zeros(many), where=told)
    return found
