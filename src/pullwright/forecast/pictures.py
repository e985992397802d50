"""What of a forecast is drawn: how things go through time, and how long pieces and orders take, as whole curves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.forecast.answers.interval import Floats
from pullwright.forecast.seen import Seen
from pullwright.forecast.told import floor_by_day

SHARES = np.arange(1, 100) / 100


@dataclass(frozen=True)
class Bands:
    """By working day (D,), from the start of the run: the `mean` over runs, and `low` to `high`, between which so many of the runs lie as the level says."""

    unit: str
    mean: Floats
    low: Floats
    high: Floats


def bands_in(seen: Seen, level: float) -> dict[str, Bands]:
    """Stock place by place, orders waiting, units shipped and floor, day by day."""
    lying, aside = seen.lying_by_day, (1 - level) / 2
    rows: dict[str, tuple[str, Floats]] = {
        "stock in the line": ("pieces", lying[:, :, -1]),
        "finished stock": ("pieces", lying[:, :, -2]),
        **{f"stock before {name}": ("pieces", lying[:, :, i]) for i, name in enumerate(seen.layout.steps)},
        "orders waiting": ("pieces", seen.waiting.sum(axis=2)),
        "throughput": ("pieces/wd", seen.shipped.sum(axis=2)),
    }
    if seen.terms.beds:
        rows["floor of what lies"] = ("m2", floor_by_day(seen))
    return {
        name: Bands(unit, row.mean(axis=0), *np.quantile(row, (aside, 1 - aside), axis=0))
        for name, (unit, row) in rows.items()
    }


def curves_in(seen: Seen) -> dict[str, Floats]:
    """Working days that 1 %, 2 %, ... 99 % of the pieces (or of the orders shipped) do not exceed, (99,); left out where there are none."""
    found = {}
    names = seen.layout.products
    tails = [("", None), *((f" / {name}", p) for p, name in enumerate(names) if len(names) > 1)]
    for name, of in (("lead time", seen.leads), ("response time", seen.replies)):
        for tail, p in tails:
            pooled = np.concatenate(of(p))
            if pooled.size:
                found[f"{name}{tail}"] = np.quantile(pooled, SHARES, method="inverted_cdf")
    return found
