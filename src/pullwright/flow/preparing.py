"""Getting a step ready for the next lot: how long on average over the changes from product to product, and how often."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive, derive_many
from pullwright.flow.givens import Givens
from pullwright.line.model import SetUp


@dataclass(frozen=True, slots=True)
class Preparing:
    """Set-ups of a step: mean time of one (s), its cv, pieces between two, people who do it, how many a working day.

    `lot` is the mean where products have lots of their own; `lots` are those, by product.
    """

    time: Figure
    cv: Figure
    lot: Figure
    people: Figure
    per_day: Figure
    lots: tuple[tuple[str, Figure], ...] = ()

    def lot_of(self, product: str) -> Figure:
        """Pieces of a product between two set-ups."""
        return dict(self.lots).get(product, self.lot)


def preparing_of(
    givens: Givens, i: int, set_up: SetUp, started: Figure, by_name: dict[str, Figure], by_product: dict[str, Figure]
) -> Preparing:
    """What does getting step `i` ready take, for which a lot or lots are given?

    Parameters: `started`, pieces a working day there, and `by_product` those of each product; `by_name`, demand of each product (pieces/wd).
    """
    step = givens.line.steps[i]
    if step.lots:
        return _by_product(givens, i, set_up, by_name, by_product)
    name = step.name
    pieces = givens.number(("steps", i, "lot"), step.lot or 1, "pieces")
    per_day = derive(
        f"set-ups a day / {name}",
        lambda r, n: r / n,
        started,
        pieces,
        unit="set-ups/wd",
        formula="pieces started a day / lot",
    )
    time, cv = _time(givens, i, set_up, by_name)
    return Preparing(time, cv, pieces, _people(givens, i, set_up), per_day)


def _people(givens: Givens, i: int, set_up: SetUp) -> Figure:
    return givens.number(("steps", i, "set_up", "people"), set_up.people, "persons")


def _by_product(
    givens: Givens, i: int, set_up: SetUp, by_name: dict[str, Figure], by_product: dict[str, Figure]
) -> Preparing:
    """Where each product has a lot of its own: so many set-ups a day as lots of all products, and the mean lot that takes as many."""
    step = givens.line.steps[i]
    lots = tuple(
        (lot.product, givens.number(("steps", i, "lots", k, "pieces"), lot.pieces, "pieces"))
        for k, lot in enumerate(step.lots)
        if lot.product in by_product
    )
    pairs = [figure for product, lot in lots for figure in (by_product[product], lot)]

    def made(*values: Any) -> tuple[Any, Any]:
        pieces, set_ups = sum(values[0::2]), sum(r / n for r, n in zip(values[0::2], values[1::2], strict=True))
        none = np.asarray(set_ups) <= 0
        return set_ups, np.where(none, np.minimum.reduce(list(values[1::2])), pieces / np.where(none, 1.0, set_ups))

    per_day, mean = derive_many(
        (f"set-ups a day / {step.name}", f"mean lot / {step.name}"), made, *pairs, units=("set-ups/wd", "pieces"),
        formulas=("sum over the products of pieces started a day / lot", "pieces started a day / set-ups a day"),
    )  # fmt: skip
    often = {
        product: derive(
            f"lots a day / {step.name} / {product}", lambda d, n: d / n, by_name[product], lot, unit="lots/wd", formula="demand / lot"
        )
        for product, lot in lots
    }  # fmt: skip
    time, cv = _time(givens, i, set_up, {**by_name, **often})
    return Preparing(time, cv, mean, _people(givens, i, set_up), per_day, lots)


def _time(givens: Givens, i: int, set_up: SetUp, by_name: dict[str, Figure]) -> tuple[Figure, Figure]:
    """Mean and cv of a set-up. After a lot of one product comes one of another, as often as those are made; without pairs they are all alike."""
    path = ("steps", i, "set_up")
    usual, cv = givens.figure((*path, "time")), givens.cv((*path, "time"), set_up.time, "set-up cv")
    here = givens.line.route.products_of(i)
    # The products that do not come here take no part in the changes; one alone changes to itself.
    pairs = {
        (here.index(pair.from_), here.index(pair.to)): givens.figure((*path, "pairs", k, "time"))
        for k, pair in enumerate(set_up.pairs)
        if pair.from_ in here and pair.to in here and (pair.from_ != pair.to or len(here) == 1)
    }
    if not pairs:
        return usual, cv
    if len(here) == 1:
        return pairs[0, 0], cv
    demands = [by_name[product] for product in here]
    time, varies = derive_many(
        (f"set-up time / {givens.line.steps[i].name}", f"set-up time / {givens.line.steps[i].name} / cv"),
        lambda usual, cv, *rest: mean_change(usual, cv, dict(zip(pairs, rest, strict=False)), rest[len(pairs) :]),
        usual, cv, *pairs.values(), *demands, units=("s", "1"),
        formulas=(
            "mean over the changes from one product to another, weighted by how often they follow each other",
            "of one set-up and between the changes: root of mean square / mean² - 1",
        ),
    )  # fmt: skip
    return time, varies


def mean_change(usual: Any, cv: Any, pairs: dict[tuple[int, int], Any], demands: Sequence[Any]) -> tuple[Any, Any]:
    """Mean (s) and cv of the set-ups, where product b follows product a as often as their demands multiply (a and b not the same).

    `usual`: time of every change that is not in `pairs`; `cv` of one set-up; `demands` in pieces a day.

    >>> mean, cv = mean_change(600.0, 0.0, {(0, 1): 1200.0}, [1.0, 1.0])
    >>> float(mean), round(float(cv), 3)
    (900.0, 0.333)
    """
    total = sum(demands)
    changes = np.maximum(total * total - sum(demand * demand for demand in demands), 1e-12)
    mean, square = usual, usual * usual
    for (a, b), time in pairs.items():
        weight = demands[a] * demands[b] / changes
        mean = mean + (time - usual) * weight
        square = square + (time * time - usual * usual) * weight
    between = square * (1 + cv * cv) / np.maximum(mean, 1e-12) ** 2 - 1
    return mean, np.where(mean > 0, np.sqrt(np.maximum(between, 0.0)), 0.0)
