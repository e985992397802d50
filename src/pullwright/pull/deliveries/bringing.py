"""Who brings which parts in the plan: a supplier by himself, or a round trip, with the lots that were chosen for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, inf

from pullwright.flow import Flow
from pullwright.line.wishes import Trip
from pullwright.pull.deliveries.asked import AskedPart, AskedTerms
from pullwright.pull.deliveries.bound_by import Offer, Within, cheapest_within
from pullwright.pull.deliveries.rhythm import Rhythm, SupplierRhythm, fitting_rhythm, rhythms, ways_of
from pullwright.pull.deliveries.round_trips import RoundTrip, round_trips


@dataclass(frozen=True, slots=True)
class Brought:
    """What comes together: the `trip` by its place among the wishes (None: a supplier by himself), the `suppliers` by name, their `parts`.

    `rhythm`: the lots that were chosen, part by part; `vehicles` that it takes; `priced`: is it known what a delivery costs?
    """

    trip: int | None
    suppliers: tuple[str, ...]
    parts: tuple[AskedPart, ...]
    rhythm: SupplierRhythm
    vehicles: int = 1
    priced: bool = True


def most_a_week(flow: Flow) -> int:
    """How many deliveries a week may there be: as many as are wished, else one every working day."""
    wished = None if flow.line.plan is None else flow.line.plan.deliveries.a_week
    return len(flow.line.work_calendar.working_weekdays) if wished is None else wished


def supplier_name(flow: Flow, part: AskedPart) -> str:
    """Who brings a part; where nobody has said, each such part has a supplier of its own."""
    return f"whoever brings {part.name}" if part.supplier is None else flow.line.suppliers[part.supplier].name


def by_supplier(flow: Flow, parts: Sequence[AskedPart]) -> dict[str, list[AskedPart]]:
    """Parts by who brings them, in the order of the file."""
    found: dict[str, list[AskedPart]] = {}
    for part in parts:
        found.setdefault(supplier_name(flow, part), []).append(part)
    return found


def usable_trips(flow: Flow, priced: Sequence[str], bring: Sequence[str]) -> tuple[int, ...]:
    """Which wished round trips can be weighed? Those of which everybody who brings something has a price for coming by himself."""
    trips = () if flow.line.plan is None else flow.line.plan.deliveries.trips
    return tuple(
        k
        for k, trip in enumerate(trips)
        if any(name in bring for name in trip.suppliers)
        and all(name in priced for name in trip.suppliers if name in bring)
    )


def brought(flow: Flow, parts: Sequence[AskedPart], terms: AskedTerms) -> tuple[Brought, ...]:
    """Who brings what, in which lots, so that a year costs the least?

    Suppliers whose deliveries have a price take the cheapest rhythm, by themselves or on a round trip; the others come as rarely as the room
    at the line allows, and as today if it does.
    """
    groups, choices = by_supplier(flow, parts), rhythms(most_a_week(flow))
    priced = {
        name: terms.per_delivery[own[0].supplier].value
        for name, own in groups.items()
        if own[0].supplier is not None and own[0].supplier in terms.per_delivery
    }
    found = [
        Brought(None, (name,), tuple(own), fitting_rhythm([one.bought() for one in own], terms.terms(), choices), priced=False)
        for name, own in groups.items()
        if name not in priced
    ]  # fmt: skip
    if priced:
        usable = usable_trips(flow, list(priced), list(groups))
        plan = round_trips(
            {name: [one.bought() for one in groups[name]] for name in priced},
            priced,
            [_trip(flow, k, parts, list(groups)) for k in usable],
            terms.terms(),
            choices,
        )
        for one in plan.driven:
            own_parts = tuple(part for name in one.suppliers for part in groups[name])
            at = None if one.trip is None else next(k for k in usable if wished_trip(flow, k).name == one.trip.name)
            found.append(Brought(at, one.suppliers, own_parts, one.rhythm, one.vehicles))
    order = list(groups)
    return tuple(sorted(found, key=lambda one: order.index(one.suppliers[0])))


def wished_trip(flow: Flow, k: int) -> Trip:
    """The round trip at this place among the wishes."""
    assert flow.line.plan is not None
    return flow.line.plan.deliveries.trips[k]


def carries_of(flow: Flow, k: int | None, parts: Sequence[AskedPart]) -> float:
    """What the vehicle of a round trip carries (kg); without end where that, or a mass of its parts, is not given."""
    if k is None or wished_trip(flow, k).carries is None or any(part.mass is None for part in parts):
        return inf
    return flow.givens.figure(("plan", "deliveries", "trips", k, "carries")).value


def _trip(flow: Flow, k: int, parts: Sequence[AskedPart], bring: Sequence[str]) -> RoundTrip:
    trip = wished_trip(flow, k)
    called = tuple(dict.fromkeys(name for name in trip.suppliers if name in bring))
    own = [part for part in parts if supplier_name(flow, part) in called]
    costs = flow.givens.figure(("plan", "deliveries", "trips", k, "per_trip")).value
    return RoundTrip(trip.name, called, costs, carries_of(flow, k, own))


def within(
    flow: Flow, plan: tuple[Brought, ...], terms: AskedTerms, floor: float, cash: float
) -> tuple[tuple[Brought, ...], Within | None]:
    """The same round trips in other lots, so that all of it fits a floor (m²) and cash (money); the plan as it is where it fits already.

    NoSuchPlan where nothing does, with the least that would do.
    """
    bound = (sum(one.rhythm.floor for one in plan), sum(one.rhythm.cash for one in plan))
    if bound[0] <= floor + 1e-9 and bound[1] <= cash + 1e-6:
        return plan, None
    choices = rhythms(most_a_week(flow))
    ways = [_ways(flow, one, terms, choices) for one in plan]
    found = cheapest_within(
        [[Offer("", way.rhythm.costs.total, way.rhythm.floor, way.rhythm.cash) for way in group] for group in ways], floor, cash
    )  # fmt: skip
    return tuple(group[k] for group, k in zip(ways, found.chosen, strict=True)), found


def _ways(flow: Flow, one: Brought, terms: AskedTerms, choices: Sequence[Rhythm]) -> list[Brought]:
    per_delivery = one.rhythm.per_delivery / one.vehicles
    carries = carries_of(flow, one.trip, one.parts)
    found = []
    for way in ways_of([part.bought() for part in one.parts], terms.terms(per_delivery), choices):
        vehicles = max(ceil(way.mass / carries - 1e-9), 1)
        found.append(replace(one, rhythm=replace(way, per_delivery=per_delivery * vehicles), vehicles=vehicles))
    return found
