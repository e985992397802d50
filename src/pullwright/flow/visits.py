"""How many pieces must be started at each step for one good unit at the end: yields, scrap, rework loops and assembly quantities."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce
from operator import mul
from typing import Any

from pullwright.figure import Figure, Source, derive, given
from pullwright.flow.givens import Givens
from pullwright.flow.losses import Losses, good_share, stays
from pullwright.line.route import Taking

Takes = tuple[tuple[Taking, ...], ...]


@dataclass(frozen=True, slots=True)
class Back:
    """Pieces that go back from step `start` to step `end`: as many of the one step, and as many as they are there (pieces per unit)."""

    start: int
    end: int
    leaving: Figure
    coming: Figure


@dataclass(frozen=True, slots=True)
class Visits:
    """Pieces at each step for one good unit at the end, along one way through: started, and needed if nothing went wrong."""

    products: tuple[str, ...]
    steps: tuple[int, ...]
    started: dict[int, Figure]
    needed: dict[int, Figure]
    fresh: dict[int, Figure]
    """Started without those that come back for rework: what the step takes from the ones before it."""
    passed: dict[int, Figure]
    """Good pieces that go on from the step; 1 at the last one."""
    sets: dict[int, Figure]
    """The same, counted in pieces of the step that takes them."""
    backs: tuple[Back, ...]


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
        _Along(givens, losses, takes, visited, f" / {' and '.join(products)}" if shown else "").visits(tuple(products))
        for (takes, visited), products in ways.items()
    )


class _Along:
    """One way through, worked out from its end to its beginning."""

    def __init__(
        self, givens: Givens, losses: dict[int, Losses], takes: Takes, visited: frozenset[int], tail: str
    ) -> None:
        self.givens, self.losses, self.tail = givens, losses, tail
        self.steps, self.takes = givens.line.steps, givens.line.route.takes
        self.order = tuple(i for i in givens.line.route.order if i in visited)
        self.taker = {taking.step: i for i, each in enumerate(takes) for taking in each}
        index = {step.name: i for i, step in enumerate(self.steps)}
        self.to = {
            i: index[rework.to]
            for i in self.order
            if (rework := self.steps[i].rework) is not None and rework.to is not None and index[rework.to] in visited
        }

    def visits(self, products: tuple[str, ...]) -> Visits:
        one = given(
            f"one good unit{self.tail}",
            1.0,
            "pieces/unit",
            Source("computed", "accounts are kept for one good unit that leaves the line"),
        )
        found = Visits(products, self.order, {}, {}, {}, {}, {}, ())
        backs: list[Back] = []
        for i in reversed(self.order):
            self._step(i, one, found, backs)
        return Visits(
            products, self.order, found.started, found.needed, found.fresh, found.passed, found.sets, tuple(backs)
        )

    def _step(self, i: int, one: Figure, found: Visits, backs: list[Back]) -> None:
        name, loss = self.steps[i].name, self.losses[i]
        found.sets[i] = found.passed[i] = found.needed[i] = one
        if i in self.taker:
            into = self.taker[i]
            found.sets[i] = self._new_sets(i, into, found, backs)
            found.passed[i] = self._of_each(i, f"good pieces wanted / {name}{self.tail}", found.sets[i])
            found.needed[i] = self._of_each(i, f"pieces needed / {name}{self.tail}", found.needed[into])
        found.started[i] = self._started(i, found.passed[i])
        if i in self.to and loss.rework is not None:
            backs.append(self._back(i, self.to[i], found.started[i], loss.rework))
        returning = [back for back in backs if back.end == i]
        found.fresh[i] = found.started[i]
        if returning:
            found.fresh[i] = derive(
                f"pieces taken fresh / {name}{self.tail}", lambda s, *r: s - sum(r), found.started[i], *(back.coming for back in returning), unit="pieces/unit",
                formula="pieces started - pieces that come back from " + " and ".join(self.steps[back.start].name for back in returning),
            )  # fmt: skip

    def _started(self, i: int, good: Figure) -> Figure:
        """Pieces put right on the spot leave good; all others that fail leave the flow here."""
        scrap, rework = self.losses[i].scrap, None if stays(self.givens, i) else self.losses[i].rework
        name = f"pieces started / {self.steps[i].name}{self.tail}"
        lost = tuple(figure for figure in (scrap, rework) if figure is not None)
        if not lost:
            return derive(name, lambda g: g * 1.0, good, unit="pieces/unit", formula="good pieces wanted")
        words = " - ".join(["1", *("scrap" if figure is scrap else "rework" for figure in lost)])
        return derive(
            name,
            lambda g, *shares: g / good_share(sum(shares), 0.0),
            good,
            *lost,
            unit="pieces/unit",
            formula=f"good pieces wanted / ({words})",
        )

    def _back(self, start: int, end: int, started: Figure, share: Figure) -> Back:
        """What goes back is taken apart where it was put together: a piece of the one step is as many of the other as went into it."""
        names = f"{self.steps[start].name} to {self.steps[end].name}{self.tail}"
        leaving = derive(
            f"pieces that go back / {names}", lambda s, r: s * r, started, share, unit="pieces/unit", formula="pieces started x rework"
        )  # fmt: skip
        quantities = self._units(end, start)
        if not quantities:
            return Back(start, end, leaving, leaving)
        coming = derive(
            f"pieces that come back / {names}",
            lambda *v: reduce(mul, v),
            leaving,
            *quantities,
            unit="pieces/unit",
            formula="pieces that go back x how many of them went into one",
        )
        return Back(start, end, leaving, coming)

    def _new_sets(self, i: int, into: int, found: Visits, backs: list[Back]) -> Figure:
        """What the next step takes of this one: all that it takes fresh, but no second one for a unit that comes round again by another branch."""
        round_again = [
            back
            for back in backs
            if into != back.end and into in self._path(back.end, back.start) and i not in self._path(back.end, back.start)
        ]  # fmt: skip
        if not round_again:
            return found.fresh[into]
        steps = [k for k in self.order if self.losses[k].scrap is not None or k in self.to]
        shares = [figure for k in steps for figure in (self.losses[k].scrap, self.losses[k].rework) if figure]
        held = [(self.losses[k].scrap is not None, self.losses[k].rework is not None) for k in steps]
        # A set that went round again is counted in units of the step where it went back from.
        units = [self._units(into, back.start) for back in round_again]
        sizes = [len(figures) for figures in units]

        def new(fresh: Any, *values: Any) -> Any:
            rest = iter(values)
            again = [next(rest) * reduce(mul, [next(rest) for _ in range(size)], 1.0) for size in sizes]
            lost = {
                k: (next(rest) if scrapped else 0.0, next(rest) if reworked else 0.0)
                for k, (scrapped, reworked) in zip(steps, held, strict=True)
            }
            return fresh - sum(
                pieces * self._reach(back.end, into, lost) for pieces, back in zip(again, round_again, strict=True)
            )

        inputs = [
            figure for back, figures in zip(round_again, units, strict=True) for figure in (back.leaving, *figures)
        ]
        return derive(
            f"sets wanted / {self.steps[i].name} for {self.steps[into].name}{self.tail}", new, found.fresh[into], *inputs, *shares, unit="pieces/unit",
            formula="pieces taken fresh - those that come round again by another branch and have theirs already",
        )  # fmt: skip

    def _units(self, start: int, end: int) -> list[Figure]:
        """How many of one step go into a piece of another one further on: the quantities on the way."""
        path = self._path(start, end)
        return [figure for k in path[:-1] for figure in self._quantities(k)] if path[-1] == end else []

    def _reach(self, start: int, end: int, lost: dict[int, tuple[Any, Any]]) -> Any:
        """Share of the pieces at step `start` that ever come to step `end` further on; the rest is scrapped on the way."""
        share: Any = 1.0
        for k in self._path(start):
            if k == end:
                break
            scrap, again = lost.get(k, (0.0, 0.0))
            if k in self.to:
                share = share * good_share(scrap, again) / (1.0 - again * self._reach(self.to[k], k, lost))
            else:
                share = share * good_share(scrap, 0.0)
        return share

    def _path(self, start: int, end: int | None = None) -> tuple[int, ...]:
        """The steps from one on, to the last one or to `end`."""

        def steps() -> Iterator[int]:
            at: int | None = start
            while at is not None:
                yield at
                at = None if at == end else self.taker.get(at)

        return tuple(steps())

    def _of_each(self, i: int, name: str, pieces: Figure) -> Figure:
        quantities = self._quantities(i)
        if not quantities:
            return pieces
        said = f"quantity x pieces taken by {self.steps[self.taker[i]].name}"
        return derive(name, lambda *v: reduce(mul, v), pieces, *quantities, unit="pieces/unit", formula=said)

    def _quantities(self, i: int) -> list[Figure]:
        """How many of step `i` go into one of the step that takes them; those of a step that is skipped between them count too."""

        def search(into: int) -> list[tuple[int, int]] | None:
            for taking in self.takes[into]:
                here = [] if taking.quantity is None else [(into, taking.place or 0)]
                if taking.step == i:
                    return here
                if taking.step not in self.order and (further := search(taking.step)) is not None:
                    return here + further
            return None

        return [
            self.givens.figure(("steps", into, "after", place, "quantity"))
            for into, place in search(self.taker[i]) or []
        ]
