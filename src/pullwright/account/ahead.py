"""What is made before anybody pulls: where stock grows, everything before it works for the pile."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow import Flow
from pullwright.flow.stock import Stock


@dataclass(frozen=True, slots=True)
class Ahead:
    """A pile that grows: by which share more than what is taken, and which steps work for it."""

    stock: Stock
    share: Figure
    steps: frozenset[int]


def ahead_of(flow: Flow) -> tuple[Ahead, ...]:
    """Which piles between steps or behind the last one grow, and who works for them?"""
    earlier = steps_before(flow)
    found = []
    for stock in flow.stocks:
        growth = growth_at(flow, stock)
        if growth is None or stock.kind == "part" or stock.step is None:
            continue
        share = derive(
            f"made ahead / {stock.words} / share",
            lambda g, r: np.where(r > 0, g / np.maximum(r, 1e-12), 0.0),
            growth,
            stock.taken,
            unit="1",
            formula="growth of the stock / pieces taken a day",
        )
        steps = earlier[stock.step] | ({stock.step} if stock.kind == "after" else set())
        found.append(Ahead(stock, share, frozenset(steps)))
    return tuple(found)


def growth_at(flow: Flow, stock: Stock) -> Figure | None:
    """By how much does a stock grow in a working day (pieces/wd)? Counted, or what a schedule pushes above what is taken."""
    if stock.made_ahead is not None or stock.step is None or stock.kind != "before":
        return stock.made_ahead
    rates = []
    for taking in flow.line.route.takes[stock.step]:
        release = flow.line.steps[taking.step].release
        if release is not None and release.by == "push" and release.rate is not None:
            rates.append((taking.step, flow.givens.per_day(("steps", taking.step, "release", "rate"))))
    if len(rates) != 1 or len(flow.line.route.takes[stock.step]) != 1:
        return None
    i, rate = rates[0]
    good = flow.rates.steps[i]
    losses = tuple(figure for figure in (good.losses.scrap,) if figure is not None)
    return derive(
        f"pushed beyond what is taken / {stock.words}", lambda p, r, *s: np.maximum(p * (1 - sum(s)) - r, 0.0), rate, stock.taken, *losses, unit="pieces/wd",
        formula="what the schedule pushes, less scrap, - pieces taken a day, where that is above 0",
    )  # fmt: skip


def steps_before(flow: Flow) -> tuple[frozenset[int], ...]:
    """Give all steps before each step, in the way of any product."""
    route = flow.line.route
    found: list[frozenset[int]] = [frozenset()] * len(route.takes)
    for i in route.order:
        found[i] = frozenset().union(*(found[taking.step] | {taking.step} for taking in route.takes[i]))
    return tuple(found)
