"""Which pieces come to each step from where: in which numbers, and how many of them together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.givens import Givens
from pullwright.flow.rates import Rates
from pullwright.flow.visits import Visits


@dataclass(frozen=True, slots=True)
class Part:
    """Along one way through: its demand (units/wd), pieces per unit as they leave and as they are counted where they come to.

    Of what enters, those that leave are the ones that go into a unit if nothing goes wrong: they are pulled together. `beside` is the number of streams that together make one piece there; 1 but for assembly.
    """

    demand: Figure
    leaving: Figure
    coming: Figure
    beside: int


@dataclass(frozen=True, slots=True)
class Stream:
    """The pieces that come to step `end` from step `start`, fresh or to be done again; `start` is None for what enters there."""

    start: int | None
    end: int
    parts: tuple[Part, ...]


def streams_of(givens: Givens, rates: Rates) -> tuple[Stream, ...]:
    """What comes to each step? One stream for each step that it takes from, one for each that sends back, one for what enters."""
    found: dict[tuple[int | None, int, bool], list[Part]] = {}
    for way, demand in zip(rates.ways, rates.way_demand, strict=True):
        takes = givens.line.route.takes_for(way.products[0])
        for i in way.steps:
            before = list(dict.fromkeys(taking.step for taking in takes[i]))
            if not before:
                found.setdefault((None, i, False), []).append(Part(demand, way.needed[i], way.fresh[i], 1))
            for k in before:
                found.setdefault((k, i, False), []).append(Part(demand, way.passed[k], way.sets[k], len(before)))
        for back in way.backs:
            found.setdefault((back.start, back.end, True), []).append(Part(demand, back.leaving, back.coming, 1))
    return tuple(Stream(start, end, tuple(parts)) for (start, end, _), parts in found.items())


def comes_together(givens: Givens, rates: Rates) -> dict[int, Figure]:
    """How many pieces come to each step together?

    As many as move on together from the step before; of steps that come together in assembly the first one counts, because it carries the
    main flow. What enters the line enters in the lots of its first step. Over several ways the mean, weighted by pieces.
    """
    return {i: _together(givens, rates, i) for i in range(len(rates.steps))}


def _together(givens: Givens, rates: Rates, i: int) -> Figure:
    sizes: dict[int, tuple[Figure, tuple[Figure, ...], list[tuple[Figure, Figure]]]] = {}
    for way, demand in zip(rates.ways, rates.way_demand, strict=True):
        if i not in way.fresh:
            continue
        takes = givens.line.route.takes_for(way.products[0])[i]
        source = takes[0].step if takes else i
        size = rates.steps[source].together if takes else rates.steps[i].enters
        quantity = _pieces_of_each(way, source) if takes else ()
        sizes.setdefault(source, (size, quantity, []))[2].append((demand, way.fresh[i]))
    if len(sizes) <= 1 and not any(quantity for _, quantity, _ in sizes.values()):
        return next((size for size, _, _ in sizes.values()), rates.steps[i].enters)
    inputs: list[Figure] = []
    shape = []
    for size, quantity, weights in sizes.values():
        inputs += [size, *quantity, *(figure for pair in weights for figure in pair)]
        shape.append((bool(quantity), len(weights)))

    def mean(*values: Any) -> Any:
        rest = iter(values)
        top: Any = 0.0
        total: Any = 0.0
        for counted, ways in shape:
            size = next(rest)
            if counted:
                size = np.maximum(size * next(rest) / next(rest), 1.0)
            weight = sum(next(rest) * next(rest) for _ in range(ways))
            top, total = top + size * weight, total + weight
        return np.where(np.asarray(total) > 0, top / np.maximum(total, 1e-12), 1.0)

    return derive(
        f"pieces that come together / {rates.steps[i].name}",
        mean,
        *inputs,
        unit="pieces",
        formula="pieces that move on together from the step before, in pieces of this step; mean over the ways through",
    )


def _pieces_of_each(way: Visits, k: int) -> tuple[Figure, ...]:
    return () if way.sets[k] is way.passed[k] else (way.sets[k], way.passed[k])
