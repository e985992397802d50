"""What is in a piece by the time it lies in a place: the hands that worked on it and the parts that went into it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import Any

import numpy as np

from pullwright.account.rows import nothing
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stock import Stock
from pullwright.flow.visits import Visits

Term = tuple[Figure, int, tuple[Figure, ...]]
"""One thing that goes in: the demand that it goes with, of how many products that is, and what is multiplied with it."""
_SHARED = "one good unit, mean over the products / pieces that come there for the first time"


class Contents:
    """What has gone into a piece, stock by stock, with all that was scrapped and done again on the way.

    Work and parts of all steps before are added up for one good unit at the end of the way, and shared by the pieces that come to the
    place for the first time: a piece that comes round again is the same piece. Products are weighed by their demand, or alike where
    nobody pulls any of them.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self._index = {step.name: i for i, step in enumerate(flow.line.steps)}
        self._part = {part.name: p for p, part in enumerate(flow.line.parts)}
        self._kept: dict[tuple[str, str], Figure] = {}

    def hands(self, stock: Stock) -> Figure:
        """How much attended work is in a piece that lies there (person-s/piece)?"""

        def terms(w: int, way: Visits) -> Iterable[Term]:
            for i in self._worked(stock, way):
                if i in self._hands_on_a_piece:
                    yield self._demand(w), len(way.products), (way.started[i], self._hands_on_a_piece[i])

        return self._shared(
            "hands", stock, terms, "person-s/piece", "pieces started x hands on a piece, all steps before", "nobody has worked on it yet"
        )  # fmt: skip

    def hours_of(self, stock: Stock, pieces: Figure) -> Figure:
        """How much attended work goes into so many pieces a day for that stock (person-s/wd)?"""
        return derive(
            f"hours / made ahead / {stock.words}",
            lambda n, h: n * h,
            pieces,
            self.hands(stock),
            unit="person-s/wd",
            formula="pieces a day by which the stock grows x hands in a piece there",
        )

    def material(self, stock: Stock) -> Figure:
        """What do the parts in a piece that lies there cost (money/piece)?"""

        def terms(w: int, way: Visits) -> Iterable[Term]:
            for i, k, u, p in self._uses(stock, way):
                quantity = self.flow.givens.figure(("products", k, "uses", u, "quantity"))
                price = self.flow.givens.figure(("parts", p, "price"))
                yield self.flow.rates.products[k], 1, (way.fresh[i], quantity, price)

        return self._shared(
            "parts", stock, terms, "money/piece", "pieces taken fresh x quantity x price, all parts that have gone in",
            "no part has gone in yet; what nobody counted here lies in the store of its parts",
        )  # fmt: skip

    def parts(self, stock: Stock) -> dict[int, Figure]:
        """How many of each part are in a piece that lies there, by index of the part?"""
        inside = {p for _, way in self._ways(stock) for *_, p in self._uses(stock, way)}
        return {p: self._part_inside(stock, p) for p in sorted(inside)}

    def _part_inside(self, stock: Stock, part: int) -> Figure:
        def terms(w: int, way: Visits) -> Iterable[Term]:
            for i, k, u, p in self._uses(stock, way):
                if p == part:
                    quantity = self.flow.givens.figure(("products", k, "uses", u, "quantity"))
                    yield self.flow.rates.products[k], 1, (way.fresh[i], quantity)

        what = f"pieces of {self.flow.line.parts[part].name}"
        return self._shared(what, stock, terms, "1", "pieces taken fresh x quantity, all steps that have taken it", "")

    # --- which steps ------------------------------------------------------------------------------------------------

    def _ways(self, stock: Stock) -> list[tuple[int, Visits]]:
        """The ways of the products that come to this place."""
        through = [
            (w, way) for w, way in enumerate(self.flow.rates.ways) if stock.kind != "part" and stock.step in way.started
        ]
        if stock.kind == "before":
            return through
        return [(w, way) for w, way in through if self.flow.line.route.last_for(way.products[0]) == stock.step]

    def _worked(self, stock: Stock, way: Visits) -> list[int]:
        """The steps that have been done on a piece there, in their order."""
        takes = self.flow.line.route.takes_for(way.products[0])
        step = stock.step or 0
        waiting = [step] if stock.kind == "after" else [taking.step for taking in takes[step]]
        found: set[int] = set()
        while waiting:
            i = waiting.pop()
            if i not in found:
                found.add(i)
                waiting += [taking.step for taking in takes[i]]
        return [i for i in way.steps if i in found]

    def _uses(self, stock: Stock, way: Visits) -> Iterable[tuple[int, int, int, int]]:
        """Step, product, number of the use and part of all parts in a piece there.

        Pieces counted before a first step are the parts that it takes.
        """
        steps = set(self._worked(stock, way))
        if not steps and stock.kind == "before" and stock.counted is not None and stock.step is not None:
            steps = {stock.step}
        for k, product in enumerate(self.flow.line.products):
            if product.name in way.products:
                for u, use in enumerate(product.uses):
                    if self._index[use.at] in steps:
                        yield self._index[use.at], k, u, self._part[use.part]

    # --- arithmetic -------------------------------------------------------------------------------------------------

    def _demand(self, w: int) -> Figure:
        return self.flow.rates.way_demand[w]

    @cached_property
    def _hands_on_a_piece(self) -> dict[int, Figure]:
        """Attended work of each step on a piece started there, mean over the products (person-s/piece)."""
        steps = self.flow.rates.steps
        return {
            i: derive(
                f"hands on a piece / {steps[i].name}",
                # Where nobody pulls, there is no day's work to share: the work on one piece counts, without set-ups.
                lambda w, n, *each: np.where(n > 0, w / np.maximum(n, 1e-12), sum(each) / len(each)),
                attended,
                steps[i].started,
                *(group.work.attended for group in steps[i].groups),
                unit="person-s/piece",
                formula="attended work a day / pieces started a day",
            )
            for i, attended in self.flow.people.attended.items()
        }

    def _first_time(self, stock: Stock, way: Visits) -> Figure:
        """Pieces that come to the place for the first time, for one good unit: those that come round again are left out."""
        step, route = stock.step or 0, self.flow.line.route
        if stock.kind == "after":
            return way.passed[step]
        loops: dict[int, list[Figure]] = {}
        for back in way.backs:
            if route.comes_before(back.end, step) and route.comes_before(step, back.start):
                loops.setdefault(back.end, []).append(back.coming)
        if not loops:
            return way.started[step]
        sizes = [len(coming) for coming in loops.values()]

        def pieces(started: Any, *values: Any) -> Any:
            k = 0
            for size in sizes:
                started = started * (1 - sum(values[k + 1 : k + 1 + size]) / np.maximum(values[k], 1e-12))
                k += 1 + size
            return started

        inputs = [figure for end, coming in loops.items() for figure in (way.started[end], *coming)]
        tail = "" if len(self.flow.rates.ways) == 1 else f" / {' and '.join(way.products)}"
        return self._once(("first", f"{stock.words}{tail}"), lambda: derive(
            f"pieces that come for the first time / {stock.words}{tail}", pieces, way.started[step], *inputs, unit="pieces/unit",
            formula="pieces started - those that come round again",
        ))  # fmt: skip

    def _shared(
        self,
        what: str,
        stock: Stock,
        terms: Callable[[int, Visits], Iterable[Term]],
        unit: str,
        formula: str,
        why_none: str,
    ) -> Figure:
        name = f"{what} in a piece / {stock.words}"
        ways = self._ways(stock)
        chosen = [term for w, way in ways for term in terms(w, way)]
        if not chosen:
            return self._once((what, stock.words), lambda: nothing(name, unit, why_none))
        below: list[Term] = [(self._demand(w), len(way.products), (self._first_time(stock, way),)) for w, way in ways]
        shapes = [(count, len(factors)) for _, count, factors in [*below, *chosen]]
        inputs = [figure for demand, _, factors in [*below, *chosen] for figure in (demand, *factors)]

        def shared(*values: Any) -> Any:
            products, demands, counts, k = [], [], [], 0
            for count, size in shapes:
                product = 1.0
                for value in values[k + 1 : k + 1 + size]:
                    product = product * value
                products.append(product)
                demands.append(values[k])
                counts.append(count)
                k += 1 + size
            pulled, inside = _by_weight(products, demands, len(ways))
            if np.all(pulled > 0):
                return inside / pulled
            pieces, alike = _by_weight(products, counts, len(ways))
            return np.where(pulled > 0, inside / np.maximum(pulled, 1e-12), alike / np.maximum(pieces, 1e-12))

        return self._once((what, stock.words), lambda: derive(
            name, shared, *inputs, unit=unit, formula=f"{formula}, for {_SHARED}"
        ))  # fmt: skip

    def _once(self, key: tuple[str, str], make: Callable[[], Figure]) -> Figure:
        if key not in self._kept:
            self._kept[key] = make()
        return self._kept[key]


def _by_weight(products: list[Any], weights: list[Any], below: int) -> tuple[Any, Any]:
    """The weighted sums of the first ones, which are divided by, and of all the others."""
    weighed = [weight * product for weight, product in zip(weights, products, strict=True)]
    return sum(weighed[:below]), sum(weighed[below:])
