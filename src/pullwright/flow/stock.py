"""What lies where, how long it lasts, how much of it the flow needs, and what is beyond that."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist
from typing import Any, Literal

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.counting import counted_now, grown, growth_of
from pullwright.flow.givens import Givens
from pullwright.flow.rates import Rates
from pullwright.flow.waiting import Wait

PlaceKind = Literal["part", "before", "after"]


@dataclass(frozen=True, slots=True)
class Stock:
    """Stock of a part, before a step, or after the last step. Pieces; `lasts` in seconds of working time; `made_ahead` in pieces/wd.

    `held` is what was counted, else what is predicted. `needed` is what today's flow cannot do without, `beyond` the rest of what is held.
    """

    kind: PlaceKind
    name: str
    step: int | None
    part: int | None
    store: int | None
    counted: Figure | None
    held: Figure
    needed: Figure
    beyond: Figure
    capacity: Figure | None
    taken: Figure
    lasts: Figure
    made_ahead: Figure | None

    @property
    def words(self) -> str:
        """The place as a person says it: "before hone bore"."""
        return self.name if self.kind == "part" else f"{self.kind} {self.name}"


def stocks_of(givens: Givens, rates: Rates, waits: tuple[Wait, ...], day: Figure, made: Figure) -> tuple[Stock, ...]:
    """What stock is there, place by place: parts, before each step, after the last steps? `made`: share of the demand that can be made."""
    line = givens.line
    store_of = {("before", store.before): s for s, store in enumerate(line.stores) if store.before}
    store_of |= {("after", store.after): s for s, store in enumerate(line.stores) if store.after}
    store_of |= {("part", store.part): s for s, store in enumerate(line.stores) if store.part}
    found: list[Stock] = []
    for p, part in enumerate(line.parts):
        found += _part(givens, rates, p, store_of.get(("part", part.name)), day, made)
    for i, step in enumerate(line.steps):
        s = store_of.get(("before", step.name))
        taken = _scaled(f"pieces taken a day / {step.name}", rates.steps[i].started, made)
        needed = waits[i].pieces
        release = step.release
        if release is not None and release.by == "cards" and release.cards and release.per_card:
            cards = givens.number(("steps", i, "release", "cards"), release.cards, "cards")
            each = givens.number(("steps", i, "release", "per_card"), release.per_card, "pieces/card")
            needed = derive(
                f"stock needed / before {step.name}",
                lambda c, n: c * n,
                cards,
                each,
                unit="pieces",
                formula="cards x pieces on a card",
            )
        found.append(_stock(givens, "before", step.name, i, None, s, needed, waits[i].pieces, taken, day))
    for i in sorted({line.route.last_for(product.name) for product in line.products}):
        found.append(_finished(givens, rates, i, store_of.get(("after", line.steps[i].name)), day, made))
    return tuple(found)


def _stock(
    givens: Givens,
    kind: PlaceKind,
    name: str,
    i: int | None,
    p: int | None,
    s: int | None,
    needed: Figure,
    predicted: Figure,
    taken: Figure,
    day: Figure,
) -> Stock:
    counted = None if s is None else counted_now(givens, s)
    words = name if kind == "part" else f"{kind} {name}"
    held = counted if counted is not None else predicted
    beyond = derive(
        f"stock beyond what is needed / {words}",
        _beyond,
        held,
        needed,
        unit="pieces",
        formula="stock held - stock needed, where that is above 0",
    )
    lasts = derive(
        f"waiting / {words}",
        lambda n, r, d: np.where(n > 0, n / np.maximum(r, 1e-12) * d, 0.0),
        held,
        taken,
        day,
        unit="s",
        formula="stock held / pieces taken a day x net working time of a day (Little 1961)",
    )
    capacity = None if s is None or givens.line.stores[s].capacity is None else givens.figure(("stores", s, "capacity"))
    growth = None if s is None else growth_of(givens, s)
    return Stock(
        kind,
        name,
        i,
        p,
        s,
        counted,
        held,
        needed,
        beyond,
        capacity,
        taken,
        lasts,
        None if growth is None else grown(words, growth),
    )


def _beyond(held: Any, needed: Any) -> Any:
    """What never ends is not beyond what never ends."""
    return np.where(np.isinf(needed), 0.0, np.maximum(held - np.where(np.isinf(needed), 0.0, needed), 0.0))


def _scaled(name: str, rate: Figure, made: Figure) -> Figure:
    return derive(
        name,
        lambda r, m: r * m,
        rate,
        made,
        unit="pieces/wd",
        formula="pieces started a day x share of the demand that can be made",
    )


def _part(givens: Givens, rates: Rates, p: int, s: int | None, day: Figure, made: Figure) -> list[Stock]:
    line = givens.line
    part = line.parts[p]
    index = {step.name: i for i, step in enumerate(line.steps)}
    inputs: list[Figure] = []
    swing: list[Figure] = []
    first: int | None = None
    for k, product in enumerate(line.products):
        way, demand = next((way, rates.products[k]) for way in rates.ways if product.name in way.products)
        for u, use in enumerate(product.uses):
            i = index[use.at]
            if use.part != part.name or i not in way.fresh:
                continue
            quantity = givens.figure(("products", k, "uses", u, "quantity"))
            inputs += [demand, way.fresh[i], quantity]
            swing += [demand, givens.cv(("products", k, "demand"), product.demand, "demand cv"), quantity]
            first = i if first is None else first
    if not inputs:
        return []
    used = derive(
        f"pieces used a day / {part.name}",
        lambda m, *v: m * sum(v[k] * v[k + 1] * v[k + 2] for k in range(0, len(v), 3)),
        made,
        *inputs,
        unit="pieces/wd",
        formula="demand x pieces for one good unit x quantity, as far as it can be made",
    )
    needed = _part_needed(givens, p, s, used, swing)
    return [_stock(givens, "part", part.name, first, p, s, needed, needed, used, day)]


def _part_needed(givens: Givens, p: int, s: int | None, used: Figure, swing: list[Figure]) -> Figure:
    """Half of what is delivered at a time, as far as there is room for it, and safety for the swings of demand over the lead time.

    Q/2 + z σ √L, the usual order-point stock (Silver, Pyke & Peterson, Inventory Management, chapter 7; from memory).
    """
    part = givens.line.parts[p]
    service = givens.assumed("service")
    inputs = [used, service]
    has_lot, has_room, has_lead = (
        part.delivery_lot is not None,
        s is not None and givens.line.stores[s].capacity is not None,
        part.lead_time is not None,
    )
    if has_lot:
        inputs.append(givens.figure(("parts", p, "delivery_lot")))
    if has_room:
        inputs.append(givens.figure(("stores", s or 0, "capacity")))
    if has_lead:
        inputs.append(givens.span_days(("parts", p, "lead_time")))

    def needed(use: Any, wished: Any, *rest: Any) -> Any:
        values = iter(rest)
        lot = next(values) if has_lot else use
        lot = np.minimum(lot, next(values)) if has_room else lot
        lead = next(values) if has_lead else np.zeros_like(np.asarray(use))
        sigma = np.sqrt(
            sum((rest[k] * rest[k + 1] * rest[k + 2]) ** 2 for k in range(len(rest) - len(swing), len(rest), 3))
        )
        return lot / 2 + NormalDist().inv_cdf(float(np.asarray(wished).flat[0])) * sigma * np.sqrt(lead)

    formula = "delivery lot, as far as there is room, / 2 + z x swing of a day's use x √lead time"
    return derive(f"stock needed / {part.name}", needed, *inputs, *swing, unit="pieces", formula=formula)


def _finished(givens: Givens, rates: Rates, i: int, s: int | None, day: Figure, made: Figure) -> Stock:
    """Finished goods: half of what is sent away at a time, and safety for one day's swing of demand."""
    line = givens.line
    name = line.steps[i].name
    ways = [
        (way, demand)
        for way, demand in zip(rates.ways, rates.way_demand, strict=True)
        if i in way.started and line.route.last_for(way.products[0]) == i
    ]
    shipped = derive(
        f"good pieces a day / {name}",
        lambda m, *v: m * sum(v),
        made,
        *(demand for _, demand in ways),
        unit="pieces/wd",
        formula="demand, as far as it can be made",
    )
    swing = [
        figure
        for k, product in enumerate(line.products)
        if any(product.name in way.products for way, _ in ways)
        for figure in (rates.products[k], givens.cv(("products", k, "demand"), product.demand, "demand cv"))
    ]
    batch = [
        givens.number(("moves", m, "batch"), move.batch, "pieces")
        for m, move in enumerate(line.moves)
        if move.from_ == name and move.to == "shipping"
    ]
    wished = givens.assumed("service")

    def needed(service: Any, *rest: Any) -> Any:
        lot = rest[0] / 2 if batch else 0.0
        pairs = rest[len(batch) :]
        sigma = np.sqrt(sum((pairs[k] * pairs[k + 1]) ** 2 for k in range(0, len(pairs), 2)))
        return lot + NormalDist().inv_cdf(float(np.asarray(service).flat[0])) * sigma

    stock = derive(
        f"stock needed / after {name}",
        needed,
        wished,
        *batch[:1],
        *swing,
        unit="pieces",
        formula="half of what is sent away at a time + z x swing of a day's demand",
    )
    return _stock(givens, "after", name, i, None, s, stock, stock, shipped, day)
