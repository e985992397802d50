"""Does a line file that can be read make sense as a whole? Contradictions are faults; a line that cannot keep up is none (see the flow room)."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Literal

from pullwright.line.calendar import CalendarError, Pause, WorkCalendar
from pullwright.line.calendar import Shift as WorkShift
from pullwright.line.faults import Fault, Path, listed
from pullwright.line.model import Calendar, Element, LineModel, Step
from pullwright.line.quantity import Quantity, walk
from pullwright.line.route import Route, RouteError, Taking, route_of
from pullwright.line.yaml_tree import Tree

if TYPE_CHECKING:
    from pullwright.line.model import Pause as GivenPause

Slip = tuple[Path, str, str, str, str]
"""(path, read, allowed, hint, message)"""


def check_sense(line: LineModel, tree: Tree) -> Iterator[Fault]:
    """Give a fault for every contradiction."""
    for check in CHECKS:
        for slip in check(line):
            yield tree.fault(*slip)


def work_calendar(calendar: Calendar) -> WorkCalendar:
    """Make the calendar that computes out of the given one; CalendarError where shifts or breaks contradict one another."""

    def pauses(given: tuple[GivenPause, ...], kind: Literal["break", "planned stop"]) -> tuple[Pause, ...]:
        return tuple(Pause(pause.name, pause.from_, pause.to, pause.paid, kind) for pause in given)

    shifts = tuple(
        WorkShift(
            shift.name,
            shift.from_,
            shift.to,
            frozenset(calendar.days if shift.days is None else shift.days),
            pauses(shift.breaks, "break") + pauses(shift.planned_stops, "planned stop"),
        )
        for shift in calendar.shifts
    )
    return WorkCalendar(shifts, frozenset(calendar.days_off))


def _calendar(line: LineModel) -> Iterator[Slip]:
    try:
        work_calendar(line.calendar)
    except CalendarError as error:
        names = [shift.name for shift in line.calendar.shifts]
        for who, message in error.faults:
            place: Path = ("calendar", "shifts", names.index(who)) if who in names else ("calendar",)
            yield place, who, "shifts that do not overlap, with breaks inside them", "", message


def _demand(line: LineModel) -> Iterator[Slip]:
    if not any(product.demand.value > 0 for product in line.products):
        yield (
            ("products", 0, "demand"),
            "0",
            "a demand above 0 for at least one product",
            "",
            "nobody pulls anything: every demand is 0, so there is no takt",
        )


def _route(line: LineModel) -> Iterator[Slip]:
    try:
        route = route_of(line)
    except RouteError as error:
        yield (
            ("steps", error.step, error.field),
            line.steps[error.step].name,
            "steps that take from earlier ones",
            error.hint,
            str(error),
        )
        return
    for product in line.products:
        try:
            route.last_for(product.name)
        except RouteError as error:
            yield (
                ("steps", error.step, error.field),
                line.steps[error.step].name,
                "one last step for each product",
                error.hint,
                str(error),
            )
            continue
        yield from _split(line, product.name, route.takes_for(product.name))
    yield from _rework(line, route)
    yield from _stores_fit(line, route)


def _split(line: LineModel, product: str, takes: tuple[tuple[Taking, ...], ...]) -> Iterator[Slip]:
    takers: dict[int, list[int]] = {}
    for i, each in enumerate(takes):
        for taking in each:
            takers.setdefault(taking.step, []).append(i)
    for i, into in takers.items():
        if len(into) > 1:
            names = " and ".join(line.steps[k].name for k in into)
            said = f"{product} would go from {line.steps[i].name} to {names}; a product goes one way"
            yield (
                ("steps", into[1], "after"),
                line.steps[i].name,
                "one step that takes from it, for each product",
                "use `for` to say which product takes which way",
                said,
            )


def _rework(line: LineModel, route: Route) -> Iterator[Slip]:
    index = {step.name: i for i, step in enumerate(line.steps)}
    earlier: list[set[int]] = [set() for _ in line.steps]
    for i in route.order:
        for taking in route.takes[i]:
            earlier[i] |= {taking.step} | earlier[taking.step]
    for i, step in enumerate(line.steps):
        rework = step.rework
        if rework is None or rework.to is None:
            continue
        back = index[rework.to]
        if back != i and back not in earlier[i]:
            yield (
                ("steps", i, "rework", "to"),
                rework.to,
                "this step or one before it",
                "",
                f"{rework.to} does not come before {step.name}; rework goes back to an earlier step or to the step itself",
            )
        for product in route.products_of(i):
            if back not in route.visits(product):
                yield (
                    ("steps", i, "rework", "to"),
                    rework.to,
                    f"a step that {product} goes through",
                    "",
                    f"{product} does not go through {rework.to}, so it cannot be reworked there",
                )


def _stores_fit(line: LineModel, route: Route) -> Iterator[Slip]:
    try:
        ends = {line.steps[route.last_for(product.name)].name for product in line.products}
    except RouteError:
        return  # said already
    seen: dict[tuple[str, str], int] = {}
    for i, store in enumerate(line.stores):
        places = [
            (key, name)
            for key, name in (("before", store.before), ("after", store.after), ("part", store.part))
            if name
        ]
        if len(places) != 1:
            yield (
                ("stores", i),
                listed(key for key, _ in places) or "nothing",
                "one of: before, after, part",
                "",
                "a store is before a step, after the last step, or of a part: say exactly one of them",
            )
            continue
        if places[0][0] == "after" and store.after not in ends:
            yield (
                ("stores", i, "after"),
                str(store.after),
                listed(sorted(ends)),
                "say `before` the step that takes from it",
                f"{store.after} is no last step; stock between two steps is `before` the second one",
            )
        if places[0] in seen:
            yield (
                ("stores", i, places[0][0]),
                places[0][1],
                "one store for each place",
                "",
                f"there is a store {places[0][0]} {places[0][1]} already, entry {seen[places[0]] + 1}",
            )
        seen.setdefault(places[0], i)
        if store.counted is not None and store.counts:
            yield (
                ("stores", i, "counts"),
                "counted and counts",
                "one of the two",
                "",
                "counted and counts are both given; put the one count into the list",
            )


_SHORT = ("manual", "machine", "walking")


def _work(line: LineModel) -> Iterator[Slip]:
    for i, step in enumerate(line.steps):
        short = [name for name in _SHORT if getattr(step, name) is not None]
        if step.elements and short:
            yield (
                ("steps", i, short[0]),
                short[0],
                "elements, or manual, machine and walking",
                "",
                f"the work of {step.name} is given twice, as elements and as {' and '.join(short)}",
            )
        if not step.elements and not short:
            yield (
                ("steps", i),
                step.name,
                "elements, or manual, machine, walking",
                "",
                f"{step.name} has no work: give elements, or at least one of manual, machine, walking",
            )
        if step.value_adding is not None and step.elements:
            yield (
                ("steps", i, "value_adding"),
                "value_adding",
                "the kind of each element",
                "",
                "value_adding goes with manual and machine; an element says its own kind",
            )
        for k, element in enumerate(step.elements):
            if not any(getattr(element, name) is not None for name in _SHORT):
                yield (
                    ("steps", i, "elements", k),
                    element.what,
                    "manual, machine or walking",
                    "",
                    f"{element.what!r} has no time: give manual, machine or walking",
                )
        for product in line.products:
            goes = step.for_ is None or product.name in step.for_
            if goes and (step.elements or short) and not any(value > 0 for value in _times(step, product.name)):
                yield (
                    ("steps", i),
                    "0 s",
                    "a time above 0",
                    f"leave {product.name} out with `for` where it skips this step",
                    f"{step.name} takes no time for {product.name}",
                )
        if step.set_up is not None and step.lot is None:
            yield (
                ("steps", i, "set_up"),
                "no lot",
                "lot",
                "",
                f"{step.name} is set up, but how many pieces are made between two set-ups? Give `lot`",
            )
        if step.lot is not None and step.transfer_lot is not None and step.transfer_lot > step.lot:
            yield (
                ("steps", i, "transfer_lot"),
                str(step.transfer_lot),
                f"at most the lot of {step.lot}",
                "",
                f"a transfer lot of {step.transfer_lot} is larger than the lot of {step.lot}",
            )
        if sum(other.share.value for other in step.also_at) > 1:
            yield (
                ("steps", i, "also_at"),
                "more than 100 %",
                "shares of at most 100 % together",
                "",
                f"the shares of {step.name} done elsewhere add up to more than all of it",
            )


def _times(step: Step, product: str) -> list[float]:
    parts: tuple[Step | Element, ...] = step.elements or (step,)
    chosen = [part for part in parts if isinstance(part, Step) or part.for_ is None or product in part.for_]
    return [time.value for part in chosen for name in _SHORT if (time := getattr(part, name)) is not None]


def _yields(line: LineModel) -> Iterator[Slip]:
    for i, step in enumerate(line.steps):
        scrap = step.scrap.value if step.scrap else None
        again = step.rework.share.value if step.rework else None
        lost = (scrap or 0.0) + (again or 0.0)
        first = step.first_pass_yield.value if step.first_pass_yield else None
        if first is not None and scrap is not None and again is not None and abs(first + lost - 1) > 0.005:
            yield (
                ("steps", i, "first_pass_yield"),
                f"{first:.4g} + {lost:.4g}",
                "shares that add up to 1",
                "leave one of the three out",
                f"first-pass yield, scrap and rework of {step.name} add up to {first + lost:.4g}, not to 1",
            )
        elif first is not None and first + lost > 1.000_001:
            yield (
                ("steps", i, "first_pass_yield"),
                f"{first:.4g} + {lost:.4g}",
                "shares of at most 1 together",
                "",
                f"first-pass yield, scrap and rework of {step.name} add up to {first + lost:.4g}, more than 1",
            )
        if (first == 0 and scrap is None and again is None) or lost >= 1:
            yield (
                ("steps", i),
                "0 %",
                "some good pieces",
                "",
                f"no piece ever leaves {step.name} good: its yield is zero",
            )
        most = (_highest(step.scrap) + _highest(step.rework.share if step.rework else None)) if first is None else 0.0
        if lost < 1 <= most:
            yield (
                ("steps", i),
                f"up to {most:.4g}",
                "highest scrap and rework below 1 together",
                "",
                f"scrap and rework of {step.name} may reach {most:.4g} at their highest; then no piece leaves it good",
            )


def _highest(share: Quantity | None) -> float:
    if share is None:
        return 0.0
    return share.value if share.high is None else share.high


def _release(line: LineModel) -> Iterator[Slip]:
    needs = {"cards": ("cards", "per_card"), "cap": ("limit", "until"), "push": (), "order": ()}
    for i, step in enumerate(line.steps):
        if step.release is None:
            continue
        for name in needs[step.release.by]:
            if getattr(step.release, name) is None:
                yield ("steps", i, "release"), "nothing", name, "", f"release by {step.release.by} needs `{name}`"
        for name in ("cards", "per_card", "limit", "until", "rate"):
            fits = name in needs[step.release.by] or (name == "rate" and step.release.by == "push")
            if getattr(step.release, name) is not None and not fits:
                yield (
                    ("steps", i, "release", name),
                    name,
                    listed(needs[step.release.by]) or "nothing more",
                    "",
                    f"`{name}` does not go with release by {step.release.by}",
                )


def _people(line: LineModel) -> Iterator[Slip]:
    if not line.people or any(crew.skills is None for crew in line.people):
        return
    skills = {skill for crew in line.people for skill in crew.skills or ()}
    for i, step in enumerate(line.steps):
        attended = step.people and any(
            part.manual or part.walking or part.watched for part in (step.elements or (step,))
        )
        if attended and step.name not in skills and step.station not in skills:
            yield (
                ("steps", i, "people"),
                step.name,
                "a step that somebody can do",
                f"add {step.name} to the skills of a crew",
                f"nobody has the skill for {step.name}",
            )


def _studies(line: LineModel) -> Iterator[Slip]:
    for path, quantity in walk(line):
        if quantity.study is not None and quantity.unit != "s":
            yield path, f"study {quantity.study}", "a time", "", "a study gives times; this field is none"


def _samples(line: LineModel) -> Iterator[Slip]:
    for i, sample in enumerate(line.samples):
        seen = (
            sample.value
            + sample.needed
            + sample.waiting
            + sample.moving
            + sample.motion
            + sample.extra
            + sample.again
            + sample.ahead
        )
        if seen > sample.looks:
            yield (
                ("samples", i, "looks"),
                str(sample.looks),
                f"at least {seen}",
                "",
                f"{seen} things were seen in {sample.looks} looks",
            )


def _zeros(line: LineModel) -> Iterator[Slip]:
    positive: list[tuple[Path, Quantity | None, str]] = []
    for i, station in enumerate(line.stations):
        if station.breakdowns:
            positive.append(
                (("stations", i, "breakdowns", "between"), station.breakdowns.between, "time between breakdowns")
            )
    for i, move in enumerate(line.moves):
        positive.append((("moves", i, "speed"), move.speed, "speed"))
    for i, step in enumerate(line.steps):
        for k, after in enumerate(step.after or ()):
            positive.append((("steps", i, "after", k, "quantity"), after.quantity, "quantity"))
        for k, other in enumerate(step.also_at):
            positive.append((("steps", i, "also_at", k, "times"), other.times, "factor"))
    if line.floor:
        positive.append((("floor", "total"), line.floor.total, "floor"))
    for path, quantity, what in positive:
        if quantity is not None and (quantity.value <= 0 or (quantity.low is not None and quantity.low <= 0)):
            yield (
                path,
                "0",
                f"a {what} above 0",
                "leave it out where there is none",
                f"a {what} of 0 makes no sense here",
            )


CHECKS: tuple[Callable[[LineModel], Iterator[Slip]], ...] = (
    _calendar, _demand, _route, _work, _yields, _release, _people, _studies, _samples, _zeros,
)  # fmt: skip
