"""What lies where, how long it lasts, how much of it the flow needs, and what is beyond that."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow.counting import counted_now, grown, growth_of
from pullwright.flow.givens import Givens
from pullwright.flow.rates import Rates
from pullwright.flow.stock_needed import cards_after, finished_needed, part_needed, part_used
from pullwright.flow.waiting import Wait

PlaceKind = Literal["part", "before", "after"]


@dataclass(frozen=True, slots=True)
class Stock:
    """Stock of a part, before a step, or after the last step. Pieces; `lasts` in seconds of working time; `made_ahead` in pieces/wd.

    `needed` is what today's flow cannot do without, `held` what was counted (where nobody has, as much as is needed), `beyond` the rest of it.
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
        use = part_used(givens, rates, p, made)
        if use is not None:
            taken, first = use
            s = store_of.get(("part", part.name))
            needed = part_needed(givens, rates, p, s, taken, made)
            found.append(_stock(givens, "part", part.name, first, p, s, needed, taken, day))
    for i, step in enumerate(line.steps):
        s = store_of.get(("before", step.name))
        taken = _scaled(f"pieces taken a day / {step.name}", rates.steps[i].started, made)
        if s is None and not line.route.takes[i] and any(part.step == i and part.counted is not None for part in found):
            needed = _with_parts(step.name)
        else:
            # A place that cards keep full is as full as they let it be, as long as nobody has counted.
            needed = _cards_before(givens, i) or waits[i].pieces
        found.append(_stock(givens, "before", step.name, i, None, s, needed, taken, day))
    for i in sorted({line.route.last_for(product.name) for product in line.products}):
        s = store_of.get(("after", line.steps[i].name))
        found.append(_finished(givens, rates, i, s, day, made))
    return tuple(found)


def _with_parts(step: str) -> Figure:
    """What waits before a first step whose parts were counted is those parts: it lies there once."""
    return given(
        f"stock before the first step / {step}",
        0.0,
        "pieces",
        Source("computed", f"what waits before {step} was counted with its parts"),
    )


def _cards_before(givens: Givens, i: int) -> Figure | None:
    """How much the cards of the steps before step `i` let lie there; None where one of them has none."""
    before = list(dict.fromkeys(taking.step for taking in givens.line.route.takes[i]))
    cards = [figure for k in before if (figure := cards_after(givens, k)) is not None]
    if not cards or len(cards) < len(before):
        return None
    if len(cards) == 1:
        return cards[0]
    return derive(
        f"stock needed / before {givens.line.steps[i].name}",
        lambda *v: np.maximum.reduce(list(v)),
        *cards,
        unit="pieces",
        formula="most pieces that the cards of one of the steps before let lie there",
    )


def _stock(
    givens: Givens,
    kind: PlaceKind,
    name: str,
    i: int | None,
    p: int | None,
    s: int | None,
    needed: Figure,
    taken: Figure,
    day: Figure,
) -> Stock:
    counted = None if s is None else counted_now(givens, s)
    words = f"{kind} {name}"
    held = counted if counted is not None else needed
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
        _lasts,
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


def _lasts(held: Any, taken: Any, day: Any) -> Any:
    """What nobody takes lies there without end."""
    with np.errstate(all="ignore"):
        return np.where(np.asarray(held) > 0, np.divide(held, taken) * day, 0.0)


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


def _finished(givens: Givens, rates: Rates, i: int, s: int | None, day: Figure, made: Figure) -> Stock:
    """Finished goods behind step `i`, of the products that it finishes."""
    line = givens.line
    name = line.steps[i].name
    ways = [
        demand
        for way, demand in zip(rates.ways, rates.way_demand, strict=True)
        if i in way.started and line.route.last_for(way.products[0]) == i
    ]
    shipped = derive(
        f"good pieces a day / {name}",
        lambda m, *v: m * sum(v),
        made,
        *ways,
        unit="pieces/wd",
        formula="demand, as far as it can be made",
    )
    products = [k for k, product in enumerate(line.products) if line.route.last_for(product.name) == i]
    needed = cards_after(givens, i) or finished_needed(givens, rates, i, products, made)
    return _stock(givens, "after", name, i, None, s, needed, shipped, day)
