"""Contradictions in what is said product by product at a step: of a product that does not come there, or not of one that does."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pullwright.line.faults import Path, listed
from pullwright.line.model import LineModel
from pullwright.line.sense.slip import Slip


def each_product(line: LineModel, i: int, path: Path, named: Sequence[str], what: str) -> Iterator[Slip]:
    """Does each product that goes through step `i` and is pulled have its own, and no other? That one stands twice is said elsewhere."""
    step = line.steps[i]
    here = [product for product in line.products if step.for_ is None or product.name in step.for_]
    names = [product.name for product in here]
    for k, name in enumerate(named):
        if name not in names:
            allowed = f"one of: {listed(names)}" if names else "no product: none goes through this step"
            said = f"{name} does not go through {step.name}, so that it has no {what} there"
            yield Slip((*path, k, "product"), name, allowed, said)
    missing = [product.name for product in here if product.demand.value > 0 and product.name not in named]
    if missing:
        goes, has = ("goes", "has") if len(missing) == 1 else ("go", "have")
        said = f"{listed(missing, 3)} {goes} through {step.name} and {has} no {what} there"
        yield Slip(path, listed(named), f"one for each product that is pulled there, so one for {missing[0]} too", said)
