"""How many pieces a working day go through each step, for each group of products that is worked on alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow import effective
from pullwright.flow.givens import Givens
from pullwright.flow.visits import Losses, Visits, losses_of, visits_of
from pullwright.flow.work import Work, works_of
from pullwright.line.model import SetUp


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
class Preparing:
    """Set-ups of a step: mean time of one (s), its cv, pieces between two, people who do it, how many a working day."""

    time: Figure
    cv: Figure
    lot: Figure
    people: Figure
    per_day: Figure


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
    """Pieces that move on together: the transfer lot, else the lot, else one."""


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
    repair = None
    if step.rework is not None and step.rework.to is None:
        path = ("steps", i, "rework")
        # Without a time of its own, putting right takes as long as doing.
        time = mean if step.rework.time is None else givens.figure((*path, "time"))
        cv = givens.cv((*path, "time"), step.rework.time, "manual cv")
        repair = Repair(
            givens.figure((*path, "share")), time, cv, givens.number((*path, "people"), step.rework.people, "persons")
        )
    set_up = (
        None
        if step.set_up is None or step.lot is None
        else _preparing(givens, i, step.set_up, step.lot, started, by_name)
    )
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
        step.transfer_lot or step.lot or 1,
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

    from pullwright.figure import derive_many

    mean, variance = derive_many(
        (f"cycle time / {name}", f"variance of the cycle time / {name}"), mix, *inputs, units=("s", "s2"),
        formulas=("mean over the products, weighted by the pieces started", "variance of the mix of products (law of total variance)"),
    )  # fmt: skip
    return mean, variance


def _preparing(
    givens: Givens, i: int, set_up: SetUp, lot: int, started: Figure, by_name: dict[str, Figure]
) -> Preparing:
    path = ("steps", i, "set_up")
    name = givens.line.steps[i].name
    usual = givens.figure((*path, "time"))
    pairs = [pair for pair in set_up.pairs if pair.from_ != pair.to]
    time = usual
    if pairs and len(by_name) > 1:
        own = [
            givens.figure((*path, "pairs", k, "time")) for k, pair in enumerate(set_up.pairs) if pair.from_ != pair.to
        ]
        order = [(list(by_name).index(pair.from_), list(by_name).index(pair.to)) for pair in pairs]
        time = derive(
            f"set-up time / {name}", lambda t, *rest: _mean_set_up(t, rest[: len(own)], rest[len(own) :], order), usual, *own, *by_name.values(),
            unit="s", formula="mean over the changes from one product to another, weighted by how often they follow each other",
        )  # fmt: skip
    pieces = givens.number(("steps", i, "lot"), lot, "pieces")
    per_day = derive(
        f"set-ups a day / {name}",
        lambda r, n: r / n,
        started,
        pieces,
        unit="set-ups/wd",
        formula="pieces started a day / lot",
    )
    return Preparing(
        time,
        givens.cv((*path, "time"), set_up.time, "set-up cv"),
        pieces,
        givens.number((*path, "people"), set_up.people, "persons"),
        per_day,
    )


def _mean_set_up(usual: Any, own: tuple[Any, ...], demands: tuple[Any, ...], order: list[tuple[int, int]]) -> Any:
    total = sum(demands)
    changes = total * total - sum(demand * demand for demand in demands)
    more = sum((time - usual) * demands[a] * demands[b] for time, (a, b) in zip(own, order, strict=True))
    return usual + np.where(np.asarray(changes) > 0, more / np.maximum(changes, 1e-12), 0.0)


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
