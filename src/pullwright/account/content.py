"""What is in a piece by the time it lies in a place: the hands that worked on it and the parts that went into it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import numpy as np

from pullwright.account.along import Along
from pullwright.account.rows import nothing
from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stock import Stock
from pullwright.flow.visits import Visits

Term = tuple[Figure, int, tuple[Figure, ...]]
"""One thing that goes in: the demand that it goes with, of how many products that is, and what is multiplied with it."""
_SHARED = "mean over the products / pieces that come there for the first time"


class Contents:
    """What has gone into a piece, stock by stock, with all that was scrapped and done again on the way.

    Work and parts of all steps before are added up for one good unit at the end of the way, and shared by the pieces that come to the
    place for the first time: a piece that comes round again is the same piece. Products are weighed by their demand, or alike where
    nobody pulls any of them.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.along = Along(flow)
        self._kept: dict[tuple[str, str], Figure] = {}

    def hands(self, stock: Stock) -> Figure:
        """How much attended work is in a piece that lies there (person-s/piece)?"""

        def terms(w: int, way: Visits) -> Iterable[Term]:
            for i in self._last(stock, way):
                if i in self.along.hands_by[w]:
                    yield self._demand(w), len(way.products), (self.along.hands_by[w][i],)

        return self._shared(
            "hands", stock, terms, "person-s/piece", "hands for one good unit by the end of the steps before", "nobody has worked on it yet"
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
            if self._laid_out(stock, way):
                found = [figure for figure in (self.along.price_at(w, way, stock.step or 0),) if figure is not None]
            else:
                found = [self.along.price_by[w][i] for i in self._last(stock, way) if i in self.along.price_by[w]]
            for figure in found:
                yield self._demand(w), len(way.products), (figure,)

        return self._shared(
            "parts", stock, terms, "money/piece", "price of the parts for one good unit by the end of the steps before",
            "no part has gone in yet; what nobody counted here lies in the store of its parts",
        )  # fmt: skip

    def parts(self, stock: Stock) -> dict[int, Figure]:
        """How many of each part are in a piece that lies there, by index of the part?"""
        inside = {p for _, way in self._ways(stock) for *_, p in self.along.uses(way, self._inside(stock, way))}
        return {p: self._part_inside(stock, p) for p in sorted(inside)}

    def _part_inside(self, stock: Stock, part: int) -> Figure:
        def terms(w: int, way: Visits) -> Iterable[Term]:
            for i, k, u, p in self.along.uses(way, self._inside(stock, way)):
                if p == part:
                    quantity = self.flow.givens.figure(("products", k, "uses", u, "quantity"))
                    yield self.flow.rates.products[k], 1, (way.fresh[i], quantity)

        what = f"pieces of {self.flow.line.parts[part].name}"
        return self._shared(
            what, stock, terms, "1", "pieces taken fresh x quantity for one good unit, all steps that have taken it", ""
        )

    # --- which steps ------------------------------------------------------------------------------------------------

    def _ways(self, stock: Stock) -> list[tuple[int, Visits]]:
        """The ways of the products that come to this place."""
        through = [
            (w, way) for w, way in enumerate(self.flow.rates.ways) if stock.kind != "part" and stock.step in way.started
        ]
        if stock.kind == "before":
            return through
        return [(w, way) for w, way in through if self.flow.line.route.last_for(way.products[0]) == stock.step]

    def _last(self, stock: Stock, way: Visits) -> tuple[int, ...]:
        """The steps that a piece there comes from."""
        step = stock.step or 0
        return (step,) if stock.kind == "after" else tuple(taking.step for taking in self.along.takes(way)[step])

    def _laid_out(self, stock: Stock, way: Visits) -> bool:
        """Are the pieces there the parts that a first step takes? Only where somebody counted them; else they lie in their store."""
        return stock.kind == "before" and stock.counted is not None and not self._last(stock, way)

    def _inside(self, stock: Stock, way: Visits) -> set[int]:
        """The steps whose parts are in a piece there."""
        if self._laid_out(stock, way):
            return {stock.step or 0}
        takes, found, waiting = self.along.takes(way), set(), list(self._last(stock, way))
        while waiting:
            i = waiting.pop()
            if i not in found:
                found.add(i)
                waiting += [taking.step for taking in takes[i]]
        return found

    # --- arithmetic -------------------------------------------------------------------------------------------------

    def _demand(self, w: int) -> Figure:
        return self.flow.rates.way_demand[w]

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
        tail = self.along.tail(way)
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
            name, shared, *inputs, unit=unit, formula=f"{formula}, {_SHARED}"
        ))  # fmt: skip

    def _once(self, key: tuple[str, str], make: Callable[[], Figure]) -> Figure:
        if key not in self._kept:
            self._kept[key] = make()
        return self._kept[key]


def _by_weight(products: list[Any], weights: list[Any], below: int) -> tuple[Any, Any]:
    """The weighted sums of the first ones, which are divided by, and of all the others."""
    weighed = [weight * product for weight, product in zip(weights, products, strict=True)]
    return sum(weighed[:below]), sum(weighed[below:])
