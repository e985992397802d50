"""The deliveries of a line: what each lot comes to today, in which rhythm each supplier should come, and what that saves in a year."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, inf

from pullwright.account.rows import total
from pullwright.figure import Figure, Source, derive, given
from pullwright.flow import Flow
from pullwright.pull.changes import Change
from pullwright.pull.deliveries.asked import AskedPart, AskedTerms, asked_parts, asked_terms
from pullwright.pull.deliveries.bound_by import Within
from pullwright.pull.deliveries.bringing import Brought, brought, most_a_week, usable_trips, within
from pullwright.pull.deliveries.laid_out import LaidOut, laid_out, settled_lot
from pullwright.pull.deliveries.of_supplier import SupplierDeliveries, supplier_deliveries
from pullwright.pull.deliveries.rhythm import in_containers
from pullwright.pull.deliveries.said import Missing, amount, missing, names, planned_says, today_says

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
class Deliveries:
    """The deliveries of a line. Money, m², person-s/wd; `saved_*` is today less planned.

    `missing`: what the line file does not say. `worth_of_floor` (money/year for a m²) and `worth_of_cash` (a year, as a share of it): what more of
    it would save, where the plan had to fit a limit; None where that limit does not bind.
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
    worth_of_floor: Figure | None = None
    worth_of_cash: Figure | None = None

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
        found += [one for one in (self.worth_of_floor, self.worth_of_cash) if one is not None]
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
    ... parts: [{name: plate, supplier: mill, price: 5 EUR, delivery_lot: 900, container: {holds: 100, floor: 1 m2}}]
    ... stations: [{name: press}]
    ... steps: [{name: bend, station: press, machine: 60 s}]
    ... stores: [{part: plate, capacity: 250, overflow: {distance: 30 m, batch: 50}}]
    ... '''))
    >>> plan = deliveries_of(flow)
    >>> plan.part("plate").says[0]
    'plate: 900 come at once and 250 fit: 72 % are carried 30 m away and back.'
    >>> plan.part("plate").planned.lot.text(), plan.saved_floor.text()
    ('200 pieces', '7 m²')
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
    suppliers = tuple(supplier_deliveries(flow, one, terms, today, planned) for one in plan)
    costs_today, costs, saving = _three(
        "cost", _YEAR, [one.costs_today for one in suppliers], [one.costs for one in suppliers]
    )
    sums = {
        key: _three(words, unit, [getattr(today[one.part], key) for one in parts], [getattr(planned[one.part], key) for one in parts])
        for key, words, unit in (("cash", "cash bound", "money"), ("floor", "floor bound", "m2"), ("hours", "carrying away and back a day", "person-s/wd"))
    }  # fmt: skip
    worth = _worth(bound, flow.line.currency)
    return Deliveries(
        found, suppliers, costs_today, costs, saving, *sums["cash"][1:], *sums["floor"][1:], *sums["hours"][1:],
        missing(flow, parts, terms, [today[one.part] for one in parts]), tuple(_changes(flow, found)),
        _says(flow, found, suppliers, saving), *worth,
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


def _says(
    flow: Flow,
    parts: tuple[PartDeliveries, ...],
    suppliers: tuple[SupplierDeliveries, ...],
    saving: Figure,
) -> tuple[str, ...]:
    if not parts:
        return ("No part is used: there is nothing to deliver.",)
    currency = flow.line.currency
    worst = max(parts, key=lambda one: one.today.share.value)
    said = [worst.says[0]] if worst.today.share.value > 0 else ["All that comes at once finds room."]
    changed = [one.name for one in parts if one.planned.lot.value != one.today.lot.value]
    if changed:
        word = "save" if saving.value >= 0 else "cost"
        said.append(f"Other lots of {names(changed)} {word} {amount(saving, currency)} a year{'' if saving.value >= 0 else ' more'}, as far as prices are given.")  # fmt: skip
    else:
        said.append("The lots stay as they are.")
    trips = () if flow.line.plan is None else flow.line.plan.deliveries.trips
    priced = [name for one in suppliers if one.at_least is not None for name in one.suppliers]
    driven = {one.trip for one in suppliers}
    left = [trips[k].name for k in usable_trips(flow, priced, [name for one in suppliers for name in one.suppliers]) if trips[k].name not in driven]  # fmt: skip
    if left:
        said.append(f"{names(left)} {'is' if len(left) == 1 else 'are'} not driven: without, a year costs less.")
    return tuple(said)


def _worth(bound: Within | None, currency: str) -> tuple[Figure | None, Figure | None]:
    """What more floor and more cash would be worth, where the plan had to fit them."""
    if bound is None:
        return None, None
    floor = f"the next better plan binds {bound.next_floor:.4g} m²"
    cash = f"the next better plan binds {bound.next_cash:.7g} {currency}"
    return (
        given("deliveries / worth of a square metre more", bound.worth_of_floor, "money/m2/year", Source("computed", floor)) if bound.worth_of_floor else None,
        given("deliveries / worth of cash more", bound.worth_of_cash, "1/year", Source("computed", cash)) if bound.worth_of_cash else None,
    )  # fmt: skip


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
