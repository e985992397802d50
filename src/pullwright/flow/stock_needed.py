"""How much stock today's flow cannot do without: parts against swings until the next delivery, finished goods against a day's swing, cards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any, NamedTuple

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.demand import day_swing
from pullwright.flow.givens import Givens
from pullwright.flow.rates import Rates
from pullwright.line.model import Release

MOST_SERVICE = 0.9999
"""No stock keeps every promise: a wish for 100 % is worked out as this."""


def safety(service: Any) -> Any:
    """How many standard deviations of stock keep this share of promises? 0 where half of them may be broken.

    The quantile z of the normal distribution; shares above 99.99 % count as that.

    >>> round(float(safety(0.95)), 3), float(safety(0.4))
    (1.645, 0.0)
    """
    inverse = NormalDist().inv_cdf
    different, where = np.unique(np.clip(np.asarray(service, dtype=float), 0.5, MOST_SERVICE), return_inverse=True)
    return np.array([inverse(float(one)) for one in different])[where]


def part_needed(givens: Givens, rates: Rates, p: int, s: int | None, used: Figure, made: Figure) -> Figure:
    """Half of what is delivered at a time, as far as there is room for it, and safety for the swings until the next delivery.

    Q/2 + z √(L σ² + (d L cv)²), the usual order-point stock (Silver, Pyke & Peterson, Inventory Management, chapter 7; from memory): `used` a
    day is d, its swing σ, the lead time L working days with its cv where one is given. Without a delivery lot a day's use comes at a time.
    """
    part = givens.line.parts[p]
    lot = () if part.delivery_lot is None else (givens.figure(("parts", p, "delivery_lot")),)
    store = None if s is None else givens.line.stores[s]
    room = () if store is None or store.capacity is None else (givens.figure(("stores", s or 0, "capacity")),)
    until = _until_delivered(givens, rates, p)

    def needed(use: Any, can: Any, service: Any, *rest: Any) -> Any:
        values = iter(rest)
        comes = next(values) if lot else use
        comes = np.minimum(comes, next(values)) if room else comes
        return comes / 2 + until.safety(use, can, service, *values)

    return derive(
        f"stock needed / part {part.name}", needed, used, made, until.wished, *lot, *room, *until.inputs, unit="pieces",
        formula=("delivery lot" if lot else "a day's use") + (", as far as there is room," if room else "")
        + f" / 2 + {until.words}",
    )  # fmt: skip


def swing_until_delivery(givens: Givens, rates: Rates, p: int, used: Figure, made: Figure) -> Figure:
    """By how much does the use of a part between an order and its delivery swing? Its standard deviation, √(L σ² + (d L cv)²) pieces."""
    until = _until_delivered(givens, rates, p)
    return derive(
        f"swing of the use until a delivery / part {givens.line.parts[p].name}", until.swing, used, made, *until.inputs, unit="pieces",
        formula=until.words.removeprefix("z x "),
    )  # fmt: skip


def order_point(givens: Givens, rates: Rates, p: int, used: Figure, made: Figure) -> Figure:
    """To how many must the stock of a part and what is under way have fallen for the next delivery to be ordered?

    L d + z √(L σ² + (d L cv)²) pieces, as in `part_needed`: what is used until it comes, and safety for the swings of that.
    """
    until = _until_delivered(givens, rates, p)

    def reached(use: Any, can: Any, service: Any, *rest: Any) -> Any:
        days = rest[0] if until.lead else 0.0 * use
        return use * days + until.safety(use, can, service, *rest)

    return derive(
        f"order point / part {givens.line.parts[p].name}", reached, used, made, until.wished, *until.inputs, unit="pieces",
        formula=f"use x lead time + {until.words}",
    )  # fmt: skip


@dataclass(frozen=True)
class _UntilDelivered:
    """What swings between the order of a part and its delivery, and the stock that makes up for it."""

    wished: Figure
    lead: bool
    varies: bool
    products: tuple[int, ...]
    inputs: tuple[Figure, ...]

    @property
    def words(self) -> str:
        return "z x √(lead time x (swing of a day's use)²" + (" + (use x lead time x its cv)²)" if self.varies else ")")

    def safety(self, use: Any, can: Any, service: Any, *rest: Any) -> Any:
        return safety(service) * self.swing(use, can, *rest)

    def swing(self, use: Any, can: Any, *rest: Any) -> Any:
        values = iter(rest)
        days = next(values) if self.lead else 0.0 * use
        uneven = next(values) if self.varies else 0.0
        left = list(values)
        # What one product's orders swing by swings every part of it alike; products swing by themselves.
        by_product: dict[int, Any] = {}
        for n, k in enumerate(self.products):
            by_product[k] = by_product.get(k, 0.0) + left[3 * n] * left[3 * n + 1] * left[3 * n + 2]
        variance = can * can * sum(one * one for one in by_product.values())
        return np.sqrt(variance * days + (use * days * uneven) ** 2)


def _until_delivered(givens: Givens, rates: Rates, p: int) -> _UntilDelivered:
    lead = givens.line.parts[p].lead_time
    uses = list(part_uses(givens, rates, p))
    inputs: list[Figure] = [] if lead is None else [givens.span_days(("parts", p, "lead_time"))]
    varies = lead is not None and lead.cv is not None
    if lead is not None and lead.cv is not None:
        inputs.append(givens.figure(("parts", p, "lead_time", "cv"), lead.cv))
    inputs += [figure for k, _, fresh, each in uses for figure in (day_swing(givens, rates.products, k), fresh, each)]
    products = tuple(use.product for use in uses)
    return _UntilDelivered(wished_service(givens, list(products)), lead is not None, varies, products, tuple(inputs))


def finished_needed(givens: Givens, rates: Rates, i: int, products: Iterable[int], made: Figure) -> Figure:
    """Finished goods: half of what is sent away at a time, and safety for one day's swing of each product; none stands in for another."""
    name = givens.line.steps[i].name
    here = list(products)
    batch = [
        givens.number(("moves", m, "batch"), move.batch, "pieces")
        for m, move in enumerate(givens.line.moves)
        if move.from_ == name and move.to == "shipping" and move.batch > 1
    ][:1]
    inputs = [figure for k in here for figure in (day_swing(givens, rates.products, k), wished_service(givens, [k]))]

    def needed(can: Any, *rest: Any) -> Any:
        pairs = rest[len(batch) :]
        swings = sum(pairs[k] * safety(pairs[k + 1]) for k in range(0, len(pairs), 2))
        return (rest[0] / 2 if batch else 0.0) + can * swings

    return derive(
        f"stock needed / after {name}",
        needed,
        made,
        *batch,
        *inputs,
        unit="pieces",
        formula="half of what is sent away at a time + sum over the products of z x swing of a day's demand"
        if batch
        else "sum over the products of z x swing of a day's demand",
    )


