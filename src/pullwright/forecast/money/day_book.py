"""What runs wrote down day by day, as money and floor need it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from pullwright.forecast.runs import Run

Numbers = NDArray[np.float64] | NDArray[np.int64]


@dataclass(frozen=True)
class DayBook:
    """Units and pieces of each working day from the start. D days, P products, I steps, Q parts; several runs stand along a first axis R.

    `finished`, `ordered`, `shipped` (D, P) units; `scrapped` (D, I) pieces; `used`, `received` (D, Q) pieces of each part taken and delivered,
    `deliveries` (D, Q) how many of them came; at the end of the day `part_stock` (D, Q) and `lying_by_day` (D, I + 2): pieces before each
    step, in the finished store, and in the line from the begin of their first step until they are finished.

    Errors: ValueError where the arrays do not fit one another.
    """

    finished: Numbers
    ordered: Numbers
    shipped: Numbers
    scrapped: Numbers
    used: Numbers
    received: Numbers
    deliveries: Numbers
    part_stock: Numbers
    lying_by_day: Numbers

    def __post_init__(self) -> None:
        shapes = {one.name: np.shape(getattr(self, one.name)) for one in fields(self)}
        dims = {len(shape) for shape in shapes.values()}
        heads = {shape[:-1] for shape in shapes.values()}
        widths = [{shapes[name][-1:] for name in names} for names in (_PRODUCTS, _PARTS)]
        fits = dims <= {2} or dims <= {3}
        fits = fits and len(heads) == 1 and all(len(width) == 1 for width in widths)
        if not fits or shapes["lying_by_day"][-1] != shapes["scrapped"][-1] + 2 or shapes["finished"][-2] == 0:
            said = ", ".join(f"{name} {shape}" for name, shape in shapes.items())
            raise ValueError(
                f"a day book of {said} was read; all have the same runs and days (one or more), and as many columns as there are "
                "products, steps, parts, and steps + 2"
            )

    @classmethod
    def of(cls, runs: Sequence[Run]) -> DayBook:
        """The book of runs of the same length, one or more."""
        return cls.stacked([cls(*(getattr(run, one.name) for one in fields(cls))) for run in runs])

    @classmethod
    def stacked(cls, books: Sequence[DayBook]) -> DayBook:
        """Put the books of several runs of the same length into one; ValueError where there is none or they do not fit."""
        if not books:
            raise ValueError("no day book was read; give those of one run or more")
        return cls(*(np.concatenate([getattr(book.by_run(), one.name) for book in books]) for one in fields(cls)))

    def by_run(self) -> DayBook:
        """The same with the axis of the runs in front, also where it is one."""
        if self.finished.ndim == 3:
            return self
        return replace(self, **{one.name: getattr(self, one.name)[None] for one in fields(self)})

    def one_delivery_a_day(self, parts: NDArray[np.bool_]) -> DayBook:
        """The same with all that comes of these parts (Q,) on a day in one delivery."""
        return replace(self, deliveries=np.where(parts, np.asarray(self.received) > 0, self.deliveries))

    @property
    def runs(self) -> int:
        """How many runs."""
        return int(self.finished.shape[0]) if self.finished.ndim == 3 else 1

    @property
    def days(self) -> int:
        """How many working days."""
        return int(self.finished.shape[-2])


_PRODUCTS = ("finished", "ordered", "shipped")
_PARTS = ("used", "received", "deliveries", "part_stock")
