"""How often a supplier delivers: what each rhythm costs in a year, row by row, and which one is the cheapest.

Every part comes in lots of whole containers. The part that comes most often sets how often the supplier comes; the others ride along. Searched
are all rhythms for every part, exactly: for each bound on how often the supplier comes, each part takes its cheapest lot within it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil, inf

from pullwright.pull.deliveries.bound_by import Offer, cash_bound, combined, floor_bound
from pullwright.pull.deliveries.carried_away import share_away
from pullwright.pull.errors import BadPlanInput

WEEKS = (2, 3, 4)
"""Rhythms of fewer than one delivery a week: one every so many weeks."""


@dataclass(frozen=True, slots=True, order=True)
class Rhythm:
    """So many deliveries in so many weeks; one of the two is 1."""

    weeks: int
    deliveries: int

    def days(self, days_a_week: float) -> float:
        """Working days from one delivery to the next."""
        return self.weeks * days_a_week / self.deliveries

    def words(self, days_a_week: float = inf) -> str:
        """As a person says it.

        >>> Rhythm(1, 2).words(), Rhythm(3, 1).words(), Rhythm(1, 5).words(5)
        ('2 deliveries a week', 'one delivery every 3 weeks', 'one delivery every working day')
        """
        if self.weeks > 1:
            return f"one delivery every {self.weeks} weeks"
        if self.deliveries == days_a_week:
            return "one delivery every working day"
        return "one delivery a week" if self.deliveries == 1 else f"{self.deliveries} deliveries a week"


def rhythms(most_a_week: int, weeks: Iterable[int] = WEEKS) -> tuple[Rhythm, ...]:
    """Which rhythms are there, from the rarest to `most_a_week` deliveries a week? BadPlanInput for fewer than 1.

    >>> [(one.deliveries, one.weeks) for one in rhythms(3)]
    [(1, 4), (1, 3), (1, 2), (1, 1), (2, 1), (3, 1)]
    """
    if most_a_week < 1:
        raise BadPlanInput(f"at most {most_a_week} deliveries a week were read; allowed: 1 or more")
    rare = [Rhythm(k, 1) for k in sorted(set(weeks), reverse=True)]
    return (*rare, *(Rhythm(1, n) for n in range(1, most_a_week + 1)))


@dataclass(frozen=True, slots=True)
class Bought:
    """One part that a supplier brings, in plain numbers.

    `use` (pieces/wd); `price` (money/piece); `safety`: pieces that still lie there when a delivery comes, on average, and their `swing` from
    delivery to delivery (pieces); a container `holds` so many, takes `floor` (m²) and is stacked `stack` high; `room` for so many pieces at the
    line; a piece carried away and back takes `away` (person-s), and None says that nobody knows where it would go: then only what fits is
    ordered, or as little as can be; it is paid `owed` working days after it came; it weighs `mass` (kg). `today`: so many come at once today.
    """

    name: str
    use: float
    price: float = 0.0
    safety: float = 0.0
    swing: float = 0.0
    holds: float = 1
    floor: float = 0.0
    stack: float = 1
    room: float = inf
    away: float | None = 0.0
    owed: float = 0.0
    mass: float = 0.0
    today: float | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """What things cost: a delivery (`per_delivery`, money), tied-up cash (`carrying`, share a year), floor (`rent`, money/m2/year), hours
    (`wage`, money/s); and the working days of a year and a week."""

    per_delivery: float = 0.0
    carrying: float = 0.0
    rent: float = 0.0
    wage: float = 0.0
    days_a_year: float = 250.0
    days_a_week: float = 5.0


@dataclass(frozen=True, slots=True)
class Costs:
    """What a rhythm costs in a year (money), in rows that add up: `credit` is what the supplier's patience saves, at 0 or below."""

    deliveries: float
    tied_up: float
    credit: float
    floor: float
    away: float

    @property
    def total(self) -> float:
        """All of it."""
        return self.deliveries + self.tied_up + self.credit + self.floor + self.away


@dataclass(frozen=True, slots=True)
class Lot:
    """One part in lots of so many pieces: how often a year they come, which `share` is carried away and back, the cash and floor that are bound
    (money, m²), what a delivery of it weighs (kg), whether it `fits` the room with what still lies there, and what it costs without deliveries."""

    part: Bought
    pieces: float
    a_year: float
    share: float
    cash: float
    floor: float
    mass: float
    fits: bool
    costs: Costs


@dataclass(frozen=True)
class SupplierRhythm:
    """All parts of a supplier, each in its lots. `per_delivery`: what a delivery costs, times as many vehicles as it takes."""

    lots: tuple[Lot, ...]
    per_delivery: float

    @cached_property
    def a_year(self) -> float:
        """Deliveries in a year: as many as the part has that comes most often."""
        return max(one.a_year for one in self.lots)

    @cached_property
    def costs(self) -> Costs:
        """What it costs in a year."""
        rows = [one.costs for one in self.lots]
        return Costs(
            self.per_delivery * self.a_year,
            *(sum(getattr(row, key) for row in rows) for key in ("tied_up", "credit", "floor", "away")),
        )

    @property
    def cash(self) -> float:
        """The cash that it binds (money)."""
        return sum(one.cash for one in self.lots)

    @property
    def floor(self) -> float:
        """The floor that it binds (m²)."""
        return sum(one.floor for one in self.lots)

    @property
    def mass(self) -> float:
        """What the fullest delivery weighs (kg): all parts at once."""
        return sum(one.mass for one in self.lots)


