"""The way through: which step takes from which, for all products together and for each one, and how sub-flows join the main flow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from pullwright.line.calendar import WorkCalendar
from pullwright.line.faults import listed
from pullwright.line.model import LineModel
from pullwright.line.quantity import Quantity
from pullwright.line.shifts import work_calendar


class RouteError(ValueError):
    """The steps do not make a way through; `step` is the index of the step to look at."""

    def __init__(self, step: int, field: str, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.step, self.field, self.hint = step, field, hint


@dataclass(frozen=True, slots=True)
class Taking:
    """A step takes `quantity` good pieces (1 where nothing is said) of step `step` for one of its own; `place` is the entry in `after`."""

    step: int
    quantity: Quantity | None
    place: int | None


@dataclass(frozen=True, slots=True)
class Chain:
    """A run of steps one after another: the main flow, or a sub-flow with the step that it leaves from and the one that it joins."""

    steps: tuple[int, ...]
    joins: int | None = None
    leaves: int | None = None


@dataclass(frozen=True, slots=True)
class _Way:
    """The steps that a product goes through, and what each step takes for it."""

    visited: frozenset[int]
    takes: tuple[tuple[Taking, ...], ...]


@dataclass(frozen=True)
class Route:
    """The graph of a line's steps (indices into `line.steps`)."""

    model: LineModel
    takes: tuple[tuple[Taking, ...], ...]
    order: tuple[int, ...]
    """Every step after all those that it takes from."""

    @cached_property
    def _ways(self) -> dict[str, tuple[int, ...]]:
        """For each product those steps that are not for all products and that it goes through."""
        through: dict[str, list[int]] = {product.name: [] for product in self.model.products}
        for i, step in enumerate(self.model.steps):
            for name in dict.fromkeys(step.for_ or ()):
                if name in through:
                    through[name].append(i)
        return {name: tuple(steps) for name, steps in through.items()}

    @cached_property
    def _by_way(self) -> dict[tuple[int, ...], _Way]:
        return {}

    def _way(self, product: str) -> _Way:
        """What all products with the same way share is found once."""
        steps = self._ways.get(product, ())
        if steps not in self._by_way:
            visited = self._for_all | frozenset(steps)
            self._by_way[steps] = _Way(visited, self._takes_through(visited))
        return self._by_way[steps]

    @cached_property
    def _for_all(self) -> frozenset[int]:
        return frozenset(i for i, step in enumerate(self.model.steps) if step.for_ is None)

    def alike(self) -> tuple[tuple[str, ...], ...]:
        """Give the names of the products, those together that go through the same steps."""
        groups: dict[tuple[int, ...], list[str]] = {}
        for name, steps in self._ways.items():
            groups.setdefault(steps, []).append(name)
        return tuple(tuple(names) for names in groups.values())

    def visits(self, product: str) -> frozenset[int]:
        """Give the steps that a product goes through."""
        return self._way(product).visited

    def products_of(self, step: int) -> tuple[str, ...]:
        """Give the products that go through a step."""
        only = self.model.steps[step].for_
        return tuple(product.name for product in self.model.products if only is None or product.name in only)

    def takes_for(self, product: str) -> tuple[tuple[Taking, ...], ...]:
        """Give what each step takes for one product; a step that the product skips is passed through to those before it."""
        return self._way(product).takes

    def _takes_through(self, visited: frozenset[int]) -> tuple[tuple[Taking, ...], ...]:
        seen: list[tuple[Taking, ...]] = [()] * len(self.takes)
        for i in self.order:
            if len(self.takes[i]) == 1 and (only := self.takes[i][0]).step not in visited:
                seen[i] = seen[only.step]  # nothing to put together: a long run of skipped steps costs nothing
                continue
            found: dict[int, Taking] = {}
            for taking in self.takes[i]:
                if taking.step in visited:
                    found.setdefault(taking.step, taking)
                else:
                    for through in seen[taking.step]:
                        found.setdefault(through.step, through)
            seen[i] = tuple(found.values())
        return tuple(takes if i in visited else () for i, takes in enumerate(seen))

    @cached_property
    def _earlier(self) -> tuple[int, ...]:
        """For each step the steps before it, as the bits of one number: reaching far back stays cheap."""
        earlier = [0] * len(self.takes)
        for i in self.order:
            for taking in self.takes[i]:
                earlier[i] |= 1 << taking.step | earlier[taking.step]
        return tuple(earlier)

    def comes_before(self, first: int, second: int) -> bool:
        """Do pieces come from one step to the other, straight or by way of others? A step comes before itself."""
        return first == second or bool(self._earlier[second] >> first & 1)

    def last_for(self, product: str) -> int:
        """Give the step that finishes a product; RouteError where there is none or more than one."""
        visited = self.visits(product)
        if not visited:
            raise RouteError(0, "for", f"no step is for {product}", "leave `for` out where a step is for every product")
        taken = {taking.step for takes in self.takes_for(product) for taking in takes}
        ends = sorted(visited - taken)
        if len(ends) != 1:
            names = listed((self.model.steps[i].name for i in ends), 5)
            raise RouteError(
                ends[0],
                "after",
                f"{product} ends at {len(ends)} steps ({names}); a product has one last step",
                "name the steps that are taken from in `after`",
            )
        return ends[0]

    @cached_property
    def chains(self) -> tuple[Chain, ...]:
        """Give the main flow first (back from the last step by the first step that each one takes from), then the sub-flows."""
        demand = sorted(self.model.products, key=lambda product: -self._per_day(product.demand))
        main_end = self.last_for(demand[0].name)
        ends = [main_end, *dict.fromkeys(end for p in demand if (end := self.last_for(p.name)) != main_end)]
        placed: set[int] = set()
        chains: list[Chain] = []
        waiting: list[tuple[int, int | None]] = [(end, None) for end in ends]
        while waiting:
            end, joins = waiting.pop(0)
            if end in placed:
                continue
            steps: list[int] = []
            leaves = None
            at: int | None = end
            while at is not None:
                if at in placed:
                    leaves = at
                    break
                steps.append(at)
                placed.add(at)
                at = self.takes[at][0].step if self.takes[at] else None
            chains.append(Chain(tuple(reversed(steps)), joins, leaves))
            waiting += [(taking.step, i) for i in reversed(steps) for taking in self.takes[i][1:]]
        return tuple(chains)

    def _per_day(self, demand: Quantity) -> float:
        return self._calendar.per_working_day(demand.value, demand.unit.removeprefix("pieces/"))

    @cached_property
    def _calendar(self) -> WorkCalendar:
        return work_calendar(self.model.calendar)


