"""The deliveries of a line: what each lot comes to today, in which rhythm each supplier should come, and what that saves in a year."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, inf
from typing import Any

import numpy as np

from pullwright.account.rows import total
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.pull.changes import Change
from pullwright.pull.deliveries.asked import AskedPart, AskedTerms, asked_parts, asked_terms, no_price
from pullwright.pull.deliveries.bound_by import Within
from pullwright.pull.deliveries.bringing import Brought, brought, most_a_week, within
from pullwright.pull.deliveries.joint import least_of_one
from pullwright.pull.deliveries.laid_out import ROWS, WORDS, LaidOut, When, laid_out, settled_lot
from pullwright.pull.deliveries.rhythm import in_containers
from pullwright.pull.deliveries.said import Missing, missing, names, planned_says, today_says

_YEAR = "money/year"


@dataclass(frozen=True, slots=True)
class PartDeliveries:
    """One part: how it comes `today` and as `planned`, and when it is ordered (`order_at`, pieces).

    `part`: its index in the line file. `saving` (money/year), without what deliveries themselves cost: those are the supplier's.
    """

    part: int
    name: str
    supplier: str
    use: Figure
    order_at: Figure
    today: LaidOut
    planned: LaidOut
    saving: Figure
    says: tuple[str, ...]


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


@dataclass(frozen=True, slots=True)
class Deliveries:
    """The deliveries of a line. Money, m², person-s/wd; `saved_*` is today less planned.

    `within`: what more floor or cash would be worth, where the plan had to fit limits. `missing`: what the line file does not say.
    """

    parts: tuple[PartDeliveries, ...]
    suppliers: tuple[SupplierDeliveries, ...]
    costs_today: Figure
    costs: Figure
    saving: Figure
    cash: Figure
    saved_cash: Figure
    floor: Figure
    saved_floor: Figure
    hours: Figure
    saved_hours: Figure
    missing: tuple[Missing, ...]
    changes: tuple[Change, ...]
    says: tuple[str, ...]
    within: Within | None = None

    def part(self, name: str) -> PartDeliveries:
        """Find a part by its name; KeyError names those that there are."""
        for one in self.parts:
            if one.name == name:
                return one
        raise KeyError(f"no part {name!r} is used; those that are: {', '.join(one.name for one in self.parts)}")

    def figures(self) -> dict[str, Figure]:
        """Give all figures by name."""
        found = [
            self.costs_today, self.costs, self.saving, self.cash, self.saved_cash, self.floor, self.saved_floor,
            self.hours, self.saved_hours,
        ]  # fmt: skip
        for supplier in self.suppliers:
            found += supplier.figures()
        for part in self.parts:
            found += [part.use, part.order_at, *part.today.figures(), *part.planned.figures(), part.saving]
        return {figure.name: figure for figure in found}


def deliveries_of(flow: Flow, floor: float = inf, cash: float = inf) -> Deliveries:
    """In which lots, and how often, should each supplier deliver, what does that save in a year, and why?

    Parameters: the flow of a line; `floor` (m²) and `cash` (money) that all bought parts together may bind, without a limit where nothing is
    said. Result: per part and per supplier today's way and the plan, as figures, with sentences, the changes of the line file, and what is not
    known. NoSuchPlan where no rhythm fits the limits. Sources: Harris 1913; Silver, Pyke & Peterson, chapters 5, 7 and 11 (from memory).

    >>> from pullwright.flow import flow_of
    >>> from pullwright.line import Line
    >>> flow = flow_of(Line.from_text('''
    ... line: brackets
    ... calendar: {shifts: [{name: day, from: "08:00", to: "16:00"}]}
    ... products: [{name: bracket, demand: 40 /d, uses: [{part: plate, quantity: 1, at: bend}]}]
    ... suppliers: [{name: mill}]
    ... parts: [{name: plate, supplier: mill, price: 5 EUR, delivery_lot: 1200, container: {holds: 100, floor: 1 m2}}]
    ... stations: [{name: press}]
    ... steps: [{name: bend, station: press, machine: 60 s}]
    ... stores: [{part: plate, capacity: 250, overflow: {distance: 30 m, batch: 50}}]
    ... '''))
    >>> plan = deliveries_of(flow)
    >>> plan.part("plate").says[0]
    'plate: 1 200 come at once and 250 fit: 79 % are carried 30 m away and back.'
    >>> plan.part("plate").planned.lot.text(), plan.saved_floor.text()
    ('200 pieces', '10 m²')
    """
    parts, terms = asked_parts(flow), asked_terms(flow)
    plan, bound = within(flow, brought(flow, parts, terms), terms, floor, cash) if parts else ((), None)
    today = {one.part: laid_out(one, terms, "today", one.lot, one.on_arrival) for one in parts}
    planned = {
        part.part: laid_out(part, terms, "planned", settled_lot(part, lot.pieces, _why(part, one)), part.safety)
        for one in plan
        for part, lot in zip(one.parts, one.rhythm.lots, strict=True)
    }
    found = tuple(_part(flow, one, today[one.part], planned[one.part], terms) for one in parts)
    suppliers = tuple(_supplier(flow, one, terms, today, planned) for one in plan)
    costs_today, costs, saving = _three(
        "cost", _YEAR, [one.costs_today for one in suppliers], [one.costs for one in suppliers]
    )
    sums = {
        key: _three(words, unit, [getattr(today[one.part], key) for one in parts], [getattr(planned[one.part], key) for one in parts])
        for key, words, unit in (("cash", "cash bound", "money"), ("floor", "floor bound", "m2"), ("hours", "carrying away and back a day", "person-s/wd"))
    }  # fmt: skip
    return Deliveries(
        found, suppliers, costs_today, costs, saving, *sums["cash"][1:], *sums["floor"][1:], *sums["hours"][1:],
        missing(flow, parts, terms, [today[one.part] for one in parts]), tuple(_changes(flow, found)),
        _says(flow, found, suppliers, saving, bound), bound,
    )  # fmt: skip


def _three(words: str, unit: str, before: list[Figure], after: list[Figure]) -> tuple[Figure, Figure, Figure]:
    """Today's sum, the planned one, and what is saved."""
    today = total(f"deliveries today / {words}", before, unit, why_none="no part is used")
    planned = total(f"deliveries planned / {words}", after, unit, why_none="no part is used")
    saved = f"deliveries / saved / {words}"
    return today, planned, derive(saved, lambda a, b: a - b, today, planned, unit=unit, formula="today - planned")


