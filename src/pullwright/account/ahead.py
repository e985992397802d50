"""What is made before anybody pulls: where stock grows, everything before it works for the pile."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stock import Stock


@dataclass(frozen=True, slots=True)
class Ahead:
    """A pile that grows, and by how much a working day (pieces/wd)."""

    stock: Stock
    growth: Figure


def ahead_of(flow: Flow) -> tuple[Ahead, ...]:
    """Which piles on the line grow, parts in their stores left out? As counted or given, else as far as a schedule pushes beyond what is taken."""
    found = []
    for stock in flow.stocks:
        growth = stock.made_ahead if stock.made_ahead is not None else _pushed(flow, stock)
        if stock.kind != "part" and growth is not None:
            found.append(Ahead(stock, growth))
    return tuple(found)


def _pushed(flow: Flow, stock: Stock) -> Figure | None:
    """What a schedule pushes into a stock above what is taken, where one step alone feeds it and says its rate (pieces/wd).

    A schedule cannot push more than the station can do.
    """
    if stock.kind == "part" or stock.step is None:
        return None
    feeders = flow.line.route.takes[stock.step] if stock.kind == "before" else ()
    i = stock.step if stock.kind == "after" else feeders[0].step if len(feeders) == 1 else None
    release = None if i is None else flow.line.steps[i].release
    if i is None or release is None or release.by != "push" or release.rate is None:
        return None
    step = flow.rates.steps[i]
    station = next(one for one in flow.stations if one.name == flow.line.steps[i].station)
    rework = flow.line.steps[i].rework
    gone = [figure for figure in (step.losses.scrap,) if figure is not None]
    if rework is not None and rework.to is not None and step.losses.rework is not None:
        gone.append(step.losses.rework)
    quantity = []
    if feeders and feeders[0].quantity is not None and feeders[0].place is not None:
        quantity = [flow.givens.figure(("steps", stock.step, "after", feeders[0].place, "quantity"))]

    def beyond(rate: Any, taken: Any, started: Any, load: Any, *rest: Any) -> Any:
        most = np.where(load > 0, started / np.maximum(load, 1e-12), np.inf)
        good = np.minimum(rate, most) * np.maximum(1 - sum(rest[: len(gone)]), 0.0)
        return np.maximum((good / rest[-1] if quantity else good) - taken, 0.0)

    return derive(
        f"pushed beyond what is taken / {stock.words}",
        beyond,
        flow.givens.per_day(("steps", i, "release", "rate")),
        stock.taken,
        step.started,
        station.load,
        *gone,
        *quantity,
        unit="pieces/wd",
        formula="good pieces of what the schedule pushes, as far as the station can do it, - pieces taken a day, where that is above 0",
    )
