"""What is kept of many runs of one line: the tables of all runs, one behind the other, and what an order or a piece took."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.forecast.layout import Layout
from pullwright.forecast.money.day_book import DayBook
from pullwright.forecast.runs import Run

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Terms:
    """What a run does not know: what was promised, and what floor it takes when something lies.

    `within` (P,): working days in which an order is to be shipped, NaN where nothing is promised. `beds`: of each place that lies in containers
    whose floor is given, its words, kind ("before", "after", "part") and index, pieces in a set, pieces in a container, containers on each
    other, floor of one (m²). `unbedded`: words, kind and index of those whose containers are not given.
    """

    within: Floats
    beds: tuple[tuple[str, str, int, float, float, float, float], ...]
    unbedded: tuple[tuple[str, str, int], ...]


@dataclass(frozen=True)
class Seen:
    """R runs of `days` working days each, of which the first `warm` are not counted. I steps, N stations, P products, D days.

    Tables have the runs in front: `times` (R, N, 9), `lying` and `peak` (R, I + 2), `made` (R, I), `finished`, `ordered`, `shipped`
    (R, D, P), `scrapped` (R, D, I), `lying_by_day` (R, D, I + 2), `part_stock`, `used`, `received`, `deliveries` (R, D, Q); as in `Run`. `lead` and
    `response`: of each run (3, n), every `one_of`-th of those that there were.
    """

    layout: Layout
    terms: Terms
    warm: int
    days: int
    times: Floats
    lying: Floats
    peak: Floats
    made: Floats
    finished: Floats
    ordered: Floats
    shipped: Floats
    scrapped: Floats
    lying_by_day: Floats
    part_stock: Floats
    used: Floats
    received: Floats
    deliveries: Floats
    lead: tuple[Floats, ...]
    response: tuple[Floats, ...]
    one_of: int = 1

    @property
    def runs(self) -> int:
        """How many runs."""
        return len(self.lead)

    @property
    def counted(self) -> int:
        """Working days that count."""
        return self.days - self.warm

    @cached_property
    def waiting(self) -> Floats:
        """Orders that wait at each day's end, by product (R, D, P)."""
        return np.cumsum(self.ordered - self.shipped, axis=1)

    def pieces(self, kind: str, k: int) -> Floats:
        """What lies at a place at each day's end (R, D): "before" a step, "after" the last one, or of a "part"."""
        return self.part_stock[:, :, k] if kind == "part" else self.lying_by_day[:, :, -2 if kind == "after" else k]

    def leads(self, product: int | None) -> list[Floats]:
        """Lead times (working days) of the units that each run ended in the days that count, begun after the start of the run.

        How long a piece had been there that lay in the line at the start nobody knows.
        """
        return [_mine(one, product) / self.layout.day for one in self.lead]

    def replies(self, product: int | None) -> list[Floats]:
        """How long (working days) each order had waited that a run shipped in the days that count."""
        return [one[0, _of(one, product)] / self.layout.day for one in self.response]

    def placed(self, product: int | None, most: float) -> list[Floats]:
        """How long each order waited that was placed in the days that count, `most` days or more before the end; inf where it was never shipped."""
        last = int(np.floor(self.days - most + 1e-9))
        found = []
        for number, (took, ended, kind) in enumerate(self.response):
            # An order lies on the day on which it was counted: rounding must not move it over midnight.
            day = np.floor((ended - took) / self.layout.day * (1 + 1e-12) + 1e-12)
            mine = (day >= self.warm) & (day < last)
            ordered = self.ordered[number, self.warm : last]
            if product is not None:
                mine &= kind == product
                ordered = ordered[:, product]
            waited = took[mine] / self.layout.day
            never = max(round(ordered.sum() / self.one_of) - waited.size, 0)
            found.append(np.concatenate([waited, np.full(never, np.inf)]))
        return found


def _of(sample: Floats, product: int | None) -> NDArray[np.bool_]:
    return np.ones(sample.shape[1], bool) if product is None else sample[2] == product


def _mine(sample: Floats, product: int | None) -> Floats:
    long, ended, _ = sample
    found: Floats = long[_of(sample, product) & (ended - long > 1e-9)]
    return found


def thinned(run: Run, one_of: int) -> Run:
    """The same run with every so many-th lead time and response; copies, so that the room for the others is free again."""
    return replace(run, lead=run.lead[:, ::one_of].copy(), response=run.response[:, ::one_of].copy())


def seen_in(layout: Layout, runs: Sequence[Run], terms: Terms, *, warm: int, days: int, one_of: int = 1) -> Seen:
    """Put the tables of runs one behind the other."""
    tables = {name: np.array([getattr(run, name) for run in runs], float) for name in _TABLES}
    lead, response = tuple(run.lead for run in runs), tuple(run.response for run in runs)
    return Seen(layout=layout, terms=terms, warm=warm, days=days, lead=lead, response=response, one_of=one_of, **tables)


def joined(one: Seen, more: Seen) -> Seen:
    """The runs of both, of the same line and days."""
    tables = {name: np.concatenate([getattr(one, name), getattr(more, name)]) for name in _TABLES}
    taken: dict[str, Any] = {**tables, "lead": (*one.lead, *more.lead), "response": (*one.response, *more.response)}
    return replace(one, **taken)


def book_of(seen: Seen) -> DayBook:
    """The runs as money and floor read them, the days of the warm-up with them."""
    return DayBook(*(getattr(seen, one.name) for one in fields(DayBook)))


_TABLES = (
    "times",
    "lying",
    "peak",
    "made",
    "finished",
    "ordered",
    "shipped",
    "scrapped",
    "lying_by_day",
    "part_stock",
    "used",
    "received",
    "deliveries",
)
