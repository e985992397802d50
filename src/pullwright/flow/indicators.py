"""Indicators of ISO 22400-2 that a line file can answer, with the definitions of the standard (from memory), and overall equipment effectiveness.

Times are those of a working day at the rate that the line can make: PBT planned busy time, APT actual production time, AUST actual set-up
time, ADET actual delay (standing still), AUPT = APT + AUST, AUBT = AUPT + ADET, PRI planned run time per item, PQ, GQ, SQ, RQ produced,
good, scrapped and reworked quantity, AOET order execution time (lead time), APWT and APAT attended and paid person-time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.crews import People
from pullwright.flow.rates import Rates
from pullwright.flow.stations import StationLoad


@dataclass(frozen=True, slots=True)
class StationIndicators:
    """The indicators of one station; shares unless said otherwise."""

    station: str
    availability: Figure
    effectiveness: Figure
    quality: Figure
    oee: Figure
    net_effectiveness: Figure
    allocation: Figure
    utilisation: Figure
    set_up_ratio: Figure
    technical: Figure
    first_pass: Figure
    scrap_ratio: Figure
    rework_ratio: Figure

    def all(self) -> tuple[Figure, ...]:
        """Give all of them in the order of the table."""
        return tuple(getattr(self, name) for name, _ in INDICATORS)


INDICATORS: tuple[tuple[str, str], ...] = (
    ("availability", "availability: APT / PBT"),
    ("effectiveness", "effectiveness: PRI x PQ / APT"),
    ("quality", "quality ratio: GQ / PQ"),
    ("oee", "overall equipment effectiveness: availability x effectiveness x quality ratio"),
    ("net_effectiveness", "net equipment effectiveness: AUPT / PBT x effectiveness x quality ratio"),
    ("allocation", "allocation efficiency: AUBT / PBT"),
    ("utilisation", "utilisation efficiency: APT / AUBT"),
    ("set_up_ratio", "set-up ratio: AUST / AUPT"),
    ("technical", "technical efficiency: APT / (APT + ADET)"),
    ("first_pass", "first-pass yield: good the first time / PQ"),
    ("scrap_ratio", "scrap ratio: SQ / PQ"),
    ("rework_ratio", "rework ratio: RQ / PQ"),
)
"""Field and words of each indicator, in the order of the standard's tables."""


@dataclass(frozen=True, slots=True)
class LineIndicators:
    """The indicators of the whole line: worker efficiency (APWT / APAT), production process ratio (APT / AOET), throughput rate (pieces/h)."""

    worker_efficiency: Figure
    process_ratio: Figure
    throughput: Figure
    rolled_throughput_yield: Figure


def station_indicators(station: StationLoad, made: Figure) -> StationIndicators:
    """What do the indicators of ISO 22400-2 say of this station? `made`: share of the demand that can be made."""
    name = station.name

    def day(words: str, function: Callable[..., Any], *inputs: Figure, formula: str) -> Figure:
        return derive(f"{words} / {name}", function, *inputs, unit="s/wd", formula=formula)

    pbt = day(
        "planned busy time (PBT)", lambda m, a: m * a, station.machines, station.available,
        formula="machines x net working time of a day",
    )  # fmt: skip
    run = day(
        "planned run time (PRI x PQ)", _sum_of_products, made, *_flat((at.started, at.step.mean) for at in station.steps),
        formula="pieces started x cycle time, as far as made",
    )  # fmt: skip
    apt = _production_time(station, made, day)
    aust = day(
        "set-up time (AUST)", _set_up_time(station), made, *_set_up_inputs(station),
        formula="set-ups a day x set-up time, as far as made",
    )  # fmt: skip
    if station.up is None:
        adet = day("standing still (ADET)", lambda t: t * 0.0, apt, formula="no breakdowns are given")
    else:
        # Set-ups happen with the machine at rest, so only the running time is interrupted.
        adet = day(
            "standing still (ADET)", lambda t, a: t * (1 / a - 1), apt, station.up,
            formula="production time x (1 / availability of the machine - 1)",
        )  # fmt: skip
    busy = day(
        "busy time (AUBT)", lambda t, s, d: t + s + d, apt, aust, adet,
        formula="production time + set-up time + standing still",
    )  # fmt: skip
    first = _of_pieces(station, "first-pass yield (ISO 22400-2)", "first_pass", "good the first time / pieces produced")
    scrap = _of_pieces(station, "scrap ratio", "scrap", "scrapped / pieces produced")
    again = _of_pieces(station, "rework ratio", "rework", "reworked / pieces produced")
    quality = _share(
        f"quality ratio / {name}",
        lambda s, r: np.maximum(1 - s - r, 0.0),
        scrap,
        again,
        formula="GQ / PQ = 1 - scrap ratio - rework ratio",
    )
    availability = _share(f"availability (ISO 22400-2) / {name}", _over, apt, pbt, formula="APT / PBT")
    effectiveness = _share(f"effectiveness / {name}", _over, run, apt, formula="PRI x PQ / APT")
    processing = _share(
        f"processing share / {name}", lambda a, s, p: _over(a + s, p), apt, aust, pbt, formula="AUPT / PBT"
    )
    product = lambda *v: v[0] * v[1] * v[2]  # noqa: E731
    return StationIndicators(
        name, availability, effectiveness, quality,
        _share(f"overall equipment effectiveness / {name}", product, availability, effectiveness, quality, formula="availability x effectiveness x quality ratio"),
        _share(f"net equipment effectiveness / {name}", product, processing, effectiveness, quality, formula="AUPT / PBT x effectiveness x quality ratio"),
        _share(f"allocation efficiency / {name}", _over, busy, pbt, formula="AUBT / PBT"),
        _share(f"utilisation efficiency / {name}", _over, apt, busy, formula="APT / AUBT"),
        _share(f"set-up ratio / {name}", lambda s, a: _over(s, a + s), aust, apt, formula="AUST / AUPT"),
        _share(f"technical efficiency / {name}", lambda a, d: _over(a, a + d), apt, adet, formula="APT / (APT + ADET)"),
        first, scrap, again,
    )  # fmt: skip


