"""One supplier, or one round trip, as figures: how often somebody comes, what that costs in a year, row by row, and what it saves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pullwright.account.rows import total
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.pull.deliveries.asked import AskedPart, AskedTerms, no_price
from pullwright.pull.deliveries.bringing import Brought, wished_trip
from pullwright.pull.deliveries.joint import least_of_one
from pullwright.pull.deliveries.laid_out import ROWS, WORDS, LaidOut, When
from pullwright.pull.deliveries.said import amount, names

_YEAR = "money/year"


@dataclass(frozen=True, slots=True)
class SupplierDeliveries:
    """One supplier, or the suppliers of one round trip: how often somebody comes, and what that costs in a year.

    `trip`: the name of the round trip, empty where a supplier comes by himself; `parts`: by index. `a_year_today` and `a_year` (deliveries/year):
    today every lot counts as a delivery of its own, as in the accounts. `a_week`: deliveries in a full week; `every` (wd). `rows_today` and
    `rows` (money/year) by `laid_out.ROWS`, adding up to `costs_today` and `costs`. `at_least`: no rhythm costs less, and
    `over`: by how much this one does (None where no price is given). `pays_up_to`: where no price is given, what a delivery may cost for the plan still to pay (None where it brings no more of them).
    """

    name: str
    suppliers: tuple[str, ...]
    trip: str
    parts: tuple[int, ...]
    vehicles: int
    a_year_today: Figure
    a_year: Figure
    a_week: Figure
    every: Figure
    rows_today: dict[str, Figure]
    rows: dict[str, Figure]
    costs_today: Figure
    costs: Figure
    saving: Figure
    at_least: Figure | None
    over: Figure | None
    pays_up_to: Figure | None
    says: tuple[str, ...]

    def figures(self) -> tuple[Figure, ...]:
        """Give all of them."""
        some = [
            self.a_year_today, self.a_year, self.a_week, self.every, *self.rows_today.values(), *self.rows.values(),
            self.costs_today, self.costs, self.saving,
        ]  # fmt: skip
        return (*some, *(one for one in (self.at_least, self.over, self.pays_up_to) if one is not None))


def supplier_deliveries(
    flow: Flow, one: Brought, terms: AskedTerms, today: dict[int, LaidOut], planned: dict[int, LaidOut]
) -> SupplierDeliveries:
    """How often does this supplier or round trip come, today and as planned, and what does that cost in a year?"""
    trip = "" if one.trip is None else wished_trip(flow, one.trip).name
    name = f"round trip {trip}" if trip else names(one.suppliers)
    before = [today[part.part] for part in one.parts]
    after = [planned[part.part] for part in one.parts]
    a_year_today, paid_today = _today(flow, name, one, terms, before)
    every, a_week, a_year = _how_often(name, terms, after)
    price = _own_price(flow, one.parts[0], terms)
    if one.trip is not None:
        price = flow.givens.figure(("plan", "deliveries", "trips", one.trip, "per_trip"))
    paid = derive(
        f"deliveries planned / cost of deliveries / {name}", _times(one.vehicles), a_year, price, unit=_YEAR,
        formula="deliveries a year x cost of one" + (f" x {one.vehicles} vehicles" if one.vehicles > 1 else ""),
    )  # fmt: skip
    rows_today, rows = _rows("today", name, paid_today, before), _rows("planned", name, paid, after)
    costs_today = total(f"deliveries today / cost / {name}", rows_today.values(), _YEAR, "sum of its rows")
    costs = total(f"deliveries planned / cost / {name}", rows.values(), _YEAR, "sum of its rows")
    saving = derive(f"deliveries / saved / {name}", _less, costs_today, costs, unit=_YEAR, formula="cost today - cost as planned")  # fmt: skip
    at_least = _at_least(name, one, terms, price) if one.priced else None
    over = None if at_least is None else derive(
        f"deliveries planned / above the least / {name}", _less, costs, at_least, unit=_YEAR, formula="cost as planned - what no rhythm undercuts",
    )  # fmt: skip
    pays = None if one.priced or not a_year.value > a_year_today.value * (1 + 1e-9) else derive(
        f"deliveries / what one may cost / {name}", lambda s, n, m: s / np.maximum(n - m, 1e-12), saving, a_year, a_year_today,
        unit="money/delivery", formula="saved without the deliveries themselves / deliveries more in a year",
    )  # fmt: skip
    found = SupplierDeliveries(
        name, one.suppliers, trip, tuple(part.part for part in one.parts), one.vehicles, a_year_today, a_year, a_week, every,
        rows_today, rows, costs_today, costs, saving, at_least, over, pays, (),
    )  # fmt: skip
    return replace(found, says=_says(found, one, before, after, flow.line.currency))


def _less(before: Any, after: Any) -> Any:
    return before - after


def _today(flow: Flow, name: str, one: Brought, terms: AskedTerms, lots: list[LaidOut]) -> tuple[Figure, Figure]:
    """Deliveries a year today, and what they cost: every lot is a delivery of its own, as in the accounts."""
    a_year = derive(
        f"deliveries today / a year / {name}", lambda d, *e: sum(d / each for each in e), terms.days_a_year, *(lot.every for lot in lots),
        unit="deliveries/year", formula="working days per year / time between two, each part by itself",
    )  # fmt: skip
    inputs = [
        figure
        for part, lot in zip(one.parts, lots, strict=True)
        for figure in (lot.every, _own_price(flow, part, terms))
    ]
    paid = derive(
        f"deliveries today / cost of deliveries / {name}", lambda d, *v: sum(d / v[k] * v[k + 1] for k in range(0, len(v), 2)),
        terms.days_a_year, *inputs, unit=_YEAR, formula="working days per year / time between two x cost of one delivery, each part by itself",
    )  # fmt: skip
    return a_year, paid


def _how_often(name: str, terms: AskedTerms, lots: list[LaidOut]) -> tuple[Figure, Figure, Figure]:
    """Time between two deliveries, deliveries in a full week, and in a year."""
    every = derive(
        f"deliveries planned / time between two / {name}", lambda *v: np.minimum.reduce(list(v)), *(lot.every for lot in lots), unit="wd",
        formula="that of the part that comes most often; the others come along",
    )  # fmt: skip
    a_week = derive(
        f"deliveries planned / a week / {name}", lambda e, d: d / e, every, terms.days_a_week, unit="deliveries/week",
        formula="working days in a full week / time between two",
    )  # fmt: skip
    a_year = derive(
        f"deliveries planned / a year / {name}", lambda e, d: d / e, every, terms.days_a_year, unit="deliveries/year",
        formula="working days per year / time between two",
    )  # fmt: skip
    return every, a_week, a_year


def _times(vehicles: int) -> Callable[..., Any]:
    return lambda n, c: n * c * vehicles


def _own_price(flow: Flow, part: AskedPart, terms: AskedTerms) -> Figure:
    """What a delivery costs when its supplier comes by himself."""
    if part.supplier is None:
        return flow.givens.once(("no price", part.name), lambda: no_price(f"whoever brings {part.name}"))
    found = terms.per_delivery.get(part.supplier)
    name = flow.line.suppliers[part.supplier].name
    return flow.givens.once(("no price", name), lambda: no_price(name)) if found is None else found


def _rows(when: When, name: str, paid: Figure, lots: list[LaidOut]) -> dict[str, Figure]:
    own = {"tied_up": "tied_up", "credit": "credit", "floor": "rent", "away": "away"}
    rows = {
        row: total(f"deliveries {when} / {WORDS[row]} / {name}", [getattr(lot, key) for lot in lots], _YEAR)
        for row, key in own.items()
    }
    return {row: paid if row == "deliveries" else rows[row] for row in ROWS}


def _at_least(name: str, one: Brought, terms: AskedTerms, price: Figure) -> Figure:
    """No rhythm costs less than the best time between deliveries of any length would, without containers, floor and carrying away."""
    inputs = [figure for part in one.parts for figure in (part.price, part.use, part.safety)]
    owed = [part.owed for part in one.parts if part.owed is not None]
    has = [part.owed is not None for part in one.parts]

    def least(rate: Any, days: Any, cost: Any, *v: Any) -> Any:
        later = iter(v[len(inputs) :])
        held, fixed = 0.0 * rate, 0.0 * rate
        for k, paid_later in enumerate(has):
            each, used, safety = v[3 * k : 3 * k + 3]
            held = held + rate * each * used / 2
            fixed = fixed + rate * each * (safety - (used * next(later) if paid_later else 0.0))
        return least_of_one(days * cost, held) + fixed

    return derive(
        f"deliveries / no rhythm costs less / {name}", least, terms.carrying, terms.days_a_year, price, *inputs, *owed, unit=_YEAR,
        formula="2 √(cost of a delivery a day x half a day's use at its price and the carrying rate) + carrying rate x (stock on arrival - owed)",
    )  # fmt: skip


def _says(
    found: SupplierDeliveries, one: Brought, before: list[LaidOut], after: list[LaidOut], currency: str
) -> tuple[str, ...]:
    often = f"{found.a_week.parts().value} a week" if found.a_week.value >= 0.95 else f"one every {found.every.short()}"
    who = f"{found.trip} calls at {names(one.suppliers)}" if found.trip else f"{found.name} delivers"
    together = f", {names([part.name for part in one.parts])} together" if len(one.parts) > 1 else ""
    said = [f"{who}: {often}{together}."]
    if one.vehicles > 1:
        said.append(f"All that comes at once is too heavy for one vehicle: it takes {one.vehicles}.")
    if one.priced and abs(found.saving.value) >= 0.5:
        words = f"{amount(found.saving, currency)} a year"
        said.append(
            f"That saves {words}." if found.saving.value > 0 else f"That costs {words} more, {_reason(one, before)}."
        )
    if found.pays_up_to is not None:
        pays = found.pays_up_to
        said.append(
            f"What a delivery costs is not given: it pays as long as one costs less than {amount(pays, currency)}."
            if pays.value > 0
            else f"What a delivery costs is not given: more of them do not pay by themselves, but are needed {_reason(one, before)}."
        )
    elif not one.priced and any(a.lot.value != b.lot.value for a, b in zip(before, after, strict=True)):
        said.append("What a delivery costs is not given, but there are no more of them than today.")
    if found.over is not None and found.over.value >= 0.5:
        said.append(f"The best that any rhythm could do, without containers, floor and room, is {amount(found.over, currency)} a year less.")  # fmt: skip
    return tuple(said)


def _reason(one: Brought, before: list[LaidOut]) -> str:
    """Why a plan is dearer than today: the first of these that holds."""
    pairs = list(zip(one.parts, before, strict=True))
    if any(part.safety.value > today.on_arrival.value + 0.5 for part, today in pairs):
        return "because more lies there against swings until a delivery comes, so that promises are kept"
    if any(
        part.room is not None and today.lot.value + today.on_arrival.value > part.room.value for part, today in pairs
    ):
        return "because what comes then fits, or nearly"
    return "because of what is wished, or of whole containers"
