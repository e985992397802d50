"""What the line says of each bought part and of its deliveries, as figures; what it does not say is None, and named."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np

from pullwright.account.carrying import away_and_back
from pullwright.account.floor import container_of
from pullwright.account.rows import nothing
from pullwright.account.terms import carrying_rate, floor_rent, paid_after, supplier_of
from pullwright.account.wages import average_wage
from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.flow.stock import Stock
from pullwright.flow.stock_needed import order_point, swing_until_delivery
from pullwright.pull.deliveries.rhythm import Bought, Terms


@dataclass(frozen=True, slots=True)
class AskedPart:
    """One part that is used: what it needs, and what there is for it.

    `use` pieces/wd; `point`: the order point (pieces) that keeps the wished share of promises; `safety` lies there when a delivery comes that was
    ordered there, `on_arrival` what lies there today, where another order point is typed; `swing` of both (pieces); `lot` as it comes today;
    a container `holds` so many (None: pieces come one by one), takes `floor` (m²), `stack` on each other; `room` (pieces); `away` (person-s
    for a piece carried away and back); `owed`: paid so many working days after it came.
    """

    part: int
    name: str
    supplier: int | None
    use: Figure
    price: Figure
    point: Figure
    safety: Figure
    on_arrival: Figure
    swing: Figure
    lot: Figure
    holds: Figure
    stack: Figure
    floor: Figure | None
    room: Figure | None
    away: Figure | None
    distance: Figure | None
    owed: Figure | None
    mass: Figure | None

    def bought(self) -> Bought:
        """Give the same in plain numbers, at their likely values."""
        return Bought(
            self.name, self.use.value, self.price.value, self.safety.value, self.swing.value, self.holds.value,
            _value(self.floor, 0.0), self.stack.value, _value(self.room, inf),
            None if self.away is None else self.away.value, _value(self.owed, 0.0), _value(self.mass, 0.0), self.lot.value,
        )  # fmt: skip


def _value(figure: Figure | None, otherwise: float) -> float:
    return otherwise if figure is None else figure.value


@dataclass(frozen=True, slots=True)
class AskedTerms:
    """What things cost on the line: tied-up cash (1/year), floor (money/m2/year), hours (money/s), deliveries by supplier (money); days."""

    carrying: Figure
    rent: Figure
    wage: Figure
    days_a_year: Figure
    days_a_week: Figure
    per_delivery: dict[int, Figure]

    def terms(self, per_delivery: float = 0.0) -> Terms:
        """Give the same in plain numbers."""
        return Terms(
            per_delivery, self.carrying.value, self.rent.value, self.wage.value, self.days_a_year.value, self.days_a_week.value
        )  # fmt: skip


def asked_terms(flow: Flow) -> AskedTerms:
    """What do deliveries, cash, floor and hours cost on this line?"""
    givens, line = flow.givens, flow.line
    weekdays = given(
        "working days in a full week",
        float(len(line.work_calendar.working_weekdays)),
        "wd/week",
        givens.source(("calendar",)),
    )
    costs = {
        s: givens.figure(("suppliers", s, "per_delivery"))
        for s, one in enumerate(line.suppliers)
        if one.per_delivery is not None
    }
    return AskedTerms(
        carrying_rate(flow), floor_rent(flow), average_wage(flow), givens.working_days("year"), weekdays, costs
    )


def asked_parts(flow: Flow) -> tuple[AskedPart, ...]:
    """Which parts are used, and what does the line say of them? In the order of the file; what nobody pulls needs no delivery."""
    stocks = {stock.part: stock for stock in flow.stocks if stock.part is not None and stock.taken.value > 0}
    return tuple(_part(flow, stocks[p]) for p in sorted(stocks))


def _part(flow: Flow, stock: Stock) -> AskedPart:
    givens, p = flow.givens, stock.part or 0
    part, use = flow.line.parts[p], stock.taken
    point = order_point(givens, flow.rates, p, use, flow.made)
    days = None if part.lead_time is None else givens.span_days(("parts", p, "lead_time"))
    safety = _there(f"stock on arrival / {part.name}", point, use, days)
    on_arrival = safety
    if part.order_at is not None:
        typed = givens.figure(("parts", p, "order_at"))
        on_arrival = _there(f"stock on arrival today / {part.name}", typed, use, days)
    found = container_of(flow, stock)
    path, container = found if found else ((), None)
    owed = paid_after(flow.line, p)
    away, distance = _away(flow, stock)
    return AskedPart(
        part=p,
        name=part.name,
        supplier=supplier_of(flow.line, p),
        use=use,
        price=givens.figure(("parts", p, "price")),
        point=point,
        safety=safety,
        on_arrival=on_arrival,
        swing=swing_until_delivery(givens, flow.rates, p, use, flow.made),
        lot=_lot(flow, p, use),
        holds=_one(part.name) if container is None else givens.number((*path, "holds"), container.holds, "pieces/container"),
        stack=_one(part.name) if container is None else givens.number((*path, "stack"), container.stack, "containers"),
        floor=None if container is None else givens.figure((*path, "floor")),
        room=stock.capacity,
        away=away,
        distance=distance,
        owed=None if owed is None else givens.span_days(owed),
        mass=None if part.mass is None else givens.figure(("parts", p, "mass")),
    )  # fmt: skip


def _one(name: str) -> Figure:
    return given(
        f"one by one / {name}", 1.0, "pieces", Source("computed", f"in what {name} comes is not given: pieces count")
    )


def _lot(flow: Flow, p: int, use: Figure) -> Figure:
    """What comes at once today: the delivery lot, else a day's use, as the stock that is needed has it."""
    name = flow.line.parts[p].name
    if flow.line.parts[p].delivery_lot is not None:
        return flow.givens.figure(("parts", p, "delivery_lot"))
    return derive(f"a day's use / {name}", lambda u: u * 1.0, use, unit="pieces", formula="no delivery lot is given: what a day uses comes at once")  # fmt: skip


def _there(name: str, point: Figure, use: Figure, days: Figure | None) -> Figure:
    """What still lies there when a delivery comes that was ordered at this point."""

    def left(at: Any, used: Any, *lead: Any) -> Any:
        return np.maximum(at - (used * lead[0] if lead else 0.0), 0.0)

    formula = "order point - use x lead time, not below 0" if days is not None else "order point; no lead time is given"
    return derive(name, left, point, use, *(() if days is None else (days,)), unit="pieces", formula=formula)


def _away(flow: Flow, stock: Stock) -> tuple[Figure | None, Figure | None]:
    """How long a piece takes that is carried away and back, and how far it goes; None where nobody has said where to."""
    store = None if stock.store is None else flow.line.stores[stock.store]
    if store is None or store.overflow is None or stock.store is None:
        return None, None
    path, givens = ("stores", stock.store, "overflow"), flow.givens
    handling = () if store.overflow.handling is None else (givens.figure((*path, "handling")),)
    distance = givens.figure((*path, "distance"))
    time = derive(
        f"time to carry a piece away and back / {stock.name}",
        away_and_back,
        givens.number((*path, "batch"), store.overflow.batch, "pieces"),
        distance,
        givens.assumed("walking speed"),
        *handling,
        unit="person-s/piece",
        formula="2 / batch x (2 x distance / speed" + (" + handling)" if handling else ")"),
    )
    return time, distance


def no_price(words: str) -> Figure:
    """A delivery that costs nothing here, because nobody has said what it costs."""
    return nothing(f"cost of one delivery / {words}", "money", f"what a delivery costs is not given ({words})")
