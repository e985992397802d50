"""The elements of the work: how long each takes, and for how much of that people attend."""

from __future__ import annotations

import numpy as np

from pullwright.flow.assumed import AssumedKey
from pullwright.flow.givens import Path
from pullwright.forecast.laying.source import Source
from pullwright.forecast.plant import NEVER
from pullwright.line.model import Element, Step
from pullwright.line.quantity import Quantity

_CV: dict[str, AssumedKey] = {"manual": "manual cv", "machine": "machine cv", "walking": "walking cv"}


def elements(of: Source) -> dict[str, np.ndarray]:
    """The elements of the work of each product at each step."""
    products, steps = len(of.product_names), len(of.line.steps)
    span = np.full((products, steps, 2), NEVER)
    streams: list[int] = []
    attended: list[float] = []
    by_hand: list[int] = []
    for i, step in enumerate(of.line.steps):
        made: dict[tuple[int, str], int] = {}
        groups: dict[tuple[int, ...], tuple[int, int]] = {}
        for p, name in enumerate(of.product_names):
            if i not in of.through[p]:
                continue
            chosen = tuple(k for k, one in enumerate(step.elements) if one.for_ is None or name in one.for_)
            if chosen not in groups:
                begin = len(streams)
                parts: list[tuple[int, Path, Step | Element]] = [
                    (k, ("steps", i, "elements", k), step.elements[k]) for k in chosen
                ] or [(NEVER, ("steps", i), step)]
                for k, path, part in parts:
                    for way in ("manual", "machine", "walking"):
                        quantity: Quantity | None = getattr(part, way)
                        if quantity is None:
                            continue
                        if (k, way) not in made:
                            what = part.what if isinstance(part, Element) else ""
                            made[k, way] = of.time(
                                (*path, way), quantity, _CV[way], "time", step.name, what, str(k), way
                            )
                        streams.append(made[k, way])
                        by_hand.append(int(way != "machine"))
                        attended.append(_attended(of, i, step, path, part, way))
                groups[chosen] = (begin, len(streams))
            span[p, i] = groups[chosen]
    return {
        "element": span,
        "element_stream": np.array(streams, np.int64),
        "element_attended": np.array(attended, float),
        "element_by_hand": np.array(by_hand, np.int64),
    }


def _attended(of: Source, i: int, step: Step, path: Path, part: Step | Element, way: str) -> float:
    if step.people == 0:
        return 0.0
    if way != "machine":
        return 1.0
    if part.watched is not None:
        return of.value((*path, "watched"))
    return 0.0 if step.watched is None else of.value(("steps", i, "watched"))