def in_containers(pieces: float, holds: float) -> float:
    """As many pieces as whole containers hold that carry at least so many; one container at least.

    >>> in_containers(147.5, 25), in_containers(3, 70)
    (150, 70)
    """
    return max(ceil(pieces / holds - 1e-9), 1) * holds


def lot_of(part: Bought, pieces: float, terms: Terms) -> Lot:
    """What does it come to when so many pieces of a part come at once? BadPlanInput for a use, a lot or a container that is not above 0."""
    for name, value in (("use", part.use), ("lot", pieces), ("container", part.holds)):
        if not value > 0:
            raise BadPlanInput(f"{part.name}: a {name} of {value:g} pieces was read; allowed: above 0")
    share = float(share_away(pieces, part.room, part.safety, part.swing))
    owed = part.use * part.price * part.owed
    cash = float(cash_bound(pieces, part.safety, part.price, part.use, part.owed))
    floor = float(floor_bound(pieces, part.safety, part.holds, part.stack, part.floor))
    costs = Costs(
        0.0,
        terms.carrying * (cash + owed),
        -terms.carrying * owed,
        terms.rent * floor,
        terms.days_a_year * part.use * share * (part.away or 0.0) * terms.wage,
    )
    fits = pieces + part.safety <= part.room + 1e-9
    return Lot(part, pieces, terms.days_a_year * part.use / pieces, share, cash, floor, pieces * part.mass, fits, costs)


def lots_of(part: Bought, terms: Terms, choices: Sequence[Rhythm]) -> tuple[Lot, ...]:
    """In which lots can a part come? One for each rhythm, in whole containers, and today's, where those allow it; the largest lot first."""
    sizes = {in_containers(part.use * one.days(terms.days_a_week), part.holds) for one in choices}
    if part.today and part.today >= min(sizes) and part.today == in_containers(part.today, part.holds):
        sizes.add(part.today)
    lots = tuple(lot_of(part, size, terms) for size in sorted(sizes, reverse=True))
    fitting = tuple(one for one in lots if one.fits)
    return lots if part.away is not None else fitting or lots[-1:]


def ways_of(parts: Sequence[Bought], terms: Terms, choices: Sequence[Rhythm]) -> tuple[SupplierRhythm, ...]:
    """In which lots can the parts of a supplier come, leaving out what another way beats in costs, floor and cash alike? The cheapest first.

    The deliveries cost as much as the part makes necessary that comes most often: for each bound on that, all lots within it are combined.
    BadPlanInput where no part or no rhythm is given.
    """
    offers = [lots_of(part, terms, choices) for part in parts]
    if not offers:
        raise BadPlanInput("no part was read; allowed: one or more that come together")
    found: dict[tuple[float, ...], SupplierRhythm] = {}
    for most in sorted({one.a_year for lots in offers for one in lots}):
        within = [[one for one in lots if one.a_year <= most * (1 + 1e-12)] for lots in offers]
        if all(within):
            named = [[Offer("", one.costs.total, one.floor, one.cash) for one in lots] for lots in within]
            for chosen, _ in combined(named):
                taken = tuple(lots[k] for lots, k in zip(within, chosen, strict=True))
                found.setdefault(tuple(one.pieces for one in taken), SupplierRhythm(taken, terms.per_delivery))
    ways = sorted(found.values(), key=lambda one: (one.costs.total, one.a_year))
    kept: list[SupplierRhythm] = []
    for way in ways:
        if not any(other.floor <= way.floor and other.cash <= way.cash for other in kept):
            kept.append(way)
    return tuple(kept)


def cheapest_rhythm(parts: Sequence[Bought], terms: Terms, choices: Sequence[Rhythm]) -> SupplierRhythm:
    """In which lots should the parts of a supplier come, so that a year costs the least?

    Parameters: `parts` that come together, `terms`, the rhythms that are allowed. Result: the cheapest of all combinations of lots, exact.

    >>> tube = Bought("tube", use=30, price=31.4, safety=41, holds=25, floor=0.9, stack=2, room=200, away=11.3)
    >>> terms = Terms(per_delivery=60.0, carrying=0.16, rent=102.0, wage=26 / 3600, days_a_year=252)
    >>> plan = cheapest_rhythm([tube], terms, rhythms(5))
    >>> plan.lots[0].pieces, round(plan.a_year), round(plan.costs.total)
    (300, 25, 3404)
    """
    return ways_of(parts, terms, choices)[0]


def fitting_rhythm(parts: Sequence[Bought], terms: Terms, choices: Sequence[Rhythm]) -> SupplierRhythm:
    """In which lots should they come where nobody knows what a delivery costs? As rarely as the room at the line allows, and as today if it does.

    Each part comes in the largest lot, up to today's, that fits with what still lies there; where none fits, in the smallest one.

    >>> tube = Bought("tube", use=30, safety=41, holds=25, room=200, today=600)
    >>> fitting_rhythm([tube], Terms(), rhythms(5)).lots[0].pieces
    150
    """
    taken = []
    for part in parts:
        lots = lots_of(part, terms, choices)
        wanted = [one for one in lots if part.today is None or one.pieces <= part.today]
        taken.append(next((one for one in wanted if one.fits), lots[-1]))
    return SupplierRhythm(tuple(taken), terms.per_delivery)
