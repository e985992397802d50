"""How many pieces go over each move of the line."""

from __future__ import annotations

from typing import Any

from pullwright.account.rows import nothing
from pullwright.figure import Figure, derive
from pullwright.flow import Flow

Pair = tuple[Figure, Figure]
"""A demand, and the pieces moved for one good unit of it."""


def moved_pieces(flow: Flow, m: int) -> Figure:
    """How many pieces go over move `m` in a working day (pieces/wd)?

    From receiving to a step: what the step takes fresh. From a part: what that step uses of it. From a step to the one that takes from
    it: its good pieces, those too that come round again; to the one where its failed pieces go back: those. To shipping: what is
    shipped from there. Between steps that do not follow one another nothing goes.
    """
    move = flow.line.moves[m]
    index = {step.name: i for i, step in enumerate(flow.line.steps)}
    if move.to == "shipping":
        shipped = next((stock for stock in flow.stocks if stock.kind == "after" and stock.name == move.from_), None)
        return flow.shipped if shipped is None else shipped.taken
    into = index[move.to]
    if move.from_ in index:
        pairs, words = _between(flow, index[move.from_], into), "pieces that go on, or back, for one good unit"
    elif any(part.name == move.from_ for part in flow.line.parts):
        return _used_at(flow, move.from_, into, f"{move.from_} to {move.to}")
    else:
        pairs, words = _fresh(flow, into), "pieces taken fresh for one good unit"
    name = f"pieces moved a day / {move.from_} to {move.to}"
    if not pairs:
        return nothing(name, "pieces/wd", f"no product goes from {move.from_} to {move.to}")
    return derive(
        name,
        lambda made, *v: made * sum(v[k] * v[k + 1] for k in range(0, len(v), 2)),
        flow.made,
        *(figure for pair in pairs for figure in pair),
        unit="pieces/wd",
        formula=f"demand, as far as made, x {words}",
    )


def _between(flow: Flow, start: int, into: int) -> list[Pair]:
    pairs = []
    for way, demand in zip(flow.rates.ways, flow.rates.way_demand, strict=True):
        if start not in way.started or into not in way.started:
            continue
        if any(taking.step == start for taking in flow.line.route.takes_for(way.products[0])[into]):
            pairs.append((demand, way.passed[start]))
        pairs += [(demand, back.leaving) for back in way.backs if (back.start, back.end) == (start, into)]
    return pairs


def _fresh(flow: Flow, into: int) -> list[Pair]:
    return [
        (demand, way.fresh[into])
        for way, demand in zip(flow.rates.ways, flow.rates.way_demand, strict=True)
        if into in way.fresh
    ]


def _used_at(flow: Flow, part: str, into: int, said: str) -> Figure:
    """What a step uses of a part: demand x pieces taken fresh x quantity, product by product."""
    step = flow.line.steps[into].name
    inputs: list[Figure] = []
    for k, product in enumerate(flow.line.products):
        way = next(way for way in flow.rates.ways if product.name in way.products)
        for u, use in enumerate(product.uses):
            if use.part == part and use.at == step and into in way.fresh:
                inputs += [
                    flow.rates.products[k],
                    way.fresh[into],
                    flow.givens.figure(("products", k, "uses", u, "quantity")),
                ]
    name = f"pieces moved a day / {said}"
    if not inputs:
        return nothing(name, "pieces/wd", f"{step} takes no {part}")

    def used(made: Any, *v: Any) -> Any:
        return made * sum(v[k] * v[k + 1] * v[k + 2] for k in range(0, len(v), 3))

    return derive(
        name,
        used,
        flow.made,
        *inputs,
        unit="pieces/wd",
        formula="demand, as far as made, x pieces taken fresh for one good unit x quantity",
    )
