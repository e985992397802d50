"""What of a log becomes a line: its products, the steps each of them goes through, the stations, who goes back where."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Protocol

from .draft_names import safe_names, safe_text
from .draft_visits import Visit, visits_of

if TYPE_CHECKING:
    from pullwright.line.calendar import WorkCalendar

    from .decide import Decided
    from .story.breakdowns import Breakdowns
    from .story.calendar import FoundCalendar
    from .story.demand import Demand
    from .story.lead import LeadTimes
    from .story.people import People
    from .story.stations import Stations
    from .story.steps import Steps
    from .story.way import Way
    from .story.yields import Yields


class DraftError(ValueError):
    """A log that shows no line: says what is missing and what to do."""


class Storied(Protocol):
    """The chapters of a story that a draft is made of."""

    @property
    def calendar(self) -> FoundCalendar: ...
    @property
    def way(self) -> Way: ...
    @property
    def steps(self) -> Steps: ...
    @property
    def stations(self) -> Stations: ...
    @property
    def breakdowns(self) -> Breakdowns: ...
    @property
    def yields(self) -> Yields: ...
    @property
    def lead(self) -> LeadTimes: ...
    @property
    def demand(self) -> Demand: ...
    @property
    def people(self) -> People: ...


MOST_PRODUCTS = 12
"""So many products are named; the others go in one."""
MOST_STEPS = 900
VISITED = 0.5
"""A product goes through the steps that at least this share of its orders visit."""
OTHER = "other products"
MOST_OUTSIDE = 0.1
MOST_BREAKS = 4
"""A calendar with more moments outside it, or more breaks in a shift, is drafted without its breaks."""


@dataclass
class Shop:
    """A shop as it goes into a line file. Names are those of the log; `..._names` give those of the file.

    `product_of` gives for each product of the log the one of the draft that stands for it; `through` for each product
    of the draft its steps in order; `visits` the visits of each step; `loops` for a step the earlier one that orders go
    back to, how often, and the rows; `asides` are steps that no product usually goes through, with visits and seconds.
    """

    file: str
    visits: dict[str, list[Visit]]
    cases: dict[str, list[Visit]]
    products: list[str]
    product_of: dict[str, str]
    through: dict[str, list[str]]
    steps: list[str]
    loops: dict[str, tuple[str, int, list[int]]]
    asides: list[tuple[str, int, float]]
    heads: list[str]
    beside: list[tuple[str, str]]
    unit: str
    step_names: dict[str, str] = field(default_factory=dict)
    station_names: dict[str, str] = field(default_factory=dict)
    product_names: dict[str, str] = field(default_factory=dict)

    def pieces(self, visit: Visit) -> float:
        """How many pieces a visit worked on; orders where the log knows no pieces."""
        return 1.0 if self.unit != "pieces" else visit.pieces if visit.pieces is not None else visit.asked


def drafted_calendar(found: FoundCalendar) -> tuple[WorkCalendar, bool]:
    """The calendar of a draft, and whether breaks were left out because the log shows too little to tell them from chance."""
    from dataclasses import replace

    doubtful = found.outside > MOST_OUTSIDE or any(len(shift.breaks) > MOST_BREAKS for shift in found.calendar.shifts)
    if not doubtful or not any(shift.breaks for shift in found.calendar.shifts):
        return found.calendar, False
    return replace(found.calendar, shifts=tuple(replace(shift, breaks=()) for shift in found.calendar.shifts)), True


def shop_of(story: Storied, decided: Decided) -> Shop:
    """Sort a log into the parts of a line. Raises DraftError where there is no order or no step to make one of."""
    file = safe_text(decided.source.file, 120) or "the log"
    visits = visits_of(decided.events, drafted_calendar(story.calendar)[0])
    if not visits:
        raise DraftError(_nothing(decided, file))
    by_case: dict[str, list[Visit]] = defaultdict(list)
    for visit in visits:
        by_case[visit.case].append(visit)
    products = _products(story, by_case)
    order = _order(story, visits)
    through = {product: _through(order, [by_case[case] for case in cases]) for product, cases in products.items()}
    used = set().union(*through.values())
    steps = [step for step in order if step in used]
    if len(steps) > MOST_STEPS:
        raise DraftError(
            f"{file} has {len(steps):,} steps; a line file holds up to {MOST_STEPS}: merge names that mean the same step, and draft again."
        )
    by_step: dict[str, list[Visit]] = defaultdict(list)
    for visit in visits:
        by_step[visit.step].append(visit)
    asides = [(step, len(by_step[step]), sum(v.run for v in by_step[step])) for step in order if step not in used]
    names = {case: product for product, cases in products.items() for case in cases}
    heads, beside = _side_by_side(story, steps, through)
    shop = Shop(
        file, by_step, by_case, list(products), names, through, steps, _loops(visits, steps, through), asides, heads, beside,
        "pieces" if _knows_pieces(visits) else "orders",
    )  # fmt: skip
    shop.step_names = safe_names(steps, otherwise="step")
    where = dict.fromkeys(v.station for step in steps for v in by_step[step])
    shop.station_names = safe_names(where, otherwise="station")
    shop.product_names = safe_names(products, otherwise="product")
    return shop


def _nothing(decided: Decided, file: str) -> str:
    table = decided.events.table
    if not decided.source.table.height:
        return f"{file} has no rows: there is nothing to draft a line from."
    if not table.height:
        return f"no row of {file} can be used as decided ({decided.source.table.height:,} were read): decide otherwise about what is odd, and draft again."
    if table["case"].null_count() == table.height:
        return f"no row of {file} says to which order or piece it belongs: say which column does (--map case=COLUMN), and draft again."
    return f"no row of {file} has an order, a step, a begin and an end together: look at how the columns were understood, and draft again."


def _knows_pieces(visits: list[Visit]) -> bool:
    said = sum(1 for visit in visits if (visit.pieces if visit.pieces is not None else visit.asked) > 0)
    return said >= 0.5 * len(visits)


def _products(story: Storied, by_case: dict[str, list[Visit]]) -> dict[str, list[str]]:
    """The products of the draft and their cases, the commonest first; rare ones go together."""
    found: dict[str, list[str]] = defaultdict(list)
    for case, some in by_case.items():
        found[Counter(visit.product for visit in some).most_common(1)[0][0]].append(case)
    ranked = sorted(found, key=lambda product: -len(found[product]))
    kept = [product for product in ranked if product][:MOST_PRODUCTS]
    if len(kept) < sum(1 for product in ranked if product):
        enough: list[str] = []
        reached = 0
        for product in kept:
            if enough and reached >= 0.9 * len(by_case):
                break
            enough.append(product)
            reached += len(found[product])
        kept = enough
    out = {product: found[product] for product in kept}
    rest = [case for product in ranked if product not in out for case in found[product]]
    if rest:
        out["all products" if not kept else OTHER if OTHER not in out else "all the other products"] = rest
    return out


def _order(story: Storied, visits: list[Visit]) -> list[str]:
    known = [one.step for one in story.way.order]
    return list(dict.fromkeys([*known, *(visit.step for visit in visits)])) if visits else []


def _through(order: list[str], cases: list[list[Visit]]) -> list[str]:
    """The steps that most orders of a product visit, in the usual order; those of its commonest way where that is none."""
    visited = Counter(step for case in cases for step in {visit.step for visit in case})
    usual = [step for step in order if visited[step] >= VISITED * len(cases)]
    if usual:
        return usual
    ways = Counter(tuple(dict.fromkeys(visit.step for visit in case)) for case in cases)
    way = set(ways.most_common(1)[0][0])
    return [step for step in order if step in way]


def _loops(
    visits: list[Visit], steps: list[str], through: dict[str, list[str]]
) -> dict[str, tuple[str, int, list[int]]]:
    """Where do orders go back to, from which step, how often? Only to steps that all products of that step go through."""
    place = {step: k for k, step in enumerate(steps)}
    found: dict[str, dict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
    for before, visit in pairwise(visits):
        known = before.case == visit.case and visit.again and before.step in place and visit.step in place
        if known and place[visit.step] < place[before.step]:
            found[before.step][visit.step].append((visit.rows or visit.setup_rows or [0])[0])
    loops = {}
    for step, every in found.items():
        ways = [way for way in through.values() if step in way]
        back = {to: rows for to, rows in every.items() if all(to in way for way in ways)}
        if not back:
            continue
        to = max(back, key=lambda name: len(back[name]))
        loops[step] = (to, len(back[to]), back[to])
    return loops


def _side_by_side(
    story: Storied, steps: list[str], through: dict[str, list[str]]
) -> tuple[list[str], list[tuple[str, str]]]:
    """Steps at the head of the way that go on side by side (sub-flows that join), and other pairs that overlap."""
    pairs = {
        frozenset((one.one, one.other)) for one in story.way.parallel if one.overlapping >= 0.5 or one.either >= 0.3
    }
    heads: list[str] = []
    same = all(way[: len(steps)] == steps for way in through.values())
    if same:
        for step in steps[:-1]:
            if all(frozenset((step, other)) in pairs for other in heads):
                heads.append(step)
            else:
                break
    heads = heads if len(heads) > 1 else []
    beside = [
        (one.one, one.other)
        for one in story.way.parallel
        if one.overlapping >= 0.5 and {one.one, one.other} <= set(steps) and not {one.one, one.other} <= set(heads)
    ]
    return heads, beside