def cards_after(givens: Givens, i: int) -> Figure | None:
    """How many pieces may lie behind step `i`, where cards let it begin? A card that is not with its pieces behind it is what starts more."""
    release = givens.line.steps[i].release
    if release is not None and release.loops:
        return _on_loops(givens, i, release)
    if release is None or release.by != "cards" or release.cards is None or release.per_card is None:
        return None
    cards = givens.number(("steps", i, "release", "cards"), release.cards, "cards")
    each = givens.number(("steps", i, "release", "per_card"), release.per_card, "pieces/card")
    return derive(
        f"pieces on the cards / {givens.line.steps[i].name}",
        lambda c, n: c * n,
        cards,
        each,
        unit="pieces",
        formula="cards x pieces on a card",
    )


def _on_loops(givens: Givens, i: int, release: Release) -> Figure:
    path = ("steps", i, "release", "loops")
    inputs = [
        givens.number((*path, k, field), getattr(loop, field), unit)
        for k, loop in enumerate(release.loops)
        for field, unit in (("cards", "cards"), ("per_card", "pieces/card"))
    ]
    return derive(
        f"pieces on the cards / {givens.line.steps[i].name}",
        lambda *v: sum(v[k] * v[k + 1] for k in range(0, len(v), 2)),
        *inputs,
        unit="pieces",
        formula="sum over the products of cards x pieces on a card",
    )


class PartUse(NamedTuple):
    """Where a part goes: index of the product, index of the step, pieces that the step takes fresh for one good unit, and how many of the part each."""

    product: int
    step: int
    fresh: Figure
    each: Figure


def part_uses(givens: Givens, rates: Rates, p: int) -> Iterator[PartUse]:
    """Which products use part `p`, and at which step?"""
    line = givens.line
    index = {step.name: i for i, step in enumerate(line.steps)}
    for k, product in enumerate(line.products):
        way = next(way for way in rates.ways if product.name in way.products)
        for u, use in enumerate(product.uses):
            if use.part == line.parts[p].name and index[use.at] in way.fresh:
                each = givens.figure(("products", k, "uses", u, "quantity"))
                yield PartUse(k, index[use.at], way.fresh[index[use.at]], each)


def part_used(givens: Givens, rates: Rates, p: int, made: Figure) -> tuple[Figure, int] | None:
    """How much of part `p` is used in a working day (pieces/wd), and at which step first? None where nothing uses it."""
    line = givens.line
    uses = list(part_uses(givens, rates, p))
    if not uses:
        return None
    index = {step.name: i for i, step in enumerate(line.steps)}
    first = next(
        index[use.at]
        for use in line.products[uses[0][0]].uses
        if use.part == line.parts[p].name and any(index[use.at] in way.fresh for way in rates.ways)
    )
    inputs = [figure for k, _, fresh, each in uses for figure in (rates.products[k], fresh, each)]
    used = derive(
        f"pieces used a day / {line.parts[p].name}",
        lambda m, *v: m * sum(v[k] * v[k + 1] * v[k + 2] for k in range(0, len(v), 3)),
        made,
        *inputs,
        unit="pieces/wd",
        formula="demand x pieces for one good unit x quantity, as far as it can be made",
    )
    return used, first


def wished_service(givens: Givens, products: list[int]) -> Figure:
    """The wished on-time share of the most demanding of these products; common practice where none is given."""
    wished = [
        givens.figure(("products", k, "on_time")) for k in products if givens.line.products[k].on_time is not None
    ]
    return max(wished, key=lambda figure: figure.value) if wished else givens.assumed("service")
