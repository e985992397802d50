"""Where cards go round in a line: behind each step whose pieces are handed on, and between the store of each part and the step that takes it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pullwright.flow import Flow
from pullwright.flow.stock_needed import part_uses


@dataclass(frozen=True, slots=True)
class Place:
    """One loop: of a step (its index) with the step that takes from it (None: customers), or of a part and the step that takes it.

    `products`: indices of those that are alike there. `name`: unique in the line. `tells`: does the name say the products, because other loops run beside it?
    """

    name: str
    step: int | None
    part: int | None
    taker: int | None
    products: tuple[int, ...]
    tells: bool


def places_of(flow: Flow) -> tuple[Place, ...]:
    """Where does a loop of cards run? Parts first, then the steps in the order of the file; products that nothing has told apart yet share one."""
    return (*_parts(flow), *_steps(flow))


def _steps(flow: Flow) -> Iterator[Place]:
    line = flow.line
    index = {product.name: k for k, product in enumerate(line.products)}
    marks: dict[int, dict[int, list[object]]] = {}
    for way in flow.rates.ways:
        takes = line.route.takes_for(way.products[0])
        taker = {taking.step: i for i, each in enumerate(takes) for taking in each}
        for name in way.products:
            k = index[name]
            seen: dict[int, tuple[object, ...]] = {}
            for i in way.steps:
                before = tuple(seen.get(taking.step, ()) for taking in takes[i])
                seen[i] = (i, before, _marks(flow, i, k))
                # Customers ask for a product by its name.
                told = name if i not in taker else None
                marks.setdefault(i, {})[k] = [taker.get(i), seen[i], told]
    for i in range(len(line.steps)):
        groups: dict[object, list[int]] = {}
        for k, mark in sorted(marks.get(i, {}).items()):
            groups.setdefault(repr(mark), []).append(k)
        for products in groups.values():
            words = " and ".join(line.products[k].name for k in products)
            several = len(groups) > 1
            takes_it = marks[i][products[0]][0]
            name = line.steps[i].name + (f" / {words}" if several else "")
            yield Place(name, i, None, takes_it if isinstance(takes_it, int) else None, tuple(products), several)


def _marks(flow: Flow, i: int, k: int) -> tuple[object, ...]:
    """What a step does to a product that it may not do to another: work of its own, parts, set-ups from one to another, a lot or cards of its own."""
    line, product = flow.line, flow.line.products[k]
    step = line.steps[i]
    group = next((g for g, one in enumerate(flow.rates.steps[i].groups) if product.name in one.work.products), 0)
    parts = tuple((use.part, use.quantity.value) for use in product.uses if use.at == step.name)
    here = line.route.products_of(i)
    pairs = step.set_up.pairs if step.set_up is not None else ()
    own = bool(step.lots) or (step.release is not None and bool(step.release.loops))
    apart = own or any(pair.from_ != pair.to and pair.from_ in here and pair.to in here for pair in pairs)
    return group if len(flow.rates.steps[i].groups) > 1 else 0, parts, product.name if apart else ""


def _parts(flow: Flow) -> Iterator[Place]:
    for p, part in enumerate(flow.line.parts):
        at: dict[int, list[int]] = {}
        for use in part_uses(flow.givens, flow.rates, p):
            at.setdefault(use.step, []).append(use.product)
        for step, products in at.items():
            tail = f" / to {flow.line.steps[step].name}" if len(at) > 1 else ""
            yield Place(f"part {part.name}{tail}", None, p, step, tuple(dict.fromkeys(products)), False)