def takes_of(model: LineModel) -> tuple[tuple[Taking, ...], ...]:
    """Read `after` of every step: nothing said means the step above it in the file."""
    index = {step.name: i for i, step in enumerate(model.steps)}
    takes: list[tuple[Taking, ...]] = []
    for i, step in enumerate(model.steps):
        if step.after is None:
            takes.append((Taking(i - 1, None, None),) if i else ())
        else:
            takes.append(
                tuple(
                    Taking(index[after.step], after.quantity, k)
                    for k, after in enumerate(step.after)
                    if after.step in index
                )
            )
    return tuple(takes)


def order_of(takes: Sequence[Sequence[Taking]], names: Sequence[str]) -> tuple[int, ...]:
    """Put every step after those that it takes from; RouteError names the circle where there is one."""
    order: list[int] = []
    state = [0] * len(takes)  # 0 not seen, 1 on the way, 2 done
    for start in range(len(takes)):
        way = [(start, iter(takes[start]))] if not state[start] else []
        state[start] = state[start] or 1
        while way:
            at, rest = way[-1]
            taking = next(rest, None)
            if taking is None:
                state[at] = 2
                order.append(at)
                way.pop()
            elif state[taking.step] == 1:
                circle = [step for step, _ in way]
                circle = [*circle[circle.index(taking.step) :], taking.step]
                shown = circle if len(circle) < 10 else [*circle[:4], None, *circle[-4:]]
                said = " takes from ".join("…" if i is None else names[i] for i in shown)
                raise RouteError(
                    at, "after", f"the way through goes in a circle: {said}", "pieces that go back belong in `rework`"
                )
            elif not state[taking.step]:
                state[taking.step] = 1
                way.append((taking.step, iter(takes[taking.step])))
    return tuple(order)


def route_of(model: LineModel) -> Route:
    """Make the route of a line; RouteError where the steps do not make a way through."""
    takes = takes_of(model)
    return Route(model, takes, order_of(takes, [step.name for step in model.steps]))
