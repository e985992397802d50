"""How settings are gone through: by halving where larger never does worse, from the cheapest on where it may, and by comparing where the cost is measured.

Each is a generator that asks for runs; who runs them, and how many at a time, changes nothing.
"""

from __future__ import annotations

import numpy as np

from pullwright.forecast.search.book import Asking, Book
from pullwright.forecast.search.comparing import cheapest_of
from pullwright.forecast.search.problem import Problem

MOST_LOOKED_AT = 257
"""Candidates that are weighed against each other for the next trial; the middle one is always among them."""


def procedure_of(problem: Problem, book: Book) -> Asking:
    """The procedure that fits a problem."""
    if problem.cost is None:
        return comparing(book)
    return halving(book) if problem.rising else cheapest_first(book)


def halving(book: Book) -> Asking:
    """Settings among which larger values never do worse and cost more: the next trial is the one that rules out most, however it comes out.

    If it is kept, all that cost as much or more are ruled out; if it is broken (or cannot be told), all that are no larger in any knob. On a single
    knob that is bisection; on several the cheap settings below a broken one need no runs of their own.
    """
    settings = np.array(book.problem.settings)
    costs = np.array(book.problem.costs)
    top = len(settings) - 1
    verdict = yield from book.tested(book.problem.settings[top])
    if verdict == "broken":
        return None
    open_ = np.ones(len(settings), bool)
    open_[top] = False
    if verdict == "kept":
        open_ &= costs < costs[top]
    while (candidates := np.flatnonzero(open_)).size:
        candidates = candidates[np.argsort(costs[candidates], kind="stable")]
        book.left = candidates.size
        at = np.unique(np.round(np.linspace(0, candidates.size - 1, MOST_LOOKED_AT)).astype(int))
        at = np.union1d(at, [(candidates.size - 1) // 2])
        looked = candidates[at]
        if_kept = candidates.size - np.searchsorted(costs[candidates], costs[looked])
        below = (settings[candidates][None, :, :] <= settings[looked][:, None, :]).all(axis=2)
        chosen = looked[int(np.argmax(np.minimum(if_kept, below.sum(axis=1))))]
        verdict = yield from book.tested(book.problem.settings[chosen])
        open_[chosen] = False
        if verdict == "kept":
            open_ &= costs < costs[chosen]
        elif verdict in ("broken", "open"):
            open_ &= ~(settings <= settings[chosen]).all(axis=1)
    book.left = 0
    return None if book.best is None else book.best.setting


def cheapest_first(book: Book) -> Asking:
    """Any settings whose cost is settled: each one from the cheapest on, until one keeps the promises."""
    order = np.argsort(book.problem.costs, kind="stable")
    for n, k in enumerate(order):
        book.left = len(order) - n
        if (yield from book.tested(book.problem.settings[k])) == "kept":
            break
    book.left = 0
    return None if book.best is None else book.best.setting


def comparing(book: Book) -> Asking:
    """Any settings whose cost is measured in the runs: first which of them keep the promises, then which of those is cheapest."""
    kept = []
    for n, setting in enumerate(book.problem.settings):
        book.left = len(book.problem.settings) - n
        if (yield from book.tested(setting)) == "kept":
            kept.append(setting)
    return (yield from cheapest_of(book, kept)) if kept else None
