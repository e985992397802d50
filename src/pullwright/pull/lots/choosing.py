"""Which interval a station's lots may have: as often as set-ups may, at least cost, with the shortest waiting; as figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.account.ground import Ground
from pullwright.account.terms import carrying_rate
from pullwright.figure import Figure, Source, derive, given, percent
from pullwright.pull.lots.economic import common_cycle, economic_lot
from pullwright.pull.lots.interval import shortest_interval
from pullwright.pull.lots.made_there import MadeThere
from pullwright.pull.lots.steady import longer_interval, steady_interval

FLAT = 0.1
"""By this share may waiting be longer than the shortest (common practice): about the shortest the curve is flat."""


def soonest(there: MadeThere) -> Figure:
    """In how many days, at the soonest, does every product come round again (EPEI, wd)?"""
    return derive(
        f"lots / interval / every part every interval / {there.name}",
        shortest_interval,
        there.around,
        there.room,
        unit="wd",
        formula="set-ups of one round / time for set-ups a day",
        source=Source("common practice", "every part every interval, in the way of Rother & Harris 2001"),
    )


def longest(ground: Ground) -> Figure | None:
    """In which time, at most, is every product wished to be made once (wd)? None where nothing is wished."""
    plan = ground.flow.line.plan
    if plan is None or plan.lots.interval is None:
        return None
    return ground.flow.givens.span_days(("plan", "lots", "interval"))


def steady(ground: Ground, there: MadeThere, least: Figure) -> Figure:
    """In which interval is a lot done soonest after it is wanted (wd)? Not sooner than set-ups may, not later than wished where that can be."""
    most = longest(ground)
    wished = () if most is None else (most,)

    def interval(low: Any, *values: Any) -> Any:
        rest = values[1:] if wished else values
        making = there.making(rest)
        found = np.maximum(steady_interval(making) / np.maximum(rest[0], 1e-9), low)
        return np.where(values[0] >= low, np.minimum(found, values[0]), found) if wished else found

    return derive(
        f"lots / steady / interval / {there.name}",
        interval,
        least,
        *wished,
        *there.inputs,
        unit="wd",
        formula="that of the least time in queue + set-up + lot, not below every part every interval"
        + (", not above what is wished" if wished else ""),
        source=Source("published", "VUT equation with set-ups in it (Hopp & Spearman, ch. 8 and 9; Karmarkar 1987)"),
    )


def lacking(ground: Ground, there: MadeThere) -> tuple[str, ...]:
    """What does the line file not say that the least cost would take?"""
    line = ground.flow.line
    said = (
        (not any(crew.wage is not None for crew in line.people), "a wage (`people.*.wage`)"),
        (any(one.worth is None for one in there.made), "a price of the parts (`parts.*.price`)"),
        (line.money is None or line.money.carrying_rate is None, "a carrying rate (`money.carrying_rate`)"),
    )
    return tuple(words for lacks, words in said if lacks)


def economic(ground: Ground, there: MadeThere) -> Figure | None:
    """In which interval do hands for set-ups and the carrying of stock cost least (wd)? None where the line file does not say what they cost."""
    if not _priced(ground, there):
        return None
    days, rate = ground.flow.givens.working_days("year"), carrying_rate(ground.flow)
    rows = [
        figure for one in there.made for figure in (one.started, one.time, one.set_up, one.people, *_worth(one.worth))
    ]

    def interval(clock: Any, room: Any, n: Any, r: Any, wage: Any, *v: Any) -> Any:
        started, times, set_ups, people, worths = (v[k::5] for k in range(5))
        used = [np.minimum(s * t / np.maximum(clock, 1e-9), 1.0) for s, t in zip(started, times, strict=True)]
        costs = [s * p * wage for s, p in zip(set_ups, people, strict=True)]
        return n * common_cycle([s * n for s in started], costs, [w * r for w in worths], used, set_ups, room * n)

    return derive(
        f"lots / economic / interval / {there.name}", interval, there.clock, there.room, days, rate, ground.wage, *rows, unit="wd",
        formula="√(2 x wages for the set-ups of one round / carrying of a year's pieces x (1 - share of the time that they take)), not below every part every interval",
        source=Source("published", "common cycle of the economic lot scheduling problem (Harris 1913; Taft 1918; Elmaghraby 1978)"),
    )  # fmt: skip


def alone(ground: Ground, there: MadeThere) -> tuple[Figure, ...]:
    """The lot of each product that would cost least if it had the station to itself (pieces); empty where costs are not known."""
    if not _priced(ground, there):
        return ()
    days, rate = ground.flow.givens.working_days("year"), carrying_rate(ground.flow)
    return tuple(
        derive(
            f"lots / economic / lot by itself / {there.name} / {one.step_name} / {one.product}",
            lambda c, n, r, wage, d, t, s, p, w: economic_lot(d * n, s * p * wage, w * r, np.minimum(d * t / np.maximum(c, 1e-9), 1.0)),
            there.clock, days, rate, ground.wage, one.started, one.time, one.set_up, one.people, *_worth(one.worth), unit="pieces",
            formula="√(2 x pieces a year x wages for a set-up / (worth x carrying rate x (1 - share of the time that it takes)))",
            source=Source("published", "Harris 1913; Taft 1918"),
        )
        for one in there.made
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Longer:
    """By how much the chosen interval is longer than that of the shortest waiting, and why, reason by reason."""

    factor: float
    reasons: tuple[str, ...]

    @property
    def because(self) -> str:
        """The reason that counts most."""
        return self.reasons[-1]


def longer(ground: Ground, there: MadeThere, shortest: Figure, least: Figure, people: tuple[float, str]) -> Longer:
    """By how much should the interval be longer than that of the shortest waiting?

    Three reasons, one after another: waiting may be a tenth longer, because that saves many set-ups; the time for set-ups should be enough in 19 of 20
    cases, as far as that can be; and the people should have time, `people` being the interval (wd) that they have time for and whose time that is. A
    wished longest interval ends all of it; one that cannot be kept leaves only the last reason.
    """
    start, most = shortest.value, longest(ground)
    if not 0 < start < np.inf:
        return Longer(1.0, ())
    clock = max(there.clock.value, 1e-9)
    kept = most is None or most.value >= least.value
    wanted: list[tuple[float, str]] = []
    if kept:
        making = there.making([figure.value for figure in there.inputs])
        flat = longer_interval(making, start * clock, FLAT) / clock
        wanted.append((flat, f"waiting up to {percent(FLAT)} longer than the shortest saves many set-ups"))
        wanted.append((least.interval()[1], "the time for set-ups is enough in 19 of 20 cases"))
    wanted.append((people[0], f"{people[1]} has time for no more set-ups"))
    top = most.value if most is not None and kept else np.inf
    found, reasons = start, []
    for interval, reason in wanted:
        reached = min(interval, top)
        if found * (1 + 1e-6) < reached < np.inf:
            found = reached
            reasons.append(reason)
    return Longer(found / start, tuple(reasons))


def chosen(there: MadeThere, shortest: Figure, by: Longer) -> Figure:
    """The chosen interval (wd)."""
    factor = given(f"lots / chosen / longer / {there.name}", by.factor, "1", Source("computed", "; ".join(by.reasons)))
    return derive(
        f"lots / chosen / interval / {there.name}",
        lambda t, f: t * f,
        shortest,
        factor,
        unit="wd",
        formula="interval of the shortest waiting x how much longer it should be",
    )


def _priced(ground: Ground, there: MadeThere) -> bool:
    """Is it known what set-ups and stock cost, and is it something?"""
    return not lacking(ground, there) and any(one.people.value > 0 for one in there.made)


def _worth(worth: Figure | None) -> tuple[Figure, ...]:
    return () if worth is None else (worth,)