def _why(part: AskedPart, one: Brought) -> str:
    holds = "whole containers" if part.floor is not None else "whole pieces"
    if one.priced:
        return f"in {holds}, the lot with which a year costs the least; settled for the likely use"
    return (
        f"in {holds}, the largest lot, up to today's, that fits with what still lies there; settled for the likely use"
    )


def _part(flow: Flow, one: AskedPart, today: LaidOut, planned: LaidOut, terms: AskedTerms) -> PartDeliveries:
    saving = derive(
        f"deliveries / saved without the deliveries themselves / {one.name}", lambda a, b: a - b, today.costs, planned.costs,
        unit=_YEAR, formula="cost today - cost as planned",
    )  # fmt: skip
    smallest = in_containers(one.use.value * terms.days_a_week.value / most_a_week(flow), one.holds.value)
    says = (today_says(one, today), planned_says(flow, one, today, planned, smallest))
    supplier = "" if one.supplier is None else flow.line.suppliers[one.supplier].name
    return PartDeliveries(one.part, one.name, supplier, one.use, one.point, today, planned, saving, says)


def _supplier(
    flow: Flow, one: Brought, terms: AskedTerms, today: dict[int, LaidOut], planned: dict[int, LaidOut]
) -> SupplierDeliveries:
    trip = "" if one.trip is None else flow.line.plan.deliveries.trips[one.trip].name  # type: ignore[union-attr]
    name = trip or names(one.suppliers)
    before = [today[part.part] for part in one.parts]
    after = [planned[part.part] for part in one.parts]
    every = derive(
        f"deliveries planned / time between two / {name}", lambda *v: np.minimum.reduce(list(v)), *(lot.every for lot in after), unit="wd",
        formula="that of the part that comes most often; the others come along",
    )  # fmt: skip
    a_year = derive(
        f"deliveries planned / a year / {name}", lambda e, d: d / e, every, terms.days_a_year, unit="deliveries/year",
        formula="working days per year / time between two",
    )  # fmt: skip
    a_week = derive(
        f"deliveries planned / a week / {name}", lambda e, d: d / e, every, terms.days_a_week, unit="deliveries/week",
        formula="working days in a full week / time between two",
    )  # fmt: skip
    a_year_today = derive(
        f"deliveries today / a year / {name}", lambda d, *e: sum(d / each for each in e), terms.days_a_year, *(lot.every for lot in before),
        unit="deliveries/year", formula="working days per year / time between two, each part by itself",
    )  # fmt: skip
    own = {part.part: _own_price(flow, part, terms) for part in one.parts}
    paid_today = derive(
        f"deliveries today / cost of deliveries / {name}", lambda d, *v: sum(d / v[k] * v[k + 1] for k in range(0, len(v), 2)), terms.days_a_year,
        *(figure for part, lot in zip(one.parts, before, strict=True) for figure in (lot.every, own[part.part])),
        unit=_YEAR, formula="working days per year / time between two x cost of one delivery, each part by itself",
    )  # fmt: skip
    price = own[one.parts[0].part]
    if one.trip is not None:
        price = flow.givens.figure(("plan", "deliveries", "trips", one.trip, "per_trip"))
    paid = derive(
        f"deliveries planned / cost of deliveries / {name}", _times(one.vehicles), a_year, price, unit=_YEAR,
        formula="deliveries a year x cost of one" + (f" x {one.vehicles} vehicles" if one.vehicles > 1 else ""),
    )  # fmt: skip
    rows_today = _rows("today", name, paid_today, before)
    rows = _rows("planned", name, paid, after)
    costs_today = total(f"deliveries today / cost / {name}", rows_today.values(), _YEAR, "sum of its rows")
    costs = total(f"deliveries planned / cost / {name}", rows.values(), _YEAR, "sum of its rows")
    saving = derive(f"deliveries / saved / {name}", lambda a, b: a - b, costs_today, costs, unit=_YEAR, formula="cost today - cost as planned")  # fmt: skip
    at_least = _at_least(name, one, terms, price) if one.priced else None
    over = None if at_least is None else derive(
        f"deliveries planned / above the least / {name}", lambda c, n: c - n, costs, at_least, unit=_YEAR, formula="cost as planned - what no rhythm undercuts",
    )  # fmt: skip
    as_today = all(a.lot.value == b.lot.value for a, b in zip(before, after, strict=True))
    pays = None if one.priced or not a_year.value > a_year_today.value * (1 + 1e-9) else derive(
        f"deliveries / what one may cost / {name}", lambda s, n, m: s / np.maximum(n - m, 1e-12), saving, a_year, a_year_today,
        unit="money/delivery", formula="saved without the deliveries themselves / deliveries more in a year",
    )  # fmt: skip
    return SupplierDeliveries(
        name, one.suppliers, trip, tuple(part.part for part in one.parts), one.vehicles, a_year_today, a_year, a_week, every,
        rows_today, rows, costs_today, costs, saving, at_least, over, pays,
        _supplier_says(name, one, trip, a_week, every, saving, over, pays, as_today, flow.line.currency),
    )  # fmt: skip


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


