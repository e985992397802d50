"""Where cards go round in a line: behind each step whose pieces are handed on, and between the store of each part and the step that takes it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pullwright.flow import Flow
from pullwright.flow.alike import alike_at
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
    for i, groups in alike_at(flow.line, flow.rates).items():
        for one in groups:
            yield Place(one.named(flow.line, flow.line.steps[i].name), i, None, one.taker, one.products, one.several)


def _parts(flow: Flow) -> Iterator[Place]:
    for p, part in enumerate(flow.line.parts):
        at: dict[int, list[int]] = {}
        for use in part_uses(flow.givens, flow.rates, p):
            at.setdefault(use.step, []).append(use.product)
        for step, products in at.items():
            tail = f" / to {flow.line.steps[step].name}" if len(at) > 1 else ""
            yield Place(f"part {part.name}{tail}", None, p, step, tuple(dict.fromkeys(products)), False)
