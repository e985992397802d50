"""The money that is bound in a line, day by day: in parts, in work in process, in finished goods, in bills that are not paid yet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.forecast.money.dates import Horizon
from pullwright.forecast.money.day_book import DayBook
from pullwright.forecast.money.statement import Statement
from pullwright.forecast.money.terms import CashTerms
from pullwright.forecast.money.worth import PieceCosts

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Bound:
    """Money by run and calendar day (R, C), at the end of the day, at what it has cost.

    `owed_to_us`: by customers for what is shipped; `owed_by_us` (below 0): for parts and their deliveries; `paid_ahead` (below 0): by customers
    for what is not shipped yet.
    """

    material: Floats
    work_in_process: Floats
    finished: Floats
    owed_to_us: Floats
    owed_by_us: Floats
    paid_ahead: Floats

    @property
    def all(self) -> Floats:
        """All of it together."""
        return (
            self.material + self.work_in_process + self.finished + self.owed_to_us + self.owed_by_us + self.paid_ahead
        )


def bound_of(book: DayBook, costs: PieceCosts, statement: Statement, terms: CashTerms) -> Bound:
    """How much money lies in the line at the end of each day?

    Parameters: `book`, and the `statement` made of it on these `terms`; `costs` of a piece where it lies (`piece_costs`).
    What lies there on a day without work lay there at the end of the working day before.
    """
    book, horizon = book.by_run(), statement.horizon
    lying = book.lying_by_day
    before = lying[..., :-2]
    working = lying[..., -1] - before.sum(axis=-1)
    shipped = np.zeros((book.runs, horizon.days))
    shipped[:, horizon.worked] = book.shipped @ (terms.price * terms.deposit)
    paid_ahead = np.cumsum(shipped - statement.rows["deposits"], axis=1)
    return Bound(
        by_calendar_day(book.part_stock @ costs.parts, horizon),
        by_calendar_day(before @ costs.before + working * costs.working, horizon),
        by_calendar_day(lying[..., -2] * costs.finished, horizon),
        statement.owed("customers") + statement.owed("customers before"),
        sum((statement.owed(key) for key in ("parts", "parts before", "deliveries", "deliveries before")), np.zeros((1, 1))),
        paid_ahead,
    )  # fmt: skip


def by_calendar_day(by_day: NDArray[Any], horizon: Horizon) -> Floats:
    """What is known of the working days (R, D), on every calendar day (R, C): as on the last working day, at first as on the first."""
    at = np.searchsorted(horizon.worked, np.arange(horizon.days), side="right") - 1
    return np.asarray(by_day, float)[:, np.maximum(at, 0)]
