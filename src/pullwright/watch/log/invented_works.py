"""What an invented works is made of: stations, steps, products, calendar. All of it made up, so that the truth is known."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pullwright.line.calendar import WorkCalendar


@dataclass(frozen=True, slots=True)
class MadeStation:
    """A station: its like machines; each runs `between` seconds on average before it stands for `repair` (0: never)."""

    name: str
    machines: int = 1
    between: float = 0.0
    repair: float = 0.0


@dataclass(frozen=True, slots=True)
class MadeStep:
    """A step: seconds a piece, how they spread from lot to lot, set-up at a change of product, what goes wrong.

    `per_piece` is for the first product; `times` gives other products their factor. `rework` is the share of visits
    after which the whole lot goes back to the step `back_to`.
    """

    name: str
    station: str
    per_piece: float
    cv: float
    setup: float = 0.0
    setup_cv: float = 0.2
    scrap: float = 0.0
    rework: float = 0.0
    back_to: str = ""
    times: tuple[tuple[str, float], ...] = ()
    skipped_by: tuple[str, ...] = ()

    def mean(self, product: str) -> float:
        """Seconds a piece of one product."""
        return self.per_piece * dict(self.times).get(product, 1.0)


PRODUCTS = (("P-32", 0.5), ("P-40", 0.32), ("P-50", 0.18))
STATIONS = (
    MadeStation("saw"),
    MadeStation("lathe", 1, 216_000.0, 3_000.0),
    MadeStation("honing machine", 1, 64_800.0, 4_200.0),
    MadeStation("polishing bench"),
    MadeStation("welding booth"),
    MadeStation("assembly bench", 2),
    MadeStation("test rig"),
    MadeStation("paint booth"),
    MadeStation("packing table"),
)
STEPS = (
    MadeStep("saw tube", "saw", 420.0, 0.10, setup=720.0, scrap=0.008),
    MadeStep("turn ends", "lathe", 560.0, 0.12, setup=1_500.0, scrap=0.012),
    MadeStep("hone bore", "honing machine", 640.0, 0.20, setup=2_300.0, scrap=0.026, times=(("P-40", 1.1), ("P-50", 1.25))),
    MadeStep("polish barrel", "polishing bench", 590.0, 0.25, skipped_by=("P-50",)),
    MadeStep("weld base", "welding booth", 700.0, 0.15, setup=480.0),
    MadeStep("assemble", "assembly bench", 1_320.0, 0.20),
    MadeStep("leak test", "test rig", 285.0, 0.08, scrap=0.005, rework=0.09, back_to="assemble"),
    MadeStep("paint", "paint booth", 520.0, 0.15, setup=600.0),
    MadeStep("pack", "packing table", 410.0, 0.12),
)  # fmt: skip
DAYS_OFF = (dt.date(2026, 1, 1), dt.date(2026, 4, 3), dt.date(2026, 4, 6))


@dataclass(frozen=True)
class Works:
    """A works that makes lever-action hand pumps, as it really is: what a log of it should show. Invented.

    Orders come in at random, `orders_a_day` in a working day (a Poisson stream), of a lot out of `lots`; each station
    takes the order that came first. Work stands still in breaks and out of hours.
    """

    first: dt.date = dt.date(2026, 1, 5)
    days: int = 91
    orders_a_day: float = 1.9
    lots: tuple[int, ...] = (14,)
    products: tuple[tuple[str, float], ...] = PRODUCTS
    stations: tuple[MadeStation, ...] = STATIONS
    steps: tuple[MadeStep, ...] = STEPS
    days_off: tuple[dt.date, ...] = DAYS_OFF
    people: int = 11
    marks_kinds: bool = True
    book_out_at_breaks: bool = True
    whole_minutes: bool = False
    from_: str = field(default="06:00", kw_only=True)
    to: str = field(default="14:30", kw_only=True)

    def calendar(self) -> WorkCalendar:
        """When it works: Monday to Friday, one shift with two breaks, days off left out."""
        from pullwright.line.calendar import Pause, Shift, WorkCalendar

        begin, until = (int(text[:2]) * 3600 + int(text[3:]) * 60 for text in (self.from_, self.to))
        breaks = (Pause("coffee", begin + 10_800, begin + 11_700), Pause("lunch", begin + 21_600, begin + 23_400))
        shift = Shift("day", begin, until, frozenset(range(5)), breaks)
        return WorkCalendar((shift,), frozenset(self.days_off))

    def station(self, name: str) -> MadeStation:
        """One station by its name."""
        return next(one for one in self.stations if one.name == name)

    def route(self, product: str) -> tuple[MadeStep, ...]:
        """The steps of one product in their order."""
        return tuple(step for step in self.steps if product not in step.skipped_by)


@dataclass(frozen=True, slots=True)
class MadeVisit:
    """What really happened at one visit of an order to a step. Seconds are worked ones; moments are of the wall clock."""

    order: str
    product: str
    step: str
    station: str
    machine: int
    pieces: int
    scrapped: int
    again: bool
    setup: float
    run: float
    came: dt.datetime
    start: dt.datetime
    end: dt.datetime


@dataclass(frozen=True, slots=True)
class MadeOrder:
    """What really became of one order: `start` its first booking, `end` its last one (None: still under way)."""

    order: str
    product: str
    pieces: int
    start: dt.datetime
    end: dt.datetime | None


@dataclass(frozen=True)
class Truth:
    """What a log should show: the works it comes from and all that happened there; `dirt` names the rows that were spoilt."""

    works: Works
    visits: tuple[MadeVisit, ...]
    orders: tuple[MadeOrder, ...]
    breakdowns: tuple[tuple[str, float], ...]
    dirt: dict[str, tuple[int, ...]] = field(default_factory=dict)
