"""The ladder: where a piece waits and where it is worked on, along each flow, and what share of that is value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.givens import Givens
from pullwright.flow.rates import Rates
from pullwright.flow.stock import Stock
from pullwright.line.route import Chain

RungKind = Literal["waiting", "moving", "touch"]


@dataclass(frozen=True, slots=True)
class Rung:
    """One stretch of the lead time (s of working time): a wait, a move, or work; `step` is the one that it leads to or is."""

    kind: RungKind
    name: str
    time: Figure
    step: int


@dataclass(frozen=True, slots=True)
class ChainLadder:
    """The ladder of one flow: its rungs in order, their sum (lead), the work (touch) and the value-adding part of it, in seconds."""

    chain: Chain
    rungs: tuple[Rung, ...]
    lead: Figure
    touch: Figure
    value: Figure


@dataclass(frozen=True, slots=True)
class Ladder:
    """Main flow first, then the sub-flows; lead time and touch time of the main flow, the longest way through, process cycle efficiency."""

    chains: tuple[ChainLadder, ...]
    lead: Figure
    lead_days: Figure
    touch: Figure
    value: Figure
    efficiency: Figure
    longest: Figure


def ladder_of(givens: Givens, rates: Rates, stocks: tuple[Stock, ...], day: Figure) -> Ladder:
    """How long is a piece under way, where, and for what?"""
    line = givens.line
    before = {stock.step: stock for stock in stocks if stock.kind == "before"}
    after = {stock.step: stock for stock in stocks if stock.kind == "after"}
    parts: dict[int, list[Stock]] = {}
    for stock in stocks:
        if stock.kind == "part" and stock.step is not None:
            parts.setdefault(stock.step, []).append(stock)
    ends = {line.route.last_for(product.name) for product in line.products}
    chains = []
    for number, chain in enumerate(line.route.chains):
        tail = "" if number == 0 else f" / {line.steps[chain.steps[-1]].name}"
        rungs: list[Rung] = []
        for k, i in enumerate(chain.steps):
            step = line.steps[i]
            if k == 0 and not line.route.takes[i] and parts.get(i):
                # The part that lies longest is the one that the piece has waited for.
                longest = max(parts[i], key=lambda stock: stock.lasts.value)
                rungs.append(Rung("waiting", longest.name, longest.lasts, i))
            rungs += _move(givens, chain.steps[k - 1] if k else (chain.leaves if chain.leaves is not None else None), i)
            rungs.append(Rung("waiting", f"before {step.name}", before[i].lasts, i))
            rungs.append(Rung("touch", step.name, rates.steps[i].mean, i))
        last = chain.steps[-1]
        if chain.joins is not None:
            rungs += _move(givens, last, chain.joins)
        if last in ends and last in after:
            rungs.append(Rung("waiting", f"after {line.steps[last].name}", after[last].lasts, last))
            rungs += _move(givens, last, None)
        chains.append(_chain(givens, rates, chain, tuple(rungs), tail))
    main = chains[0]
    days = derive(
        "lead time in days",
        lambda t, d: t / d,
        main.lead,
        day,
        unit="wd",
        formula="lead time / net working time of a day",
    )
    efficiency = derive(
        "process cycle efficiency",
        lambda v, t: np.where(t > 0, v / np.maximum(t, 1e-12), 0.0),
        main.value,
        main.lead,
        unit="share",
        formula="value-adding time / lead time",
    )
    return Ladder(tuple(chains), main.lead, days, main.touch, main.value, efficiency, _longest(givens, chains))


def _chain(givens: Givens, rates: Rates, chain: Chain, rungs: tuple[Rung, ...], tail: str) -> ChainLadder:
    lead = derive(
        f"lead time{tail}",
        lambda *t: sum(t),
        *(rung.time for rung in rungs),
        unit="s",
        formula="sum of waiting, moving and touch time",
    )
    touches = [rung.time for rung in rungs if rung.kind == "touch"]
    touch = derive(f"touch time{tail}", lambda *t: sum(t), *touches, unit="s", formula="sum of the cycle times")
    value = [_value(givens, rates, i) for i in chain.steps]
    adding = derive(f"value-adding time{tail}", lambda *t: sum(t), *value, unit="s", formula="sum over the steps")
    return ChainLadder(chain, rungs, lead, touch, adding)


def _value(givens: Givens, rates: Rates, i: int) -> Figure:
    step = rates.steps[i]
    name = f"value-adding time of a piece / {step.name}"
    inputs = [
        figure
        for group in step.groups
        if "value" in group.work.kinds
        for figure in (group.needed, group.work.kinds["value"])
    ]

    def value(total: Any, *pairs: Any) -> Any:
        return (
            np.where(
                total > 0, sum(pairs[k] * pairs[k + 1] for k in range(0, len(pairs), 2)) / np.maximum(total, 1e-12), 0.0
            )
            + 0.0 * total
        )

    return derive(
        name,
        value,
        step.needed,
        *inputs,
        unit="s",
        formula="value-adding time of a piece, mean over the products"
        if inputs
        else "no element of this step adds value",
    )


def move_time(givens: Givens, m: int) -> Figure:
    """How long does a piece travel on move `m`, one way? Distance / speed + handling (s)."""
    return givens.once(("move time", m), lambda: _move_time(givens, m))


def _move_time(givens: Givens, m: int) -> Figure:
    move = givens.line.moves[m]
    speed = givens.assumed("walking speed") if move.speed is None else givens.figure(("moves", m, "speed"))
    handling = (givens.figure(("moves", m, "handling")),) if move.handling is not None else ()
    name = f"moving / {move.from_} to {move.to}"
    return derive(
        name,
        lambda d, v, *h: d / v + sum(h),
        givens.figure(("moves", m, "distance")),
        speed,
        *handling,
        unit="s",
        formula="distance / speed" + (" + handling" if handling else ""),
    )


def _move(givens: Givens, start: int | None, end: int | None) -> list[Rung]:
    line = givens.line
    names = [step.name for step in line.steps]
    wanted = ("receiving" if start is None else names[start], "shipping" if end is None else names[end])
    step = start if end is None else end
    return [
        Rung("moving", f"{move.from_} to {move.to}", move_time(givens, m), step or 0)
        for m, move in enumerate(line.moves)
        if (move.from_, move.to) == wanted
    ]


def _longest(givens: Givens, chains: list[ChainLadder]) -> Figure:
    """The longest way through: each flow with what comes before it where it leaves another one, and what is left of the one that it joins."""
    place = {i: chain for chain in chains for i in chain.chain.steps}

    def before(chain: ChainLadder) -> list[Figure]:
        leaves = chain.chain.leaves
        if leaves is None:
            return []
        start = place[leaves]
        end = next(k for k, rung in enumerate(start.rungs) if rung.step == leaves and rung.kind == "touch")
        return before(start) + [rung.time for rung in start.rungs[: end + 1]]

    def after(chain: ChainLadder) -> list[Figure]:
        joins = chain.chain.joins
        if joins is None:
            return []
        into = place[joins]
        # It waits before the step that it joins like the flow which it joins there.
        start = next(
            k
            for k, rung in enumerate(into.rungs)
            if rung.step == joins and rung.name == f"before {givens.line.steps[joins].name}"
        )
        return [rung.time for rung in into.rungs[start:]] + after(into)

    whole = [before(chain) + [rung.time for rung in chain.rungs] + after(chain) for chain in chains]
    sizes = [len(times) for times in whole]

    def longest(*values: Any) -> Any:
        found, at = [], 0
        for size in sizes:
            found.append(sum(values[at : at + size]))
            at += size
        return np.maximum.reduce(found)

    return derive(
        "longest way through",
        longest,
        *(figure for times in whole for figure in times),
        unit="s",
        formula="the longest of the ways through the flows that come together",
    )
