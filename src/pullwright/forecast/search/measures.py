"""What is measured in a run: the share on time, throughput, lead time, stock, running dry. One row of the table for each, and a place to put more."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pullwright.forecast.runs import Run
from pullwright.forecast.search.turned_line import TurnedLine


@dataclass(frozen=True, slots=True)
class Seen:
    """One run of a line turned to a setting, and what of it counts.

    `warm` and `days`: working days that are not counted, and that the run has in all; `product`: an index, None for all; `within`, working days.
    """

    turned: TurnedLine
    run: Run
    warm: int
    days: int
    product: int | None = None
    within: float | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """A number of each run, whose mean over runs is promised or made small.

    `of` measures it; `unit`; `at_least`: more is better; `share`: it lies from 0 to 1 in every run.
    """

    of: Callable[[Seen], float]
    unit: str
    at_least: bool
    share: bool = False

    def shown(self, value: float) -> str:
        """A value with its unit."""
        return f"{100 * value:.4g} %" if self.share else f"{value:.4g} {self.unit}"


def _on_time(seen: Seen) -> float:
    """Of the orders that could have been kept waiting for the promised time before the run ended: the share shipped in it. 1 without orders.

    An order that was never shipped is late; one placed so late in the run that nobody knows yet is not counted.
    """
    assert seen.product is not None
    assert seen.within is not None
    day, run = seen.turned.layout.day, seen.run
    last = int(np.floor(seen.days - seen.within))
    ordered = int(run.ordered[seen.warm : last, seen.product].sum())
    if ordered == 0:
        return 1.0
    took, ended, product = run.response
    placed = ended - took
    mine = (product == seen.product) & (placed >= seen.warm * day) & (placed < last * day)
    kept = int((took[mine] <= seen.within * day * (1 + 1e-12)).sum())
    return min(1.0, kept / ordered)


def _throughput(seen: Seen) -> float:
    shipped = seen.run.shipped[seen.warm :]
    return float((shipped if seen.product is None else shipped[:, seen.product]).sum()) / (seen.days - seen.warm)


def _lead_time(seen: Seen) -> float:
    """Mean days from the begin of a piece to its end; as long as all that was seen where none ended."""
    took, _, product = seen.run.lead
    mine = took if seen.product is None else took[product == seen.product]
    return float(mine.mean()) / seen.turned.layout.day if mine.size else float(seen.days)


def _stock(seen: Seen) -> float:
    return float(seen.run.lying[-1])


def _dry(seen: Seen) -> float:
    """1 where a day of the run, from its first one on, ends with less than no cash (see docs/forecast-money.md), otherwise 0."""
    from pullwright.forecast.money import DayBook, statement_of

    statement = statement_of(DayBook.of([seen.run]), seen.turned.cash_terms, start=seen.turned.start)
    return float(statement.dry[0])


MEASURES: dict[str, Measure] = {
    "on time": Measure(_on_time, "%", at_least=True, share=True),
    "throughput": Measure(_throughput, "/d", at_least=True),
    "lead time": Measure(_lead_time, "d", at_least=False),
    "dry": Measure(_dry, "%", at_least=False, share=True),
    "stock": Measure(_stock, "pieces", at_least=False),
}
"""Measures by name. A part of the workbench that measures something else of a run (money, floor) adds a row, or hands one in."""
