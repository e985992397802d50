"""Every part every interval: how soon every product comes round again when set-ups take the time that production leaves.

Common practice, in the way of Rother & Harris, Creating Continuous Flow (2001; from memory): what is left of a day after production goes into
set-ups, the more of them the smaller the lots. Plain functions of floats or arrays alike; times in seconds, intervals in working days.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.pull.errors import BadPlanInput, NoSuchPlan


def production_time(demands: Sequence[Any], times: Sequence[Any]) -> Any:
    """How long does a day's demand keep the machine (s)? `demands` in pieces a day, `times` of a piece in s, set-ups not counted.

    >>> production_time([20.0, 10.0], [60.0, 120.0])
    2400.0
    """
    return sum(demand * time for demand, time in zip(demands, times, strict=True))


def time_for_set_ups(available: Any, production: Any, share: Any = None) -> Any:
    """How much time do set-ups have in a day (s)? What production leaves of `available`, and no more than a wished `share` of it.

    Below 0 where production alone takes more than there is.

    >>> float(time_for_set_ups(28_800.0, 24_000.0)), float(time_for_set_ups(28_800.0, 24_000.0, 0.1))
    (4800.0, 2880.0)
    """
    left = np.asarray(available) - production
    return left if share is None else np.minimum(left, share * np.asarray(available))


def shortest_interval(set_ups: Any, room: Any) -> Any:
    """In how many days, at the soonest, is every product made once (EPEI)? `set_ups`: all those of one round (s); `room`: time for them a day (s).

    0 where set-ups take no time; without end where there is none for them.

    >>> float(shortest_interval(7_200.0, 4_800.0)), float(shortest_interval(7_200.0, 0.0))
    (1.5, inf)
    """
    some = np.asarray(room) > 0
    return np.where(np.asarray(set_ups) > 0, np.where(some, set_ups / np.where(some, room, 1.0), np.inf), 0.0)


@dataclass(frozen=True, slots=True)
class WhatGives:
    """What would make room for every part every interval, each by itself; None where it cannot alone.

    `overtime`: more working time a day (s); `demand`: the share of the demand that fits; `set_ups`: the share of today's set-up time that would
    do; `interval`: the interval that would do (days).
    """

    overtime: float
    demand: float | None
    set_ups: float | None
    interval: float | None


def what_gives(
    production: float, set_ups: float, available: float, interval: float, share: float | None = None
) -> WhatGives:
    """What gives when a round of set-ups (s) does not fit into an `interval` (days) beside `production` (s a day)?

    >>> what_gives(production=27_000.0, set_ups=7_200.0, available=28_800.0, interval=2.0)
    WhatGives(overtime=1800.0, demand=0.9333333333333333, set_ups=0.5, interval=4.0)
    """
    wanted = set_ups / interval
    room = float(time_for_set_ups(available, production, share))
    short = production + wanted - available
    limits = [short] if not share else [short, wanted / share - available]
    most = available if share is None else share * available
    fits = (available - wanted) / production if production > 0 and wanted <= most and wanted < available else None
    soonest = float(shortest_interval(set_ups, room))
    return WhatGives(
        max(*limits, 0.0),
        None if fits is None else min(fits, 1.0),
        min(room / wanted, 1.0) if room > 0 and wanted > 0 else None,
        soonest if np.isfinite(soonest) else None,
    )


@dataclass(frozen=True, slots=True)
class Rounds:
    """Every product once in `interval` days in `lots` (pieces): a day has `production` + `set_ups` + `idle` seconds, which is all there is."""

    interval: float
    lots: tuple[float, ...]
    production: float
    set_ups: float
    idle: float


def every_part_every_interval(
    demands: Sequence[float],
    times: Sequence[float],
    set_ups: Sequence[float],
    available: float,
    *,
    share: float | None = None,
    longest: float | None = None,
) -> Rounds:
    """In which lots is every product made as often as the time for set-ups allows?

    Parameters: `demands` (pieces a day), `times` of a piece (s), `set_ups` into each product in one round (s), `available` time of the machine a
    day (s); `share` of it that set-ups may take, all that is left where nothing is said; `longest` interval that is wished (days).
    Errors: BadPlanInput for numbers that cannot be; NoSuchPlan where no time is left, or the interval is longer than wished, with what gives.

    >>> every_part_every_interval([200.0, 100.0], [60.0, 90.0], [1800.0, 1800.0], 25_200.0)
    Rounds(interval=0.8571428571428571, lots=(171.42857142857142, 85.71428571428571), production=21000.0, set_ups=4200.0, idle=0.0)
    """
    _check(demands, times, set_ups, available, share, longest)
    made = [k for k, demand in enumerate(demands) if demand > 0]
    production = float(production_time(demands, times))
    whole = sum(set_ups[k] for k in made)
    room = float(time_for_set_ups(available, production, share))
    interval = float(shortest_interval(whole, room))
    if room < -1e-9 * available or not np.isfinite(interval) or interval > (longest or np.inf) * (1 + 1e-9):
        raise _no_room(production, whole, available, share, longest)
    used = whole / interval if interval > 0 else 0.0
    return Rounds(
        interval, tuple(demand * interval for demand in demands), production, used, available - production - used
    )


def _no_room(
    production: float, set_ups: float, available: float, share: float | None, longest: float | None
) -> NoSuchPlan:
    room = float(time_for_set_ups(available, production, share))
    binding = [f"production takes {production:g} s of the {available:g} s of a day"]
    binding += [f"set-ups may take {share:.3g} of the time"] if share is not None else []
    binding += [f"every product is to be made every {longest:g} days"] if longest is not None else []
    if room <= 0:
        said = (
            f"no time is left for set-ups: production takes {production:g} s a day, and the machine has {available:g} s"
        )
        if share == 0:
            said = "no time is left for set-ups: they may take none of it"
        return NoSuchPlan(said, tuple(binding), _instead(what_gives(production, set_ups, available, longest or 1.0)))
    soonest = set_ups / room
    gives = what_gives(production, set_ups, available, longest or soonest, share)
    said = f"every product is made every {soonest:.4g} days at the soonest; wished: every {longest:.4g} days"
    return NoSuchPlan(said, tuple(binding), _instead(gives))


def _instead(gives: WhatGives) -> str:
    ways = [f"{gives.overtime:.0f} s more a day"]
    ways += [f"{gives.demand:.1%} of the demand"] if gives.demand is not None else []
    ways += [f"set-ups in {gives.set_ups:.1%} of their time"] if gives.set_ups is not None else []
    ways += [f"an interval of {gives.interval:.4g} days"] if gives.interval is not None else []
    return "one of these would do: " + ", ".join(ways)


def _check(
    demands: Sequence[float],
    times: Sequence[float],
    set_ups: Sequence[float],
    available: float,
    share: float | None,
    longest: float | None,
) -> None:
    if not len(demands) == len(times) == len(set_ups):
        raise BadPlanInput(
            f"{len(demands)} demands, {len(times)} times and {len(set_ups)} set-ups were read; give one of each per product"
        )
    for words, values in (("demand", demands), ("time", times), ("set-up", set_ups), ("available time", [available])):
        for value in values:
            if not 0 <= value < np.inf:
                raise BadPlanInput(f"a {words} of {value} was read; allowed: a finite number from 0 on")
    if share is not None and not 0 <= share <= 1:
        raise BadPlanInput(f"set-ups may take a share of {share} of the time; allowed: 0 to 1")
    if longest is not None and not longest > 0:
        raise BadPlanInput(f"an interval of {longest} days is wished; allowed: above 0")
