"""How unevenly customers pull: from order to order, and from day to day."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.givens import Givens
from pullwright.line.quantity import Quantity


def order_cv2(givens: Givens, p: int) -> Figure:
    """Squared cv of the time between two pieces of product `p` that customers pull.

    The cv of a demand is that of the period which it is given for: `{mean: 90 /week, cv: 0.2}` swings from week to week. Arrivals with
    squared cv ca² make a count of mean D with variance ca² D over a long period (Cox 1962, Renewal Theory; from memory), so ca² = cv² D.
    Without a cv, orders are taken to come one at a time and independently: ca² = 1.
    """
    return givens.once(("order cv²", p), lambda: _order_cv2(givens, p))


def _order_cv2(givens: Givens, p: int) -> Figure:
    product = givens.line.products[p]
    path = ("products", p, "demand")
    name = f"cv² of the time between two orders / {product.name}"
    cv = givens.cv(path, product.demand, "demand cv")
    if not _known(product.demand):
        return derive(name, lambda c: c * c, cv, unit="1", formula="cv²")
    demand = givens.figure(path)
    period = demand.unit.removeprefix("pieces/").replace("wd", "day")
    return derive(
        name,
        lambda c, d: c * c * d,
        cv,
        demand,
        unit="1",
        formula=f"(cv of the demand of a {period})² x demand of a {period}",
    )


def pulled_cv2(givens: Givens, rates: Sequence[Figure], products: Sequence[int], tail: str = "") -> Figure:
    """Squared cv of the time between two pieces of any of these products; `rates` of all products in pieces/wd."""
    inputs = [figure for p in products for figure in (rates[p], order_cv2(givens, p))]

    def cv2(*values: Any) -> Any:
        total = sum(values[0::2])
        some = np.asarray(total) > 0
        each = sum(rate * one for rate, one in zip(values[0::2], values[1::2], strict=True))
        return np.where(some, each / np.where(some, total, 1.0), 1.0)

    return derive(
        f"cv² of the time between two pieces pulled{tail}",
        cv2,
        *inputs,
        unit="1",
        formula="mean over the products, weighted by their demand",
    )


def day_swing(givens: Givens, rates: Sequence[Figure], p: int) -> Figure:
    """By how much does a day's demand of product `p` swing? Its standard deviation, in pieces: √(ca² x demand of a day)."""
    return givens.once(("swing", p), lambda: derive(
        f"swing of a day's demand / {givens.line.products[p].name}", lambda d, c: np.sqrt(d * c), rates[p], order_cv2(givens, p), unit="pieces",
        formula="√(demand of a day x cv² of the time between two orders)",
    ))  # fmt: skip


def _known(demand: Quantity) -> bool:
    return demand.cv is not None or (len(demand.readings) > 1 and demand.value > 0)
