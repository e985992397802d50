"""What customers pull: the time between their orders, and the products' shares of it."""

from __future__ import annotations

import math

import numpy as np

from pullwright.flow.demand import order_cv2
from pullwright.forecast.laying.source import Source
from pullwright.forecast.luck.shapes import shape_of
from pullwright.forecast.plant import NEVER


def demand(of: Source) -> dict[str, np.ndarray]:
    """A stream of orders for each product."""
    day = of.taken(of.givens.day_seconds())
    streams = []
    for p, product in enumerate(of.line.products):
        rate = of.per_day(p)
        if rate <= 0:
            streams.append(NEVER)
            continue
        spread = math.sqrt(max(of.taken(order_cv2(of.givens, p)), 0.0))
        shape = shape_of("exponential" if spread == 1.0 else "gamma", day / rate, spread)
        streams.append(of.stream(shape, "order", product.name))
    return {"order_stream": np.array(streams), "mix": mix(of)}


def mix(of: Source) -> np.ndarray:
    """The products' shares of what customers pull; even where nobody pulls anything."""
    rates = np.array([of.per_day(p) for p in range(len(of.product_names))])
    total = rates.sum()
    return np.full(rates.size, 1 / rates.size) if total <= 0 else rates / total
