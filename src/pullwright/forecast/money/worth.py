"""What a piece has cost where it lies, in plain numbers: parts and hands, by the definitions of the accounts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.account import Accounts
from pullwright.account.worth import cost_of_piece
from pullwright.forecast.drawn import drawn
from pullwright.forecast.whole_sets import pieces_in_a_set

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class PieceCosts:
    """money/piece: `before` (I,) each step, as a run counts pieces there; `working`, in work or on its way; `finished`; `parts` (Q,)."""

    before: Floats
    working: float
    finished: float
    parts: Floats


def piece_costs(accounts: Accounts, *, hands: bool = True, draw: int | None = None) -> PieceCosts:
    """What has a piece cost, place by place, in parts and `hands`, or in parts alone?

    Before a step and in the finished store as in the account of cash tied up; before a step where flows come together the cost of a set is
    shared by its pieces. In work it has cost what a good piece has cost by the end of its step; the mean over the steps is weighted by the
    pieces that are in work there (pieces started a day x time of one). Where several steps finish, the finished store is the mean of what
    they make.
    """
    ground, flow = accounts.ground, accounts.flow
    before = np.zeros(len(flow.line.steps))
    finished, taken = [], []
    for stock in flow.stocks:
        if stock.kind == "part":
            continue
        if hands:
            cost = drawn(cost_of_piece(flow, ground.contents, ground.wage, stock), draw)
        else:
            cost = drawn(ground.contents.material(stock), draw)
        if stock.kind == "after":
            finished.append(cost)
            taken.append(drawn(stock.taken, draw))
        else:
            before[stock.step or 0] = cost
    parts = [drawn(flow.givens.figure(("parts", p, "price")), draw) for p in range(len(flow.line.parts))]
    return PieceCosts(
        before / pieces_in_a_set(flow), _working(accounts, hands, draw), _weighed(finished, taken), np.array(parts)
    )


def _working(accounts: Accounts, hands: bool, draw: int | None) -> float:
    flow, along = accounts.flow, accounts.ground.contents.along
    wage = drawn(accounts.ground.wage, draw) if hands else 0.0
    costs, weights = [], []
    for w, way in enumerate(flow.rates.ways):
        pulled = drawn(flow.rates.way_demand[w], draw)
        for i in way.steps:
            started = drawn(way.started[i], draw)
            parts, work = along.price_by[w].get(i), along.hands_by[w].get(i)
            cost = 0.0 if parts is None else drawn(parts, draw)
            cost += 0.0 if work is None else drawn(work, draw) * wage
            costs.append(cost / started if started > 0 else 0.0)
            weights.append(pulled * started * drawn(flow.rates.steps[i].mean, draw))
    return _weighed(costs, weights)


def _weighed(values: list[float], weights: list[float]) -> float:
    """The mean by weight; by number where nothing weighs anything."""
    if not values:
        return 0.0
    return float(np.average(values, weights=weights if sum(weights) > 0 else None))
