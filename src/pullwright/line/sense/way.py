"""Contradictions in the way through: circles, products without one last step, rework that goes forward, parts that no product meets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pullwright.line.faults import listed
from pullwright.line.model import LineModel
from pullwright.line.route import Route, RouteError, Taking, route_of
from pullwright.line.sense.slip import Slip
from pullwright.line.size import MOST_WAYS


def demand(line: LineModel) -> Iterator[Slip]:
    """Does anybody pull anything?"""
    if not any(product.demand.value > 0 for product in line.products):
        said = "nobody pulls anything: every demand is 0, so that there is no takt"
        yield Slip(("products", 0, "demand"), "0", "a demand above 0 for at least one product", said)


def way(line: LineModel) -> Iterator[Slip]:
    """Does every product go one way through the steps, to one last step?"""
    try:
        route = route_of(line)
    except RouteError as error:
        read = line.steps[error.step].name
        yield Slip(
            ("steps", error.step, error.field), read, "steps that take from earlier ones", str(error), error.hint
        )
        return
    whole, alike = True, route.alike()
    if len(alike) > MOST_WAYS:
        said = f"the products go {len(alike):,} different ways through the steps; allowed: at most {MOST_WAYS}"
        yield Slip(
            ("steps",), f"{len(alike):,} ways", f"at most {MOST_WAYS} ways", said, "several lines need several files"
        )
        return
    for names in alike:
        who = listed(names, 3)
        if not route.visits(names[0]):
            whole = False
            index = next(i for i, product in enumerate(line.products) if product.name == names[0])
            said = f"no step is for {who}"
            yield Slip(
                ("products", index),
                names[0],
                "at least one step",
                said,
                "leave `for` out where a step is for every product",
            )
            continue
        try:
            route.last_for(names[0])
        except RouteError as error:
            whole = False
            read = line.steps[error.step].name
            yield Slip(
                ("steps", error.step, error.field), read, "one last step for each product", str(error), error.hint
            )
            continue
        yield from _split(line, names, route.takes_for(names[0]))
    if whole:
        yield from _rework(line, route)


def _split(line: LineModel, names: Sequence[str], takes: Sequence[Sequence[Taking]]) -> Iterator[Slip]:
    takers: dict[int, list[int]] = {}
    for i, each in enumerate(takes):
        for taking in each:
            takers.setdefault(taking.step, []).append(i)
    for i, into in takers.items():
        if len(into) > 1:
            to = listed((line.steps[k].name for k in into), 3)
            said = f"{listed(names, 3)} would go from {line.steps[i].name} to {to}; a product goes one way"
            allowed, hint = (
                "one step that takes from it, for each product",
                "use `for` to say which product takes which way",
            )
            yield Slip(("steps", into[1], "after"), line.steps[i].name, allowed, said, hint)


def _rework(line: LineModel, route: Route) -> Iterator[Slip]:
    index = {step.name: i for i, step in enumerate(line.steps)}
    for i, step in enumerate(line.steps):
        rework = step.rework
        if rework is None or rework.to is None:
            continue
        back, path = index[rework.to], ("steps", i, "rework", "to")
        if not route.comes_before(back, i):
            said = f"{rework.to} does not come before {step.name}; rework goes back to an earlier step or to the step itself"
            yield Slip(path, rework.to, "this step or one before it", said)
            continue
        missing = [product for product in route.products_of(i) if back not in route.visits(product)]
        if missing:
            said = f"{listed(missing, 3)} does not go through {rework.to}, so that it cannot be done again there"
            yield Slip(path, rework.to, f"a step that {missing[0]} goes through", said)
        if rework.time is not None:
            said = f"pieces that go back to {rework.to} take the time of the steps from there on; `time` is for those put right on the spot"
            yield Slip(("steps", i, "rework", "time"), "time and to", "one of: to, time", said)


def uses(line: LineModel) -> Iterator[Slip]:
    """Does every part that goes into a product meet it at a step?"""
    index = {step.name: step for step in line.steps}
    for i, product in enumerate(line.products):
        seen: dict[tuple[str, str], int] = {}
        for k, use in enumerate(product.uses):
            only = index[use.at].for_
            if only is not None and product.name not in only:
                said = f"{product.name} does not go through {use.at}, so that it cannot take {use.part} there"
                yield Slip(("products", i, "uses", k, "at"), use.at, f"a step that {product.name} goes through", said)
            if (use.part, use.at) in seen:
                said = f"{use.part} at {use.at} stands in entry {seen[use.part, use.at] + 1} already; add the quantities up"
                yield Slip(("products", i, "uses", k), use.part, "each part once at each step", said)
            seen.setdefault((use.part, use.at), k)
