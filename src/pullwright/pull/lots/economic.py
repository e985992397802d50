"""Lots where set-ups and stock together cost least: one product by itself, and several that share a machine.

Plain functions of floats or arrays alike. Money and pieces go by one time, such as a year: `demand` in pieces a year, `holding` what it costs to hold
a piece for a year, `set_up` what one set-up costs. `used` is the share of the machine's time that production of the product takes: while a lot is
made, a share `used` of it is taken away again, so that the stock rises only to lot x (1 - used).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np


def economic_lot(demand: Any, set_up: Any, holding: Any, used: Any = 0.0) -> Any:
    """In which lot (pieces) do set-ups and stock of one product cost least? √(2 K D / (h (1 - used))).

    Harris 1913, How Many Parts to Make at Once; with the time that making takes, Taft 1918 (both from memory). Without end where holding costs nothing.

    >>> float(economic_lot(1000.0, 20.0, 4.0)), float(economic_lot(1000.0, 20.0, 4.0, used=0.75))
    (100.0, 200.0)
    """
    with np.errstate(all="ignore"):
        costs = np.asarray(holding) * (1 - np.asarray(used))
        return np.where(costs > 0, np.sqrt(2 * set_up * demand / np.where(costs > 0, costs, 1.0)), np.inf)


def yearly_cost(lot: Any, demand: Any, set_up: Any, holding: Any, used: Any = 0.0) -> Any:
    """What do set-ups and stock of one product cost in a year, in this lot? K D / Q + h Q (1 - used) / 2.

    >>> yearly_cost(100.0, 1000.0, 20.0, 4.0)
    400.0
    """
    return set_up * demand / lot + holding * lot * (1 - used) / 2


def common_cycle(
    demands: Sequence[Any],
    set_ups: Sequence[Any],
    holdings: Sequence[Any],
    used: Sequence[Any],
    times: Sequence[Any],
    room: Any,
) -> Any:
    """In which interval (years), the same for all products of one machine, do set-ups and stock cost least?

    `times` of the set-ups (any unit), `room` for set-ups in a year (the same unit): no interval is shorter than the sum of the times / room.
    T = max(√(2 ΣK / Σ h D (1 - used)), Σs / room): the common cycle of the economic lot scheduling problem (Hanssmann 1962; Elmaghraby 1978, The Economic
    Lot Scheduling Problem: Review and Extensions; from memory). Without end where there is no room.

    >>> round(float(common_cycle([1000.0, 1000.0], [20.0, 20.0], [4.0, 4.0], [0.25, 0.25], [1.0, 1.0], 100.0)), 4)
    0.1155
    """
    stock = sum(_held(d, h, u) for d, h, u in zip(demands, holdings, used, strict=True))
    least = np.asarray(sum(times))
    with np.errstate(all="ignore"):
        wanted = np.where(
            np.asarray(stock) > 0, np.sqrt(2 * sum(set_ups) / np.where(np.asarray(stock) > 0, stock, 1.0)), np.inf
        )
        soonest = np.where(
            least > 0, np.where(np.asarray(room) > 0, least / np.where(np.asarray(room) > 0, room, 1.0), np.inf), 0.0
        )
    return np.maximum(wanted, soonest)  # fmt: skip


def common_cycle_cost(
    interval: Any, demands: Sequence[Any], set_ups: Sequence[Any], holdings: Sequence[Any], used: Sequence[Any]
) -> Any:
    """What do set-ups and stock of all products cost in a year when every product is made once in `interval` (years)?

    >>> common_cycle_cost(0.1, [1000.0], [20.0], [4.0], [0.0])
    400.0
    """
    stock = sum(_held(d, h, u) for d, h, u in zip(demands, holdings, used, strict=True))
    return sum(set_ups) / interval + stock * interval / 2


def at_least(
    demands: Sequence[float],
    set_ups: Sequence[float],
    holdings: Sequence[float],
    used: Sequence[float],
    times: Sequence[float],
    room: float,
) -> tuple[float, tuple[float, ...]]:
    """What do set-ups and stock cost at least in a year, whatever the schedule, and at which intervals (years)?

    Every product by itself, but together no more set-ups than there is time for: T = √(2 (K + λ s) / (h D (1 - used))) with the least λ that keeps
    Σ s / T within `room` (Bomberger 1966; Elmaghraby 1978, from memory). Plain numbers, holding costs above 0. Without end where there is no room.

    >>> cost, intervals = at_least([1000.0, 100.0], [20.0, 20.0], [4.0, 4.0], [0.0, 0.0], [1.0, 1.0], 1000.0)
    >>> round(cost, 1), [round(one, 3) for one in intervals]
    (526.5, [0.1, 0.316])
    """
    held = [_held(d, h, u) for d, h, u in zip(demands, holdings, used, strict=True)]
    if sum(times) > 0 and room <= 0:
        return float("inf"), (float("inf"),) * len(held)

    def intervals(price: float) -> list[float]:
        return [float(np.sqrt(2 * (k + price * s) / h)) for k, s, h in zip(set_ups, times, held, strict=True)]

    def taken(price: float) -> float:
        return sum(s / t if t > 0 else np.inf for s, t in zip(times, intervals(price), strict=True) if s > 0)

    low, high = 0.0, 1.0
    if taken(0.0) > room:
        while taken(high) > room:
            high *= 2
        for _ in range(200):
            middle = (low + high) / 2
            low, high = (middle, high) if taken(middle) > room else (low, middle)
    found = intervals(low)
    cost = sum(
        (k / t if k > 0 else 0.0) + h * t / 2 for k, t, h in zip(set_ups, found, held, strict=True)
    )  # at the lower price: never more than the real bound
    return float(cost), tuple(found)


def _held(demand: Any, holding: Any, used: Any) -> Any:
    return demand * holding * (1 - used)
