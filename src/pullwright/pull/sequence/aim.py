"""What an even day aims at, and how far a sequence is from it: the one measure that every way of making a sequence is held against."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import lcm
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.errors import BadPlanInput

Floats: TypeAlias = NDArray[np.float64]
Order: TypeAlias = tuple[int, ...]
"""A sequence: the number of the product that is made at each place."""

_FINEST = 10_000
"""Quantities of a part are taken to the ten-thousandth of a piece, so that sums stay exact."""
_MOST_SCALE = 10**9


@dataclass(frozen=True)
class Aim:
    """An even course for every item (a product, or a part that products use) over the places of a day, or over what is left of it.

    The course of item j after k of R places is k / R of the way from where the day stands to where it ends; a sequence is uneven by what has
    come of j less that course. Its measure is the sum of the squares over all places and items, each item with its weight (Miltenburg 1989 for
    products, Monden for parts).

    `counts`: how many of each product are to be made. `uses`: how many of each item one piece of each product brings, a row for each product.
    `ahead`: by how many each item is ahead of its course where the places begin (0 in the morning). `weights`: one for each item.

    >>> aim = Aim.of_products([2, 1])
    >>> aim.deviations((0, 1, 0)).round(2).tolist()
    [[0.33, -0.33], [-0.33, 0.33], [0.0, 0.0]]
    >>> round(aim.squares((0, 1, 0)), 3)
    0.444
    """

    counts: tuple[int, ...]
    uses: tuple[tuple[Fraction, ...], ...]
    ahead: tuple[Fraction, ...]
    weights: tuple[float, ...]

    @classmethod
    def of_products(cls, counts: Sequence[int], ahead: Sequence[Fraction] = ()) -> Aim:
        """Every product is to come as evenly as can be; BadPlanInput for a count that is not a whole number from 0 on."""
        checked = _counts(counts)
        own = tuple(tuple(Fraction(int(i == j)) for j in range(len(checked))) for i in range(len(checked)))
        return cls(checked, own, _ahead(ahead, len(checked)), (1.0,) * len(checked))

    @classmethod
    def of_parts(
        cls,
        counts: Sequence[int],
        uses: Sequence[Sequence[float]],
        ahead: Sequence[Fraction] = (),
        products: float = 0.0,
    ) -> Aim:
        """Every part is to be used as evenly as can be.

        `uses`: pieces of each part in one piece of each product, shape (products, parts). `products`: the weight with which the products
        themselves count beside the parts, so that of two orders that use parts alike the one with the more even products is taken; `ahead` then
        lists the parts first and the products after them. BadPlanInput for rows that do not fit, and for a quantity below 0.
        """
        checked = _counts(counts)
        rows = [[_quantity(q) for q in row] for row in uses]
        if len(rows) != len(checked) or len({len(row) for row in rows}) > 1:
            raise BadPlanInput(
                f"{len(checked)} products and {len(rows)} rows of parts were read; allowed: a row for each product, all of one length"
            )
        parts = len(rows[0]) if rows else 0
        if products:
            for i, row in enumerate(rows):
                row.extend(Fraction(int(i == j)) for j in range(len(checked)))
        weights = (1.0,) * parts + ((products,) * len(checked) if products else ())
        return cls(checked, tuple(map(tuple, rows)), _ahead(ahead, len(weights)), weights)

    @property
    def places(self) -> int:
        """How many pieces are to be made?"""
        return sum(self.counts)

    @property
    def by_products(self) -> bool:
        """Is every product an item of its own, and nothing else is?"""
        return len(self.weights) == len(self.counts) and all(
            use == (i == j) for i, row in enumerate(self.uses) for j, use in enumerate(row)
        )

    @cached_property
    def scale(self) -> int:
        """In these parts of a piece all deviations are whole numbers, which makes comparing them exact."""
        fractions = [use for row in self.uses for use in row] + list(self.ahead)
        found = lcm(*(one.denominator for one in fractions)) * max(self.places, 1)
        return found if found <= _MOST_SCALE else max(self.places, 1)

    @cached_property
    def steps(self) -> Floats:
        """What one piece of each product brings of each item, in parts of `scale`; shape (products, items)."""
        return np.array([[float(use * self.scale) for use in row] for row in self.uses]).reshape(
            len(self.counts), len(self.weights)
        )

    @cached_property
    def start(self) -> Floats:
        """How far ahead each item is where the places begin, in parts of `scale`."""
        return np.array([float(one * self.scale) for one in self.ahead])

    @cached_property
    def slope(self) -> Floats:
        """How much of each item an even course brings at each place, in parts of `scale`: at the end of the day nothing is ahead."""
        totals = [sum((row[j] * n for row, n in zip(self.uses, self.counts, strict=True)), self.ahead[j]) for j in range(len(self.weights))]  # fmt: skip
        return np.array([float(total * self.scale / max(self.places, 1)) for total in totals])

    @cached_property
    def weighing(self) -> Floats:
        """The weights of the items."""
        return np.array(self.weights, dtype=np.float64)

    def scaled(self, order: Sequence[int] | NDArray[np.intp]) -> Floats:
        """Deviations after each place in parts of `scale`; shape (places, items)."""
        come = np.cumsum(self.steps[np.asarray(order, dtype=np.intp)], axis=0)
        return self.start + come - np.arange(1, len(order) + 1)[:, None] * self.slope

    def deviations(self, order: Sequence[int]) -> Floats:
        """How far ahead of its course is each item after each place (pieces)? Shape (places, items)."""
        return self.scaled(order) / self.scale

    def squares(self, order: Sequence[int] | NDArray[np.intp]) -> float:
        """The measure: the sum of the squared deviations (pieces²), each item with its weight; less is more even."""
        return float(np.sum(self.scaled(order) ** 2 @ self.weighing)) / self.scale**2

    def fits(self, order: Sequence[int]) -> bool:
        """Does this sequence make what is asked for, and nothing else?"""
        made = np.bincount(np.asarray(order, dtype=np.intp), minlength=len(self.counts))
        return bool(np.array_equal(made, self.counts))


def set_ups_in(order: Sequence[int], last: int | None = None) -> int:
    """How often does a sequence change from one product to another? `last`: what was made before it; None where the first piece needs no set-up.

    >>> set_ups_in([0, 0, 1, 0]), set_ups_in([0, 0, 1, 0], last=1)
    (2, 3)
    """
    before = [*([] if last is None else [last]), *order]
    return sum(1 for one, next_one in pairwise(before) if one != next_one)


def in_lots(counts: Sequence[int], lots: Sequence[int | None]) -> Order:
    """The sequence of who makes lots: products in turn, each a lot of its own at a time (all of it where none is given).

    >>> in_lots([3, 2], [2, None])
    (0, 0, 1, 1, 0)
    """
    left, order = list(counts), []
    while any(left):
        for i, (rest, lot) in enumerate(zip(left, lots, strict=True)):
            made = rest if lot is None else min(lot, rest)
            order += [i] * made
            left[i] -= made
    return tuple(order)


def _counts(counts: Sequence[int]) -> tuple[int, ...]:
    for n in counts:
        if n < 0 or n != int(n):
            raise BadPlanInput(f"{n} pieces of a product were read; allowed: whole numbers from 0 on")
    return tuple(int(n) for n in counts)


def _quantity(read: float | Fraction) -> Fraction:
    if not 0 <= read < float("inf"):
        raise BadPlanInput(f"a product that uses {read} pieces of a part was read; allowed: numbers from 0 on")
    return Fraction(read).limit_denominator(_FINEST)


def _ahead(ahead: Sequence[Fraction], items: int) -> tuple[Fraction, ...]:
    if ahead and len(ahead) != items:
        raise BadPlanInput(f"{len(ahead)} numbers of what is ahead were read for {items} items; allowed: one for each")
    return tuple(map(Fraction, ahead)) or (Fraction(0),) * items
