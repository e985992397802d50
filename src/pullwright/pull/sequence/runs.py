"""Runs laid out over a day: so many of them, each where it does least harm, made better by moving pieces and runs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, pairwise

import numpy as np

from pullwright.pull.sequence.aim import Aim, Floats, Order, set_ups_in

_TRIES = 15_000_000
"""About so many numbers are looked at while runs are moved, whatever the size of the day."""

_MOST_TRIES = 4_000
_AT_ONCE = 64
"""So many moves are weighed side by side."""

Run = tuple[int, int]
"""A product and how many of it are made in a row."""


def laid_out(aim: Aim, set_ups: int, last: int | None = None, runs: Sequence[int] | None = None) -> Order:
    """Make a sequence with at most so many set-ups that is as even as can be found.

    `runs`: how many runs each product is to have to begin with; shared out by the roots of the counts where nothing is said.
    """
    number = set_ups + (last is None or bool(aim.counts[last]))
    shared = list(runs) if runs and sum(runs) <= number else _shared(aim.counts, number)
    began = _in_order(aim, shared)
    if last is not None and set_ups_in(_order(began), last) > set_ups:
        began = _begins_with(began, last)
    return _order(_moved(aim, began, set_ups, last))


def _shared(counts: Sequence[int], number: int) -> list[int]:
    """Give every product one run, and each further one to the product whose runs are then worth most (count² / runs falls most)."""
    runs = [int(n > 0) for n in counts]
    for _ in range(number - sum(runs)):
        worth = [n * n / (r * (r + 1)) if 0 < r < n else 0.0 for n, r in zip(counts, runs, strict=True)]
        if not max(worth, default=0.0):
            break
        runs[int(np.argmax(worth))] += 1
    return runs


def _in_order(aim: Aim, runs: Sequence[int]) -> list[Run]:
    """Each product in runs of nearly the same length, all runs in the order of where their middles would be on an even course."""
    placed = []
    for i, (count, number) in enumerate(zip(aim.counts, runs, strict=True)):
        ends = [round(count * r / number) for r in range(number + 1)] if number else []
        placed += [((a + b) / 2 / count, i, b - a) for a, b in pairwise(ends) if b > a]
    return [(i, size) for _, i, size in sorted(placed)]


def _begins_with(runs: list[Run], last: int) -> list[Run]:
    """The same runs, with the first one of the product that was made before at the beginning."""
    at = next((k for k, (i, _) in enumerate(runs) if i == last), 0)
    return [runs[at], *runs[:at], *runs[at + 1 :]]


def _order(runs: Sequence[Run]) -> Order:
    return tuple(i for i, size in runs for _ in range(size))


def _moved(aim: Aim, runs: list[Run], set_ups: int, last: int | None) -> list[Run]:
    """Move pieces from run to run, and change places of runs, for as long as that helps and work is left."""
    tries = min(max(_TRIES // max(aim.places * len(aim.weights), 1), 50), _MOST_TRIES)
    best = aim.squares(_order(runs))
    better = True
    while better and tries > 0:
        better = False
        ways = _neighbours(runs)
        while not better and (some := list(islice(ways, min(tries, _AT_ONCE)))):
            squares = _squares(aim, some, set_ups, last)
            found = np.flatnonzero(squares < best * (1 - 1e-12))
            better = bool(found.size)
            tries -= int(found[0]) + 1 if better else len(some)
            if better:
                best, runs = float(squares[found[0]]), _joined(some[found[0]])
    return runs


def _squares(aim: Aim, layouts: Sequence[Sequence[Run]], set_ups: int, last: int | None) -> Floats:
    """The measure of each layout of runs; without end where it has too many set-ups. From a run to the next a deviation goes straight, so that its squares add up to a formula."""
    longest = max(map(len, layouts))
    made, sizes = np.array(
        [(*runs, *[(runs[-1][0], 0)] * (longest - len(runs))) for runs in layouts], dtype=np.intp
    ).transpose(2, 0, 1)
    changes = (made[:, 1:] != made[:, :-1]).sum(axis=1) + (0 if last is None else made[:, 0] != last)
    found = np.full(len(layouts), np.inf)
    within = np.flatnonzero(changes <= set_ups)
    by = aim.steps - aim.slope  # what a piece of each product adds to the deviations
    each, n = by[made[within]], sizes[within].astype(float)[:, :, None]
    ends = aim.start + np.cumsum(n * each, axis=1)
    # Over the pieces of a run, from its last one back: end, end - each, end - 2 each ...
    total = n * ends * ends - n * (n - 1) * ends * each + (n - 1) * n * (2 * n - 1) / 6 * each * each
    found[within] = (total @ aim.weighing).sum(axis=1) / aim.scale**2
    return found


def _joined(runs: Sequence[Run]) -> list[Run]:
    found: list[Run] = []
    for i, size in runs:
        if found and found[-1][0] == i:
            found[-1] = (i, found[-1][1] + size)
        elif size:
            found.append((i, size))
    return found


def _neighbours(runs: list[Run]) -> Iterator[list[Run]]:
    """All that differ by one move: neighbours changed, pieces handed to the next run of their product, a run put elsewhere or cut in two."""
    for k in range(len(runs) - 1):
        yield [*runs[:k], runs[k + 1], runs[k], *runs[k + 2 :]]
    for k, (i, size) in enumerate(runs):
        ahead = next((m for m in range(k + 1, len(runs)) if runs[m][0] == i), None)
        if ahead is None:
            continue
        for part in {1, size // 4, size // 2} - {0}:
            if part < size:
                yield _handed(runs, k, ahead, part)
        for part in {1, runs[ahead][1] // 4, runs[ahead][1] // 2} - {0}:
            if part < runs[ahead][1]:
                yield _handed(runs, ahead, k, part)
    for k, (i, size) in enumerate(runs):
        if size > 1:
            left = [*runs[:k], (i, size - size // 2), *runs[k + 1 :]]
            for to in range(len(left) + 1):
                if abs(to - k) > 1:
                    yield [*left[:to], (i, size // 2), *left[to:]]
    for k in range(len(runs)):
        rest = [*runs[:k], *runs[k + 1 :]]
        for to in range(len(rest) + 1):
            if abs(to - k) > 1:
                yield [*rest[:to], runs[k], *rest[to:]]


def _handed(runs: list[Run], giver: int, taker: int, part: int) -> list[Run]:
    found = list(runs)
    found[giver] = (runs[giver][0], runs[giver][1] - part)
    found[taker] = (runs[taker][0], runs[taker][1] + part)
    return found
