"""How many pieces must be started at each step for one good unit at the end: yields, scrap, rework loops and assembly quantities."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow.givens import Givens
from pullwright.line.route import Taking

Takes = tuple[tuple[Taking, ...], ...]


@dataclass(frozen=True, slots=True)
class Losses:
    """What becomes of a piece at one step: shares that are good the first time, scrapped, and done again (None where there are none)."""

    first_pass: Figure
    scrap: Figure | None
    rework: Figure | None


@dataclass(frozen=True, slots=True)
class Visits:
    """Pieces at each step for one good unit at the end, along one way through: started, and needed if nothing went wrong."""

    products: tuple[str, ...]
    steps: tuple[int, ...]
    started: dict[int, Figure]
    needed: dict[int, Figure]
    fresh: dict[int, Figure]
    """Started without those that come back for rework: what the step takes from the ones before it."""


def losses_of(givens: Givens, i: int) -> Losses:
    """What share of the pieces at step `i` is good the first time, scrapped, done again?

    Of first-pass yield, scrap and rework a file gives as many as are known: the missing one is what is left of 1; where only the
    first-pass yield is given, the rest is scrap.
    """
    step = givens.line.steps[i]
    path = ("steps", i)
    scrap = None if step.scrap is None else givens.figure((*path, "scrap"))
    again = None if step.rework is None else givens.figure((*path, "rework", "share"))
    name = f"first-pass yield / {step.name}"
    if step.first_pass_yield is None:
        lost = tuple(figure for figure in (scrap, again) if figure is not None)
        if not lost:
            nothing = given(name, 1.0, "share", Source("computed", f"no scrap and no rework is given for {step.name}"))
            return Losses(nothing, None, None)
        first = derive(
            name,
            lambda *shares: 1 - sum(shares),
            *lost,
            unit="share",
            formula="1 - " + " - ".join("scrap" if figure is scrap else "rework" for figure in lost),
        )
        return Losses(first, scrap, again)
    first = givens.figure((*path, "first_pass_yield"))
    if scrap is None and again is None:
        scrap = derive(f"scrap / {step.name}", lambda y: 1 - y, first, unit="share", formula="1 - first-pass yield")
    elif scrap is None and again is not None:
        scrap = derive(
            f"scrap / {step.name}",
            lambda y, r: _rest(y, r),
            first,
            again,
            unit="share",
            formula="1 - first-pass yield - rework",
        )
    return Losses(first, scrap, again)


def _rest(first: Any, again: Any) -> Any:
    import numpy as np

    return np.maximum(1 - first - again, 0.0)


def visits_of(givens: Givens, losses: dict[int, Losses]) -> tuple[Visits, ...]:
    """For every way through: how many pieces are started at each step for one good unit at the end?

    Back from the last step: good pieces out of a step = quantity x pieces that the next one takes fresh; started = good / (1 - scrap - rework);
    fresh = started - those that come back for rework. Products with the same way share one result. Pieces per unit.
    """
    line = givens.line
    ways: dict[tuple[Takes, frozenset[int]], list[str]] = {}
    for product in line.products:
        key = (line.route.takes_for(product.name), line.route.visits(product.name))
        ways.setdefault(key, []).append(product.name)
    shown = len(ways) > 1
    return tuple(
        _along(givens, losses, takes, visited, tuple(products), f" / {' and '.join(products)}" if shown else "")
        for (takes, visited), products in ways.items()
    )


def _along(
    givens: Givens,
    losses: dict[int, Losses],
    takes: Takes,
    visited: frozenset[int],
    products: tuple[str, ...],
    tail: str,
) -> Visits:
    line = givens.line
    taker = {taking.step: (i, taking) for i, each in enumerate(takes) for taking in each}
    back: dict[int, list[int]] = {}
    index = {step.name: i for i, step in enumerate(line.steps)}
    for i in visited:
        rework = line.steps[i].rework
        if rework is not None and rework.to is not None:
            back.setdefault(index[rework.to], []).append(i)
    one = given(
        f"one good unit{tail}",
        1.0,
        "pieces/unit",
        Source("computed", "accounts are kept for one good unit that leaves the line"),
    )
    started: dict[int, Figure] = {}
    needed: dict[int, Figure] = {}
    fresh: dict[int, Figure] = {}
    for i in sorted(visited, key=line.route.order.index, reverse=True):
        step = line.steps[i]
        good, wanted, quantity = one, one, None
        if i in taker:
            into, taking = taker[i]
            good, wanted = fresh[into], needed[into]
            quantity = _quantity(givens, into, taking)
        need = wanted
        if quantity is not None:
            said = f"quantity x pieces taken by {line.steps[taker[i][0]].name}"
            good = derive(
                f"good pieces wanted / {step.name}{tail}",
                lambda g, q: g * q,
                good,
                quantity,
                unit="pieces/unit",
                formula=said,
            )
            need = derive(
                f"pieces needed / {step.name}{tail}",
                lambda g, q: g * q,
                wanted,
                quantity,
                unit="pieces/unit",
                formula=said,
            )
        needed[i] = need
        started[i] = _started(
            f"pieces started / {step.name}{tail}",
            good,
            losses[i],
            in_place=step.rework is not None and step.rework.to is None,
        )
        returning = [k for k in back.get(i, ()) if k in started]
        fresh[i] = started[i]
        if returning:
            inputs = [figure for k in returning for figure in (started[k], losses[k].rework) if figure is not None]
            fresh[i] = derive(
                f"pieces taken fresh / {step.name}{tail}", _less_returning, started[i], *inputs, unit="pieces/unit",
                formula="pieces started - pieces that come back from " + " and ".join(line.steps[k].name for k in returning),
            )  # fmt: skip
    return Visits(products, tuple(i for i in line.route.order if i in visited), started, needed, fresh)


def _started(name: str, good: Figure, loss: Losses, *, in_place: bool) -> Figure:
    """Pieces put right on the spot leave good; all others that fail leave the flow here."""
    lost = tuple(figure for figure in (loss.scrap, None if in_place else loss.rework) if figure is not None)
    if not lost:
        return derive(name, lambda g: g * 1.0, good, unit="pieces/unit", formula="good pieces wanted")
    words = " - ".join(["1", *("scrap" if figure is loss.scrap else "rework" for figure in lost)])
    return derive(
        name,
        lambda g, *shares: g / _above_zero(1 - sum(shares)),
        good,
        *lost,
        unit="pieces/unit",
        formula=f"good pieces wanted / ({words})",
    )


def _above_zero(share: Any) -> Any:
    """A draw of a counted share may leave next to nothing good; a millionth keeps the arithmetic finite."""
    import numpy as np

    return np.maximum(share, 1e-6)


def _less_returning(started: Any, *pairs: Any) -> Any:
    return started - sum(pairs[k] * pairs[k + 1] for k in range(0, len(pairs), 2))


def _quantity(givens: Givens, into: int, taking: Taking) -> Figure | None:
    return (
        None
        if taking.quantity is None
        else givens.figure(("steps", into, "after", taking.place or 0, "quantity"), taking.quantity)
    )
