"""Which of several settings has the smallest mean cost? Run by run on the same luck, those that are clearly dearer fall out.

Fully sequential selection in the manner of Kim & Nelson 2001 (A fully sequential procedure for indifference-zone selection in simulation, ACM TOMACS
11), on paired differences. Their bounds promise the best where it is better than all others by the zone; here each difference has an
interval that may be looked at any time (see `averages`), so that the setting chosen is within the zone of the best whatever the means are.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from math import inf

import numpy as np

from pullwright.forecast.search.averages import LEAST_RUNS, SPREAD
from pullwright.forecast.search.book import Ask, Book
from pullwright.forecast.search.trial import Row, Setting

LOOKS_APART = 10
"""After the first 50 runs the differences are looked at once in so many: looking takes longer than a run of a small line."""


def cheapest_of(book: Book, settings: Sequence[Setting]) -> Generator[Ask, Row | str, Setting]:
    """Ask for runs of all that are left, one number after another, until one is shown to be the cheapest but for the zone."""
    problem = book.problem
    costs: dict[Setting, list[float]] = {one: [] for one in settings}
    left, wrong = list(settings), (1 - problem.confidence) / 2 / max(1, len(settings) - 1)
    number = 0
    while len(left) > 1 and number < problem.most_runs:
        for one in left:
            trial = book.trials[one]
            if trial.runs <= number:
                row = yield Ask(one, number, tuple(left))
                if isinstance(row, str):
                    trial.add(row)
                    continue
                trial.add(row)
            costs[one].append(trial.rows[number][-1])
        left = [one for one in left if book.trials[one].verdict == "kept"]
        number += 1
        if number <= 50 or number % LOOKS_APART == 0:
            left = still_in(np.array([costs[one] for one in left]), left, wrong, problem.close)
            book.left = len(left)
    return min(left, key=lambda one: book.cost_of(book.trials[one]))


def still_in(costs: np.ndarray, names: Sequence[Setting], wrong: float, close: float) -> list[Setting]:
    """Which may still be the cheapest? `costs` (k, n): n runs of each on the same luck; `wrong`: the chance of a wrong interval of one difference.

    One falls out when another is shown to be cheaper; all but the cheapest so far do when none can be cheaper than it by more than `close`.
    """
    many, runs = costs.shape
    factor = _factor(runs, wrong)
    if runs < LEAST_RUNS or many < 2 or factor == inf:
        return list(names)
    means = costs.mean(axis=1)
    centred = costs - means[:, None]
    products = centred @ centred.T
    squares = np.maximum(np.diag(products)[:, None] + np.diag(products)[None, :] - 2 * products, 0.0)
    half = np.sqrt(factor * squares / runs)
    above = means[:, None] - means[None, :]
    best = int(np.argmin(means))
    if (above[best] + half[best] <= close)[np.arange(many) != best].all():
        return [names[best]]
    out = (above - half > 0).any(axis=1)
    return [name for name, gone in zip(names, out, strict=True) if not gone]


def _factor(runs: int, wrong: float) -> float:
    """What the squares of the differences are multiplied with; as in `averages.interval`."""
    grown = 1 + runs * SPREAD
    ratio = (np.sqrt(grown) / wrong) ** (2 / runs)
    return inf if ratio >= grown else float((ratio - 1) / (1 - ratio / grown))
