"""What goes into a unit along a way through: the hands and the parts of each step, added up from the first step to the last."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.visits import Visits
from pullwright.line.route import Taking


class Along:
    """Hands and parts for one good unit, by the end of each step of every way, with all that was scrapped and done again."""

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self._index = {step.name: i for i, step in enumerate(flow.line.steps)}
        self._part = {part.name: p for p, part in enumerate(flow.line.parts)}
        self._uses_by_way: dict[int, dict[int, list[tuple[int, int, int]]]] = {}
        self._prices: dict[tuple[int, int], Figure] = {}

    def takes(self, way: Visits) -> tuple[tuple[Taking, ...], ...]:
        """What each step takes on this way."""
        return self.flow.line.route.takes_for(way.products[0])

    def uses(self, way: Visits, steps: set[int]) -> Iterable[tuple[int, int, int, int]]:
        """Step, product, number of the use and part of all that these steps take for the products of a way."""
        for k, product in enumerate(self.flow.line.products):
            if product.name in way.products:
                for u, use in enumerate(product.uses):
                    if self._index[use.at] in steps:
                        yield self._index[use.at], k, u, self._part[use.part]

    def tail(self, way: Visits) -> str:
        """Names of figures say which way they are of, where there are several."""
        return "" if len(self.flow.rates.ways) == 1 else f" / {' and '.join(way.products)}"

    @cached_property
    def hands_by(self) -> list[dict[int, Figure]]:
        """Attended work for one good unit by the end of each step, way by way (person-s/unit); a step without any is left out."""
        return self._by_the_end("hands for one good unit", "person-s/unit", self._hands_at)

    @cached_property
    def price_by(self) -> list[dict[int, Figure]]:
        """Price of the parts for one good unit by the end of each step, way by way (money/unit); a step without any is left out."""
        return self._by_the_end("parts for one good unit", "money/unit", self.price_at)

    def _by_the_end(
        self, words: str, unit: str, at: Callable[[int, Visits, int], Figure | None]
    ) -> list[dict[int, Figure]]:
        """What has gone in by the end of each step, way by way: what came to it and what is added there."""
        ways: list[dict[int, Figure]] = []
        for w, way in enumerate(self.flow.rates.ways):
            found: dict[int, Figure] = {}
            takes = self.takes(way)
            for i in way.steps:
                parts = [found[taking.step] for taking in takes[i] if taking.step in found]
                if (own := at(w, way, i)) is not None:
                    parts.append(own)
                if len(parts) > 1:
                    name = f"{words}, by the end of {self.flow.line.steps[i].name}{self.tail(way)}"
                    found[i] = derive(
                        name, lambda *v: sum(v), *parts, unit=unit, formula="what came to it + what is added there"
                    )
                elif parts:
                    found[i] = parts[0]
            ways.append(found)
        return ways

    def _hands_at(self, w: int, way: Visits, i: int) -> Figure | None:
        if i not in self._hands_on_a_piece:
            return None
        return derive(
            f"hands for one good unit / {self.flow.line.steps[i].name}{self.tail(way)}",
            lambda n, h: n * h,
            way.started[i],
            self._hands_on_a_piece[i],
            unit="person-s/unit",
            formula="pieces started x hands on a piece",
        )

    def price_at(self, w: int, way: Visits, i: int) -> Figure | None:
        """Price of the parts that one step takes for one good unit (money/unit); None where it takes none."""
        uses = self._uses_at(w).get(i)
        if uses and (w, i) not in self._prices:
            self._prices[w, i] = self._price(way, i, uses)
        return self._prices.get((w, i))

    def _price(self, way: Visits, i: int, uses: list[tuple[int, int, int]]) -> Figure:
        flow, order = self.flow, {product.name: k for k, product in enumerate(self.flow.line.products)}
        demands = [flow.rates.products[order[name]] for name in way.products]
        place = {order[name]: n for n, name in enumerate(way.products)}
        quantities = [flow.givens.figure(("products", k, "uses", u, "quantity")) for k, u, _ in uses]
        prices = [flow.givens.figure(("parts", p, "price")) for *_, p in uses]

        def price(fresh: Any, *values: Any) -> Any:
            pulled, rest = values[: len(demands)], values[len(demands) :]
            whole = sum(pulled)
            share = [np.where(whole > 0, one / np.maximum(whole, 1e-12), 1 / len(demands)) for one in pulled]
            return fresh * sum(
                share[place[k]] * quantity * each
                for (k, _, _), quantity, each in zip(uses, rest[: len(uses)], rest[len(uses) :], strict=True)
            )

        return derive(
            f"parts for one good unit / {flow.line.steps[i].name}{self.tail(way)}",
            price,
            way.fresh[i],
            *demands,
            *quantities,
            *prices,
            unit="money/unit",
            formula="pieces taken fresh x quantity x price" + (", mean over the products" if len(demands) > 1 else ""),
        )

    def _uses_at(self, w: int) -> dict[int, list[tuple[int, int, int]]]:
        """Product, number of the use and part of all that each step takes on a way."""
        if w not in self._uses_by_way:
            way = self.flow.rates.ways[w]
            found: dict[int, list[tuple[int, int, int]]] = {}
            for i, k, u, p in self.uses(way, set(way.steps)):
                found.setdefault(i, []).append((k, u, p))
            self._uses_by_way[w] = found
        return self._uses_by_way[w]

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
