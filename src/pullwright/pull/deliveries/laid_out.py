"""One part in one way of delivering, as figures: what comes, what of it is carried away, what it binds, and what that costs in a year."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from pullwright.account.rows import nothing
from pullwright.figure import Figure, derive
from pullwright.pull.deliveries.asked import AskedPart, AskedTerms
from pullwright.pull.deliveries.bound_by import cash_bound, floor_bound
from pullwright.pull.deliveries.carried_away import share_away

When = Literal["today", "planned"]
_YEAR = "money/year"
ROWS = ("deliveries", "tied_up", "credit", "floor", "away")
"""The rows of what deliveries cost: those of a supplier begin with the deliveries themselves."""
WORDS = {
    "deliveries": "deliveries",
    "tied_up": "tied-up money",
    "credit": "suppliers that are paid later",
    "floor": "floor",
    "away": "carrying away and back",
}


@dataclass(frozen=True, slots=True)
class LaidOut:
    """One part, today or as planned.

    `lot` pieces come at once, `every` so many working days, when `on_arrival` pieces still lie there; `share` of all pieces is carried away and
    back, which takes `hours` (person-s/wd); `cash` (money) and `floor` (m²) are bound. Costs of a year: `tied_up` money, `credit` (below 0),
    `rent` of the floor, `away` and back; `costs` is their sum, without what deliveries cost.
    """

    lot: Figure
    every: Figure
    on_arrival: Figure
    share: Figure
    hours: Figure
    cash: Figure
    floor: Figure
    tied_up: Figure
    credit: Figure
    rent: Figure
    away: Figure
    costs: Figure

    def figures(self) -> tuple[Figure, ...]:
        """Give all of them."""
        return (
            self.lot, self.every, self.on_arrival, self.share, self.hours, self.cash, self.floor,
            self.tied_up, self.credit, self.rent, self.away, self.costs,
        )  # fmt: skip


def laid_out(part: AskedPart, terms: AskedTerms, when: When, lot: Figure, on_arrival: Figure) -> LaidOut:
    """What does a lot of a part come to?"""

    def named(words: str) -> str:
        return f"deliveries {when} / {words} / {part.name}"

    every = derive(named("time between two"), lambda q, u: q / u, lot, part.use, unit="wd", formula="lot / use a day")
    share = _share(named("share carried away and back"), part, lot, on_arrival)
    away = part.away
    if away is None:
        hours = nothing(
            named("carrying away and back a day"), "person-s/wd", "nobody has said where what does not fit goes"
        )
    else:
        hours = derive(
            named("carrying away and back a day"), lambda u, s, t: u * s * t, part.use, share, away,
            unit="person-s/wd", formula="use a day x share carried away x time for a piece",
        )  # fmt: skip
    owed = () if part.owed is None else (part.owed,)
    cash = derive(
        named("cash bound"), lambda q, s, p, u, *d: cash_bound(q, s, p, u, sum(d)), lot, on_arrival, part.price, part.use, *owed,
        unit="money", formula="(lot / 2 + stock on arrival) x price" + (" - use x price x working days until it is paid" if owed else ""),
    )  # fmt: skip
    if part.floor is None:
        floor = nothing(named("floor bound"), "m2", f"in what {part.name} lies is not given")
    else:
        floor = derive(
            named("floor bound"), floor_bound, lot, on_arrival, part.holds, part.stack, part.floor, unit="m2",
            formula="containers for lot + stock on arrival, rounded up, / stacked, rounded up, x floor of one",
        )  # fmt: skip
    tied_up = derive(
        named("cost of tied-up money"), lambda r, q, s, p: r * cash_bound(q, s, p, 0.0, 0.0), terms.carrying, lot, on_arrival, part.price,
        unit=_YEAR, formula="carrying rate x (lot / 2 + stock on arrival) x price",
    )  # fmt: skip
    if owed:
        credit = derive(
            named("saved by paying later"), lambda r, p, u, d: -r * u * p * d, terms.carrying, part.price, part.use, *owed,
            unit=_YEAR, formula="- carrying rate x use x price x working days until it is paid",
        )  # fmt: skip
    else:
        credit = nothing(named("saved by paying later"), _YEAR, "when it is paid is not given: at once, it is assumed")
    rent = derive(named("cost of floor"), lambda a, r: a * r, floor, terms.rent, unit=_YEAR, formula="floor x rent")
    paid = derive(
        named("cost of carrying away and back"), lambda h, w, d: h * w * d, hours, terms.wage, terms.days_a_year,
        unit=_YEAR, formula="hours a day x average wage x working days per year",
    )  # fmt: skip
    costs = derive(
        named("cost without the deliveries themselves"), lambda *v: sum(v), tied_up, credit, rent, paid, unit=_YEAR,
        formula="tied-up money + suppliers paid later (below 0) + floor + carrying away and back",
    )  # fmt: skip
    return LaidOut(lot, every, on_arrival, share, hours, cash, floor, tied_up, credit, rent, paid, costs)


def _share(name: str, part: AskedPart, lot: Figure, on_arrival: Figure) -> Figure:
    if part.room is None:
        return nothing(name, "share", f"how many of {part.name} fit at the line is not given")
    return derive(
        name, share_away, lot, part.room, on_arrival, part.swing, unit="share",
        formula="what the lot and the stock on arrival, with its swing, are above the room, at most the lot, / lot",
    )  # fmt: skip


def settled_lot(part: AskedPart, pieces: float, words: str) -> Figure:
    """The planned lot: a decision, settled for the likely use, and no wider than one number."""

    def settled(*_: Any) -> Any:
        return pieces

    return derive(
        f"deliveries planned / lot / {part.name}", settled, part.use, part.holds, *(() if part.room is None else (part.room,)),
        unit="pieces", formula=words,
    )  # fmt: skip