def _supplier_says(
    name: str, one: Brought, trip: str, a_week: Figure, every: Figure, saving: Figure,
    over: Figure | None, pays: Figure | None, as_today: bool, currency: str,
) -> tuple[str, ...]:  # fmt: skip
    often = f"{a_week.parts().value} a week" if a_week.value >= 0.95 else f"one every {every.short()}"
    who = f"{trip} calls at {names(one.suppliers)}" if trip else f"{name} delivers"
    said = [f"{who}: {often}, {names([part.name for part in one.parts])} together." if len(one.parts) > 1 else f"{who}: {often}."]  # fmt: skip
    if one.vehicles > 1:
        said.append(f"All that comes at once is too heavy for one vehicle: it takes {one.vehicles}.")
    if one.priced and abs(saving.value) >= 0.5:
        word = "saves" if saving.value > 0 else "costs"
        tail = "" if saving.value > 0 else " more, but what comes then fits"
        said.append(f"That {word} {_money(saving, currency)} a year{tail}.")
    if pays is not None:
        if pays.value > 0:
            said.append(f"What a delivery costs is not given: it pays as long as one costs less than {pays.short(currency).removesuffix('/delivery')}.")  # fmt: skip
        else:
            said.append(
                "What a delivery costs is not given: more deliveries do not pay here, but what comes then fits."
            )
    elif not one.priced and not as_today:
        said.append("What a delivery costs is not given, but there are no more of them than today.")
    if over is not None and over.value >= 0.5:
        said.append(f"No rhythm could cost less than this one by more than {_money(over, currency)} a year, which goes into floor, whole containers and carrying.")  # fmt: skip
    return tuple(said)


