"""Which products are alike behind a step: nothing on the way so far has told them apart, so that one loop of cards and one lot serve them all."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.flow import Flow


@dataclass(frozen=True, slots=True)
class Alike:
    """Products that nobody can tell from each other behind a step.

    `products`: their indices in the line file; `taker`: the step that takes them, None where customers do. `several`: are there others at this step?
    """

    products: tuple[int, ...]
    taker: int | None
    several: bool

    def named(self, flow: Flow, step: str) -> str:
        """What they are called at a step: "hone bore / P-32", and by the step alone where all are alike."""
        return f"{step} / {self.words(flow)}" if self.several else step

    def words(self, flow: Flow) -> str:
        """The products, as a person says them."""
        return " and ".join(flow.line.products[k].name for k in self.products)


def alike_at(flow: Flow) -> dict[int, tuple[Alike, ...]]:
    """Which products are alike behind each step, by its index, in the order of the line file? Steps that no product goes through are left out."""
    line = flow.line
    index = {product.name: k for k, product in enumerate(line.products)}
    marks: dict[int, dict[int, tuple[int | None, object]]] = {}
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


def _marks(flow: Flow, i: int, k: int) -> tuple[object, ...]:
    """What a step does to a product that it may not do to another: work of its own, parts, set-ups from one to another."""
    line, product = flow.line, flow.line.products[k]
    step = line.steps[i]
    group = next((g for g, one in enumerate(flow.rates.steps[i].groups) if product.name in one.work.products), 0)
    parts = tuple((use.part, use.quantity.value) for use in product.uses if use.at == step.name)
    here = line.route.products_of(i)
    pairs = step.set_up.pairs if step.set_up is not None else ()
    apart = any(pair.from_ != pair.to and pair.from_ in here and pair.to in here for pair in pairs)
    return group if len(flow.rates.steps[i].groups) > 1 else 0, parts, product.name if apart else ""
