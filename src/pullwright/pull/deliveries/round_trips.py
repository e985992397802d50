"""Suppliers that share a round trip: which trips are made, in which rhythm, and who delivers by himself.

Every supplier is called at by exactly one trip, or delivers by himself: all ways of covering them are tried (set partitioning; Balas & Padberg
1976, from memory), each trip at its own cheapest rhythm. Where all that comes at once is too heavy for the vehicle, it goes so often that it can
carry it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, inf

from pullwright.pull.deliveries.bound_by import Offer, cheapest_within
from pullwright.pull.deliveries.rhythm import Bought, Rhythm, SupplierRhythm, Terms, cheapest_rhythm, lots_of
from pullwright.pull.errors import BadPlanInput, NoSuchPlan


@dataclass(frozen=True, slots=True)
class RoundTrip:
    """A round trip that can be made: whom it calls at, what one costs (money), what the vehicle carries (kg)."""

    name: str
    suppliers: tuple[str, ...]
    costs: float
    carries: float = inf


@dataclass(frozen=True, slots=True)
class Driven:
    """One way of delivering that is taken: the `trip` (None: the supplier comes by himself), for whom, in what rhythm, with how many `vehicles`."""

    trip: RoundTrip | None
    suppliers: tuple[str, ...]
    rhythm: SupplierRhythm
    vehicles: int = 1


@dataclass(frozen=True, slots=True)
class RoundTrips:
    """The cheapest set of trips, what it `costs` in a year, and what it would cost if everybody came by himself (inf where somebody cannot)."""

    driven: tuple[Driven, ...]
    costs: float
    alone: float


def round_trips(
    suppliers: Mapping[str, Sequence[Bought]],
    own: Mapping[str, float],
    trips: Sequence[RoundTrip],
    terms: Terms,
    choices: Sequence[Rhythm],
) -> RoundTrips:
    """Which suppliers share which round trips, and how often is each made, so that a year costs the least?

    Parameters: `suppliers` with their parts; `own`, what a delivery by himself costs (money), for those who deliver themselves; the `trips` that
    can be made; `terms` (their `per_delivery` is not asked), and the rhythms that are allowed. Result: exact over all sets of trips and all lots.
    BadPlanInput for a trip to nobody known, or one name twice; NoSuchPlan where somebody neither delivers himself nor can be called at without
    calling twice at somebody else.

    >>> from pullwright.pull.deliveries.rhythm import rhythms
    >>> parts = {"north": [Bought("bar", 20, price=10.0)], "south": [Bought("plate", 20, price=10.0)]}
    >>> plan = round_trips(parts, {"north": 50.0, "south": 50.0}, [RoundTrip("milk", ("north", "south"), 60.0)], Terms(carrying=0.2), rhythms(5))
    >>> [one.suppliers for one in plan.driven], round(plan.alone - plan.costs)
    ([('north', 'south')], 500)
    """
    _check(suppliers, trips)
    ways: dict[tuple[str, ...], list[Driven]] = {}
    for name, parts in suppliers.items():
        if name in own:
            by_himself = cheapest_rhythm(parts, replace(terms, per_delivery=own[name]), choices)
            ways.setdefault((name,), []).append(Driven(None, (name,), by_himself))
    for trip in trips:
        called = tuple(name for name in suppliers if name in trip.suppliers)
        parts = [part for name in called for part in suppliers[name]]
        ways.setdefault(called, []).append(_trip(trip, called, parts, terms, choices))
    cheapest = {called: min(found, key=lambda one: one.rhythm.costs.total) for called, found in ways.items()}
    covers = [tuple(cheapest[called] for called in cover) for cover in _covers(tuple(suppliers), list(cheapest))]
    if not covers:
        raise _not_covered(suppliers, own, trips)
    best = min(covers, key=_total)
    everybody = all(name in own for name in suppliers)
    alone = sum(ways[(name,)][0].rhythm.costs.total for name in suppliers) if everybody else inf
    return RoundTrips(best, _total(best), alone)


def _total(driven: Sequence[Driven]) -> float:
    return sum(one.rhythm.costs.total for one in driven)


def _covers(left: tuple[str, ...], ways: list[tuple[str, ...]]) -> Iterator[tuple[tuple[str, ...], ...]]:
    """All ways of calling at each supplier exactly once."""
    if not left:
        yield ()
        return
    for called in ways:
        if left[0] in called and all(name in left for name in called):
            rest = tuple(name for name in left if name not in called)
            yield from ((called, *more) for more in _covers(rest, ways))


def _trip(
    trip: RoundTrip, called: tuple[str, ...], parts: Sequence[Bought], terms: Terms, choices: Sequence[Rhythm]
) -> Driven:
    """The cheapest rhythm of one trip, over all lots and all numbers of vehicles.

    For each bound on how often it goes, and each number of vehicles, the cheapest lots that they carry; the best of all pairs is the best of all
    lots, because one of the pairs is its own.
    """
    offers = [lots_of(part, terms, choices) for part in parts]
    best: Driven | None = None
    for most in sorted({one.a_year for lots in offers for one in lots}):
        within = [[one for one in lots if one.a_year <= most * (1 + 1e-12)] for lots in offers]
        if not all(within):
            continue
        named = [[Offer("", one.costs.total, one.mass, 0.0) for one in lots] for lots in within]
        free = cheapest_within(named)
        vehicles = _vehicles(free.floor, trip.carries)
        fewest = _vehicles(sum(min(one.mass for one in lots) for lots in within), trip.carries)
        for n in range(fewest, vehicles + 1):
            chosen = (free if n == vehicles else cheapest_within(named, floor=n * trip.carries)).chosen
            taken = tuple(lots[k] for lots, k in zip(within, chosen, strict=True))
            used = _vehicles(sum(one.mass for one in taken), trip.carries)
            found = Driven(trip, called, SupplierRhythm(taken, used * trip.costs), used)
            if best is None or found.rhythm.costs.total < best.rhythm.costs.total:
                best = found
    assert best is not None
    return best


def _vehicles(mass: float, carries: float) -> int:
    return max(ceil(mass / carries - 1e-9), 1)


def _check(suppliers: Mapping[str, Sequence[Bought]], trips: Sequence[RoundTrip]) -> None:
    names = [trip.name for trip in trips]
    for trip in trips:
        if names.count(trip.name) > 1:
            raise BadPlanInput(
                f"{trip.name!r} is the name of two round trips; allowed: names that stand once; rename one"
            )
        for name in trip.suppliers:
            if name not in suppliers:
                known = ", ".join(suppliers)
                raise BadPlanInput(
                    f"the round trip {trip.name!r} calls at {name!r}; those who bring something are {known}"
                )
        if not (trip.costs >= 0 and trip.carries > 0):
            raise BadPlanInput(
                f"the round trip {trip.name!r} costs {trip.costs:g} and carries {trip.carries:g} kg; allowed: from 0 on, and above 0"
            )


def _not_covered(
    suppliers: Mapping[str, Sequence[Bought]], own: Mapping[str, float], trips: Sequence[RoundTrip]
) -> NoSuchPlan:
    stuck = [name for name in suppliers if name not in own]
    called = {name for trip in trips for name in trip.suppliers}
    never = [name for name in stuck if name not in called]
    binding = tuple(
        f"{name} does not deliver by itself" + (", and no round trip calls there" if name in never else "")
        for name in stuck
    )
    return NoSuchPlan(
        f"no set of round trips calls at everybody exactly once: {'; '.join(binding)}",
        binding,
        f"it works once a price for a delivery of {(never or stuck)[0]} is given, or a round trip that calls there alone",
    )
