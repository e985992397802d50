"""How many a working day: pieces begun and finished, by product, and how uneven?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .measured import Measured

if TYPE_CHECKING:
    import polars as pl


@dataclass(frozen=True, slots=True)
class ProductDemand:
    """One product: cases and pieces finished and begun per working day, and the cv of the daily pieces finished.

    Pieces are cases where the log has no quantities (`unit` is "pieces" or "cases"). `share` is of all finished.
    """

    product: str
    cases_finished: int
    finished: Measured
    begun: Measured
    cv_finished: float
    cv_begun: float
    share: float
    lot: float
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Demand:
    """Demand by product, largest first. `days` has: day, product, begun, finished (working days only)."""

    products: tuple[ProductDemand, ...]
    unit: str
    working_days: int
    days: pl.DataFrame
    rows: tuple[int, ...]
    found: str