def _production_time(station: StationLoad, made: Figure, day: Callable[..., Figure]) -> Figure:
    """The station's running time: what is put right on the spot is in it, set-ups and breakdowns are not."""
    inputs: list[Figure] = []
    shape = []
    for at in station.steps:
        repair = at.step.repair
        times = () if at.times is None else (at.times,)
        inputs += [at.started, at.step.mean, *((repair.share, repair.time) if repair is not None else ()), *times]
        shape.append((repair is not None, bool(times)))

    def total(share: Any, *values: Any) -> Any:
        rest = iter(values)
        found: Any = 0.0
        for repaired, slower in shape:
            started, each = next(rest), next(rest)
            if repaired:
                each = each + next(rest) * next(rest)
            found = found + started * each * (next(rest) if slower else 1.0)
        return share * found

    return day(
        "production time (APT)", total, made, *inputs,
        formula="pieces started x (cycle time + share put right x time of putting right), as far as made",
    )  # fmt: skip


def _set_up_inputs(station: StationLoad) -> list[Figure]:
    return _flat(
        (at.step.set_up.per_day, at.step.set_up.time, *((at.share,) if at.share is not None else ()))
        for at in station.steps
        if at.step.set_up is not None
    )


def _set_up_time(station: StationLoad) -> Callable[..., Any]:
    shared = [at.share is not None for at in station.steps if at.step.set_up is not None]

    def total(share: Any, *values: Any) -> Any:
        rest = iter(values)
        found: Any = 0.0 * share
        for has_share in shared:
            one = next(rest) * next(rest)
            found = found + share * (one * next(rest) if has_share else one)
        return found

    return total


def _of_pieces(station: StationLoad, words: str, which: str, formula: str) -> Figure:
    """A share of the pieces, over the steps of a station."""
    found = [(at.started, lost) for at in station.steps if (lost := getattr(at.step.losses, which)) is not None]
    all_of_them = [at.started for at in station.steps]

    def share(*values: Any) -> Any:
        return _over(_sum_of_products(1.0, *values[len(all_of_them) :]), sum(values[: len(all_of_them)]))

    said = formula if len(all_of_them) == 1 else f"{formula}, over its steps"
    return _share(f"{words} / {station.name}", share, *all_of_them, *_flat(found), formula=said)


def _sum_of_products(share: Any, *values: Any) -> Any:
    found: Any = 0.0
    for k in range(0, len(values), 2):
        found = found + values[k] * values[k + 1]
    return share * found


def _flat(groups: Iterable[Iterable[Figure]]) -> list[Figure]:
    return [figure for group in groups for figure in group]


def line_indicators(
    rates: Rates, people: People, lead_days: Figure, touch_days: Figure, made: Figure, yields: Figure, day: Figure
) -> LineIndicators:
    """What do the indicators of ISO 22400-2 say of the whole line?"""
    worker = derive(
        "worker efficiency",
        lambda m, p, *w: m * sum(w) / p,
        made,
        people.paid,
        *people.attended.values(),
        unit="share",
        formula="attended time, as far as made / paid time (APWT / APAT)",
    )
    process = derive(
        "production process ratio",
        _over,
        touch_days,
        lead_days,
        unit="share",
        formula="touch time / lead time (APT / AOET)",
    )
    throughput = derive(
        "throughput",
        lambda d, m, t: d * m / t,
        rates.demand,
        made,
        day,
        unit="pieces/s",
        formula="demand, as far as it can be made / net working time of a day",
    )
    return LineIndicators(worker, process, throughput, yields)


def _share(name: str, function: Callable[..., Any], *inputs: Figure, formula: str) -> Figure:
    return derive(name, function, *inputs, unit="share", formula=formula)


def _over(part: Any, whole: Any) -> Any:
    some = np.asarray(whole) > 0
    return np.where(some, part / np.where(some, whole, 1.0), 0.0)