def _money(figure: Figure, currency: str) -> str:
    value = figure.short(currency).removesuffix("/year")
    return value.lstrip("\u2212")


def _says(
    flow: Flow,
    parts: tuple[PartDeliveries, ...],
    suppliers: tuple[SupplierDeliveries, ...],
    saving: Figure,
    bound: Within | None,
) -> tuple[str, ...]:
    if not parts:
        return ("No part is used: there is nothing to deliver.",)
    currency = flow.line.currency
    worst = max(parts, key=lambda one: one.today.share.value)
    said = [worst.says[0]] if worst.today.share.value > 0 else ["All that comes at once finds room."]
    changed = [one.name for one in parts if one.planned.lot.value != one.today.lot.value]
    if changed:
        word = "save" if saving.value >= 0 else "cost"
        said.append(f"Other lots of {names(changed)} {word} {_money(saving, currency)} a year{'' if saving.value >= 0 else ' more'}, as far as prices are given.")  # fmt: skip
    else:
        said.append("The lots stay as they are.")
    if bound is not None:
        said.append(f"The plan had to fit: it binds {bound.floor:.3g} m² and {bound.cash:.6g} {currency}.")
        if bound.worth_of_floor > 0:
            said.append(f"A square metre more would save {bound.worth_of_floor:.3g} {currency} a year, up to {bound.next_floor:.3g} m².")  # fmt: skip
        if bound.worth_of_cash > 0:
            said.append(
                f"{currency} 100 more would save {100 * bound.worth_of_cash:.3g} a year, up to {bound.next_cash:.6g}."
            )
    return tuple(said)


def _changes(flow: Flow, parts: tuple[PartDeliveries, ...]) -> list[Change]:
    found = []
    for one in parts:
        lot, at = one.planned.lot.value, float(ceil(one.order_at.value - 1e-9))
        typed = flow.line.parts[one.part].order_at
        moved = lot != one.today.lot.value
        if moved:
            found.append(Change(("parts", one.part, "delivery_lot"), _whole(lot), one.says[1]))
        if (moved and typed is None) or (typed is not None and typed.value != at):
            because = f"{one.name}: what is used until a delivery comes, and {one.planned.on_arrival.short()} against its swings"
            found.append(Change(("parts", one.part, "order_at"), _whole(at), because + "."))
    return found


def _whole(number: float) -> int | float:
    return int(number) if number == int(number) else number
