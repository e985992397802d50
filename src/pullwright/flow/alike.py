"""Which products are alike behind a step: nothing on the way so far has told them apart, so that one loop of cards and one lot serve them all."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.flow.rates import Rates
from pullwright.line import Line


@dataclass(frozen=True, slots=True)
class Alike:
    """Products that nobody can tell from each other behind a step.

    `products`: their indices in the line file; `taker`: the step that takes them, None where customers do. `several`: are there others at this step?
    """

    products: tuple[int, ...]
    taker: int | None
    several: bool

    def named(self, line: Line, step: str) -> str:
        """What they are called at a step: "hone bore / P-32", and by the step alone where all are alike."""
        return f"{step} / {self.words(line)}" if self.several else step

    def words(self, line: Line) -> str:
        """The products, as a person says them."""
        return " and ".join(line.products[k].name for k in self.products)


def alike_at(line: Line, rates: Rates) -> dict[int, tuple[Alike, ...]]:
    """Which products are alike behind each step, by its index, in the order of the line file? Steps that no product goes through are left out."""
    index = {product.name: k for k, product in enumerate(line.products)}
    marks: dict[int, dict[int, tuple[int | None, object]]] = {}
    for way in rates.ways:
        takes = line.route.takes_for(way.products[0])
        taker = {taking.step: i for i, each in enumerate(takes) for taking in each}
        for name in way.products:
            k = index[name]
            seen: dict[int, tuple[object, ...]] = {}
            for i in way.steps:
                before = tuple(seen.get(taking.step, ()) for taking in takes[i])
                seen[i] = (i, before, _marks(line, rates, i, k))
                # Customers ask for a product by its name.
                told = name if i not in taker else None
                marks.setdefault(i, {})[k] = (taker.get(i), (seen[i], told))
    found: dict[int, tuple[Alike, ...]] = {}
    for i in sorted(marks):
        groups: dict[str, list[int]] = {}
        for k, mark in sorted(marks[i].items()):
            groups.setdefault(repr(mark), []).append(k)
        found[i] = tuple(
            Alike(tuple(products), marks[i][products[0]][0], len(groups) > 1) for products in groups.values()
        )
    return found


def _marks(line: Line, rates: Rates, i: int, k: int) -> tuple[object, ...]:
    """What a step does to a product that it may not do to another: work of its own, parts, set-ups from one to another, a lot or cards of its own."""
    step, product = line.steps[i], line.products[k]
    groups = rates.steps[i].groups
    group = next((g for g, one in enumerate(groups) if product.name in one.work.products), 0)
    parts = tuple((use.part, use.quantity.value) for use in product.uses if use.at == step.name)
    here = line.route.products_of(i)
    pairs = step.set_up.pairs if step.set_up is not None else ()
    own = bool(step.lots) or (step.release is not None and bool(step.release.loops))
    apart = own or any(pair.from_ != pair.to and pair.from_ in here and pair.to in here for pair in pairs)
    return group if len(groups) > 1 else 0, parts, product.name if apart else ""
