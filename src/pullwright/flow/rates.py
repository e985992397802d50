"""How many pieces a working day go through each step, for each group of products that is worked on alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, Source, derive, derive_many, given
from pullwright.flow import effective
from pullwright.flow.givens import Givens
from pullwright.flow.losses import Losses, losses_of, stays
from pullwright.flow.preparing import Preparing, preparing_of
from pullwright.flow.visits import Visits, visits_of
from pullwright.flow.work import Work, works_of


@dataclass(frozen=True, slots=True)
class Group:
    """Products that need the same work at a step: pieces started and needed a working day (pieces/wd), and the work."""

    work: Work
    started: Figure
    needed: Figure


@dataclass(frozen=True, slots=True)
class Repair:
    """Putting right on the spot: which share of the pieces, how long (s), by how many people."""

    share: Figure
    time: Figure
    cv: Figure
    people: Figure


@dataclass(frozen=True, slots=True)
class StepRates:
    """One step: losses, groups, pieces a working day, and how long a piece takes by nature (mean s, variance s²)."""

    index: int
    name: str
    losses: Losses
    groups: tuple[Group, ...]
    started: Figure
    needed: Figure
    mean: Figure
    variance: Figure
    repair: Repair | None
    set_up: Preparing | None
    transfer: int
    """Pieces that move on together: the transfer lot, else the lot, else one; at least as many as are carried at a time."""
    enters: Figure
    """Pieces that enter the line together where this is their first step: the transfer lot, else the lot, else one."""
    together: Figure
    """Pieces that move on together, as a figure with the field that says so."""


@dataclass(frozen=True, slots=True)
class Rates:
    """All steps at the rate that customers pull, the demand of each product and of all (pieces/wd), and the ways through."""

    demand: Figure
    products: tuple[Figure, ...]
    steps: tuple[StepRates, ...]
    ways: tuple[Visits, ...]
    way_demand: tuple[Figure, ...]


def rates_of(givens: Givens) -> Rates:
    """What must go through each step so that customers get what they pull?"""
    line = givens.line
    products = tuple(givens.per_day(("products", p, "demand")) for p in range(len(line.products)))
    by_name = dict(zip((product.name for product in line.products), products, strict=True))
    demand = _total("demand", list(products), "sum of the demand of all products")
    losses = {i: losses_of(givens, i) for i in range(len(line.steps))}
    ways = visits_of(givens, losses)
    way_demand = tuple(
        demand if len(ways) == 1 else _total(f"demand / {' and '.join(way.products)}", [by_name[name] for name in way.products], "sum of the demand of these products")
        for way in ways
    )  # fmt: skip
    steps = tuple(_step(givens, i, losses[i], ways, way_demand, by_name) for i in range(len(line.steps)))
    return Rates(demand, products, steps, ways, way_demand)


def _step(
    givens: Givens,
    i: int,
    losses: Losses,
    ways: tuple[Visits, ...],
    way_demand: tuple[Figure, ...],
    by_name: dict[str, Figure],
) -> StepRates:
    step = givens.line.steps[i]
    works = works_of(givens, i)
    through = [(way, demand) for way, demand in zip(ways, way_demand, strict=True) if i in way.started]
    started = _flow(f"pieces started a day / {step.name}", [(demand, way.started[i]) for way, demand in through])
    needed = _flow(f"pieces needed a day / {step.name}", [(demand, way.needed[i]) for way, demand in through])
    if len(works) == 1:
        groups: tuple[Group, ...] = (Group(works[0], started, needed),)
    else:
        groups = tuple(_group(step.name, i, work, ways, by_name) for work in works)
    mean, variance = _mixed(step.name, groups)
    repair = _repair(givens, i, losses, mean) if stays(givens, i) else None
    set_up = (
        None
        if step.set_up is None or step.smallest_lot is None
        else preparing_of(givens, i, step.set_up, started, by_name, _by_product(givens, i, ways, by_name))
    )
    enters = _lot(givens, i)
    together = _largest(step.name, [enters, *_carried(givens, i)])
    return StepRates(
        i,
        step.name,
        losses,
        groups,
        started,
        needed,
        mean,
        variance,
        repair,
        set_up,
        int(together.value),
        enters,
        together,
    )


def _by_product(givens: Givens, i: int, ways: tuple[Visits, ...], by_name: dict[str, Figure]) -> dict[str, Figure]:
    """Pieces started a day of each product at a step that has a lot for each; nothing elsewhere."""
    step = givens.line.steps[i]
    if not step.lots:
        return {}
    return {
        product: _flow(f"pieces started a day / {step.name} / {product}", [(by_name[product], way.started[i])])
        for way in ways
        if i in way.started
        for product in way.products
    }


def _repair(givens: Givens, i: int, losses: Losses, mean: Figure) -> Repair | None:
    """Putting right on the spot; without a time of its own it takes as long as doing, without people as many as doing."""
    if losses.rework is None:
        return None
    step, path = givens.line.steps[i], ("steps", i, "rework")
    given_time = None if step.rework is None else step.rework.time
    time = mean if given_time is None else givens.figure((*path, "time"))
    people = (
        givens.number(("steps", i, "people"), step.people, "persons")
        if step.rework is None
        else givens.number((*path, "people"), step.rework.people, "persons")
    )
    return Repair(losses.rework, time, givens.cv((*path, "time"), given_time, "manual cv"), people)


def _lot(givens: Givens, i: int) -> Figure:
    """How many pieces of step `i` are kept together by its lots?"""
    step = givens.line.steps[i]
    if step.transfer_lot is None and step.lots:
        k = min(range(len(step.lots)), key=lambda k: step.lots[k].pieces)
        return givens.number(("steps", i, "lots", k, "pieces"), step.lots[k].pieces, "pieces")
    for field, value in (("transfer_lot", step.transfer_lot), ("lot", step.lot)):
        if value is not None:
            return givens.number(("steps", i, field), value, "pieces")
    return given(
        f"pieces that move on together / {step.name}",
        1.0,
        "pieces",
        Source("computed", f"no lot is given for {step.name}: its pieces move on one by one"),
    )


def _carried(givens: Givens, i: int) -> list[Figure]:
    """How many pieces are carried away from step `i` at a time? Nobody carries 14 before 14 are done."""
    return [
        givens.number(("moves", m, "batch"), move.batch, "pieces")
        for m, move in enumerate(givens.line.moves)
        if move.from_ == givens.line.steps[i].name and move.to != "shipping"
    ]


def _largest(name: str, sizes: list[Figure]) -> Figure:
    """The largest of them; where several lots are tried at once, that of each try."""
    if len(sizes) == 1 or all(size.certain for size in sizes):
        return max(sizes, key=lambda size: size.value)
    return derive(
        f"pieces that move on together / {name}",
        lambda *each: np.maximum.reduce(list(each)),
        *sizes,
        unit="pieces",
        formula="the larger of its lot and what is carried at a time",
    )


def _group(name: str, i: int, work: Work, ways: tuple[Visits, ...], by_name: dict[str, Figure]) -> Group:
    tail = f"{name} / {' and '.join(work.products)}"
    pairs = [(product, next(way for way in ways if product in way.products)) for product in work.products]
    started = _flow(f"pieces started a day / {tail}", [(by_name[product], way.started[i]) for product, way in pairs])
    needed = _flow(f"pieces needed a day / {tail}", [(by_name[product], way.needed[i]) for product, way in pairs])
    return Group(work, started, needed)


def _mixed(name: str, groups: tuple[Group, ...]) -> tuple[Figure, Figure]:
    if len(groups) == 1:
        return groups[0].work.cycle, groups[0].work.variance
    inputs = [figure for group in groups for figure in (group.started, group.work.cycle, group.work.variance)]

    def mix(*values: Any) -> tuple[Any, Any]:
        rates, means, variances = values[0::3], values[1::3], values[2::3]
        total = np.maximum(sum(rates), 1e-12)
        return effective.mixture([rate / total for rate in rates], list(means), list(variances))

    mean, variance = derive_many(
        (f"cycle time / {name}", f"variance of the cycle time / {name}"), mix, *inputs, units=("s", "s2"),
        formulas=("mean over the products, weighted by the pieces started", "variance of the mix of products (law of total variance)"),
    )  # fmt: skip
    return mean, variance


def _total(name: str, figures: list[Figure], formula: str) -> Figure:
    return derive(name, lambda *rates: sum(rates), *figures, unit="pieces/wd", formula=formula)


def _flow(name: str, pairs: list[tuple[Figure, Figure]]) -> Figure:
    inputs = [figure for pair in pairs for figure in pair]
    return derive(
        name,
        lambda *v: sum(v[k] * v[k + 1] for k in range(0, len(v), 2)),
        *inputs,
        unit="pieces/wd",
        formula="demand x pieces for one good unit",
    )
