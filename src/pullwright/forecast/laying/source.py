"""The numbers of a line, as one run takes them: at their likely values, or at one of their equally likely draws."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from pullwright.figure import Figure
from pullwright.flow import Flow, flow_of
from pullwright.flow.alike import Alike, alike_at
from pullwright.flow.assumed import AssumedKey
from pullwright.flow.counting import counted_now
from pullwright.flow.givens import Givens, Path
from pullwright.flow.rates import Rates, rates_of
from pullwright.forecast.drawn import drawn
from pullwright.forecast.errors import CannotRun
from pullwright.forecast.luck.shapes import EVEN, Shape, shape_of
from pullwright.forecast.luck.streams import key_of
from pullwright.line import Line
from pullwright.line.quantity import Quantity


@dataclass
class Source:
    """A line, which of the draws of its numbers is taken for true (None: the values themselves), its flow where it is `known`, and the
    streams named so far."""

    line: Line
    givens: Givens
    which: int | None
    known: Flow | None = None
    shapes: list[Shape] = field(default_factory=list)
    keys: list[np.uint64] = field(default_factory=list)

    @cached_property
    def flow(self) -> Flow:
        """The steady arithmetic of the line, worked out where somebody asks for it."""
        return flow_of(self.line, self.givens) if self.known is None else self.known

    @cached_property
    def rates(self) -> Rates:
        """What customers pull, step by step."""
        return rates_of(self.givens) if self.known is None else self.known.rates

    def value(self, path: Path, quantity: Quantity | None = None) -> float:
        return self.taken(self.givens.figure(path, quantity))

    def taken(self, figure: Figure) -> float:
        return drawn(figure, self.which)

    def whole(self, path: Path, quantity: Quantity) -> int:
        """A number of pieces that has to be whole."""
        found = self.value(path, quantity)
        if found != round(found):
            raise CannotRun(f"{self.givens.name(path)} is {found:g}; pieces are run whole: write a whole number")
        return round(found)

    def stream(self, shape: Shape, *purpose: str) -> int:
        self.shapes.append(shape)
        self.keys.append(key_of(*purpose))
        return len(self.shapes) - 1

    def luck(self, *purpose: str) -> int:
        return self.stream(Shape(EVEN, 0.5), *purpose)

    def time(self, path: Path, quantity: Quantity, otherwise: AssumedKey, *purpose: str) -> int:
        """The stream of a time that varies as the file says, or as is taken where it says nothing."""
        mean, cv = self.value(path, quantity), self.taken(self.givens.cv(path, quantity, otherwise))
        readings: Sequence[float] = quantity.readings
        if quantity.study is not None:
            study = next(one for one in self.line.studies if one.name == quantity.study)
            readings = [one.value.value for one in study.readings]
        family = quantity.distribution or ("constant" if cv == 0 else "lognormal")
        try:
            return self.stream(shape_of(family, mean, cv, readings), *purpose)
        except ValueError as error:
            raise CannotRun(f"{self.givens.name(path)}: {error}") from error

    @cached_property
    def step_index(self) -> dict[str, int]:
        return {step.name: i for i, step in enumerate(self.line.steps)}

    @cached_property
    def station_index(self) -> dict[str, int]:
        return {station.name: s for s, station in enumerate(self.line.stations)}

    @cached_property
    def product_names(self) -> tuple[str, ...]:
        return tuple(product.name for product in self.line.products)

    @cached_property
    def through(self) -> list[frozenset[int]]:
        """Steps that each product goes through."""
        return [self.line.route.visits(name) for name in self.product_names]

    @cached_property
    def alike(self) -> dict[int, tuple[Alike, ...]]:
        """Which products nothing has told apart behind each step."""
        return alike_at(self.line, self.rates)

    def per_day(self, p: int) -> float:
        return self.taken(self.givens.per_day(("products", p, "demand")))

    def counted(self, s: int) -> int:
        return round(self.counted_or_none(s) or 0.0)

    def counted_or_none(self, s: int) -> float | None:
        """Pieces counted in a store, None where nobody counted."""
        held = counted_now(self.givens, s)
        return None if held is None else self.taken(held)
