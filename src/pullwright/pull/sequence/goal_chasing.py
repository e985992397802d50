"""Every part as evenly as can be over a day: Monden's goal chasing, made better by exchanges, beside what no sequence can undercut.

Goal chasing (Monden, Toyota Production System; from memory): at each place the product is made after which the parts used so far are nearest to
their even course. The first method weighs all parts, D = √Σ(k N / Q − X − b)²; the second one, for products that use as many parts as each
other, only those that a product takes: it makes the one for whose parts most is due, Σ b (k N / Q − X).

Of products that are equally near, the one that is named first is made.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pullwright.pull.sequence.aim import Aim, Floats, Order
from pullwright.pull.sequence.course_search import searched
from pullwright.pull.sequence.nearest_mix import least_squares_after

_MOST_ROUNDS = 60


@dataclass(frozen=True, slots=True)
class EvenParts:
    """A sequence by parts: its squares (pieces²), what no sequence can undercut, and who found it.

    `chased`: squares of goal chasing alone.
    """

    order: Order
    squares: float
    at_least: float
    chased: float
    by: str

    @property
    def proven(self) -> bool:
        """Is it proven that no sequence is more even?"""
        return self.squares <= self.at_least * (1 + 1e-9) + 1e-12

    @property
    def gap(self) -> float:
        """By which share of its squares might another sequence be more even, at most? 0 where it is proven."""
        return 0.0 if self.proven else 1 - self.at_least / self.squares


def distances(aim: Aim, order: Sequence[int]) -> Floats:
    """How far from the even course are the parts if, after the places of `order`, each of the products comes next (pieces)? One for each product.

    >>> monden = Aim.of_parts([2, 3, 5], [[1, 0, 1, 1], [1, 1, 0, 1], [0, 1, 1, 0]])
    >>> distances(monden, ()).round(2).tolist()
    [1.11, 1.01, 0.79]
    """
    come = aim.steps[np.asarray(order, dtype=np.intp)].sum(axis=0)
    off = aim.start + come - (len(order) + 1) * aim.slope + aim.steps
    return np.asarray(np.sqrt((off**2) @ aim.weighing) / aim.scale)


def chased(aim: Aim, second: bool = False) -> Order:
    """In which order does goal chasing make the products? `second`: by its second, shorter method.

    >>> monden = Aim.of_parts([2, 3, 5], [[1, 0, 1, 1], [1, 1, 0, 1], [0, 1, 1, 0]])
    >>> "".join("ABC"[i] for i in chased(monden))
    'CBACBCCABC'
    """
    left = np.array(aim.counts)
    off, order = aim.start.copy(), []
    for _ in range(aim.places):
        off = off - aim.slope
        far = aim.steps * off @ aim.weighing if second else (off + aim.steps) ** 2 @ aim.weighing
        best = int(np.argmin(np.where(left > 0, far, np.inf)))
        left[best] -= 1
        off = off + aim.steps[best]
        order.append(best)
    return tuple(order)


def exchanged(aim: Aim, order: Sequence[int], rounds: int = _MOST_ROUNDS) -> Order:
    """Let pairs of places change their products for as long as that makes the parts more even, at most so many rounds.

    >>> aim = Aim.of_products([2, 2])
    >>> exchanged(aim, (0, 0, 1, 1))
    (1, 0, 0, 1)
    """
    now = np.array(order, dtype=np.intp)
    size, weights = now.size, aim.weighing
    changes = aim.steps[None, :, :] - aim.steps[:, None, :]  # from one product to another
    length = (changes**2) @ weights
    for _ in range(rounds):
        better = False
        off = aim.scaled(now.tolist())
        sums = np.vstack([np.zeros((1, off.shape[1])), np.cumsum(off, axis=0)]) * weights
        for p in range(size - 1):
            others = now[p + 1 :]
            between = sums[p + 1 : size] - sums[p]
            won = 2 * np.einsum("qj,qj->q", between, changes[now[p], others])
            won += np.arange(1, size - p) * length[now[p], others]
            q = int(np.argmin(won))
            if won[q] < -1e-12 * abs(sums[-1]).max() - 1e-9:
                change = changes[now[p], others[q]]
                q += p + 1
                now[p], now[q] = now[q], now[p]
                off[p:q] += change
                sums[1:] = np.cumsum(off, axis=0) * weights
                better = True
        if not better:
            break
    return tuple(now.tolist())


def even_parts(aim: Aim, width: int | None = None) -> EvenParts:
    """In which order are the parts used most evenly, and how much more even could any other order be at most?

    Goal chasing, then exchanges of two places, then a search through all sequences that could be better still, place by place: it is exact
    for the mixes of most days and otherwise says what it could not rule out. `width`: how many part-sequences it keeps at each place.
    Result: see `EvenParts`.

    >>> monden = Aim.of_parts([2, 3, 5], [[1, 0, 1, 1], [1, 1, 0, 1], [0, 1, 1, 0]])
    >>> found = even_parts(monden)
    >>> round(found.squares, 2), found.proven
    (4.15, True)
    """
    first = chased(aim)
    better = exchanged(aim, first)
    before, after = aim.squares(first), aim.squares(better)
    found = searched(aim, least_squares_after(aim, better), better, width)
    order = found.order if found.at_least >= found.squares else exchanged(aim, found.order)
    squares = aim.squares(order)
    words = "goal chasing"
    if squares < before - 1e-12:
        words += ", then a search of all that could be better" if squares < after - 1e-12 else ", then exchanges"
    return EvenParts(order, squares, min(found.at_least, squares), before, words)
