"""Indicators of ISO 22400-2 that a line file can answer, with the definitions of the standard (from memory), and overall equipment effectiveness.

Times are those of a working day at the rate that the line can make: PBT planned busy time, APT actual production time, AUST actual set-up
time, ADET actual delay (standing still), AUPT = APT + AUST, AUBT = AUPT + ADET, PRI planned run time per item, PQ, GQ, SQ, RQ produced,
good, scrapped and reworked quantity, AOET order execution time (lead time), APWT and APAT attended and paid person-time.
"""

from __future__ import annotations

from collections.abc import Callable
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
    """What do the indicators of ISO 22400-2 say of this station?"""
    name = station.name
    set_up_inputs = [
        figure
        for at in station.steps
        if at.step.set_up is not None
        for figure in (at.step.set_up.per_day, at.step.set_up.time, *((at.share,) if at.share is not None else ()))
    ]
    shapes = [at.share is not None for at in station.steps if at.step.set_up is not None]

    def set_ups(share: Any, *values: Any) -> Any:
        total, k = 0.0 * share, 0
        for shared in shapes:
            size = 3 if shared else 2
            total = total + np.prod(np.broadcast_arrays(*values[k : k + size]), axis=0)
            k += size
        return total * share

    def day(words: str, function: Callable[..., Any], *inputs: Figure, formula: str) -> Figure:
        return derive(f"{words} / {name}", function, *inputs, unit="s/wd", formula=formula)

    pbt = day(
        "planned busy time (PBT)",
        lambda m, a: m * a,
        station.machines,
        station.available,
        formula="machines x net working time of a day",
    )
    aust = day(
        "set-up time (AUST)", set_ups, made, *set_up_inputs, formula="set-ups a day x set-up time, as far as made"
    )
    total = day(
        "busy time (AUBT)", lambda m, *w: m * sum(w), made, *station.work.values(), formula="work a day, as far as made"
    )
    if station.up is None:
        adet = day("standing still (ADET)", lambda t: t * 0.0, total, formula="no breakdowns are given")
    else:
        # Set-ups happen with the machine at rest, so only the running time is interrupted.
        adet = day(
            "standing still (ADET)",
            lambda t, s, a: (t - s) * (1 - a),
            total,
            aust,
            station.up,
            formula="(busy time - set-up time) x (1 - availability of the machine)",
        )
    apt = day(
        "production time (APT)",
        lambda t, s, d: t - s - d,
        total,
        aust,
        adet,
        formula="busy time - set-up time - standing still",
    )
    pieces = [
        figure
        for at in station.steps
        for figure in (
            at.step.started,
            at.step.mean,
            at.step.losses.first_pass,
            at.step.losses.scrap or at.step.losses.first_pass,
            at.step.losses.rework or at.step.losses.first_pass,
        )
    ]
    shares = [figure for at in station.steps for figure in (at.share,) if figure is not None]
    shared = [at.share is not None for at in station.steps]
    has = [(at.step.losses.scrap is not None, at.step.losses.rework is not None) for at in station.steps]

    def weighted(which: int) -> Callable[..., Any]:
        def mean(*values: Any) -> Any:
            rest = iter(values[len(pieces) :])
            rates = [values[5 * k] * (next(rest) if own else 1.0) for k, own in enumerate(shared)]
            picked = [values[5 * k + which] if which == 2 or has[k][which - 3] else 0.0 for k in range(len(shared))]
            whole = np.maximum(sum(rates), 1e-12)
            return sum(rate * share for rate, share in zip(rates, picked, strict=True)) / whole

        return mean

    def ratio(words: str, which: int, formula: str) -> Figure:
        return derive(f"{words} / {name}", weighted(which), *pieces, *shares, unit="share", formula=formula)

    def planned(share: Any, *values: Any) -> Any:
        rest = iter(values[len(pieces) :])
        return share * sum(
            values[5 * k] * (next(rest) if own else 1.0) * values[5 * k + 1] for k, own in enumerate(shared)
        )

    run = day(
        "planned run time (PRI x PQ)",
        planned,
        made,
        *pieces,
        *shares,
        formula="pieces started x cycle time, as far as made",
    )
    first = ratio(
        "first-pass yield (ISO 22400-2)",
        2,
        "good the first time / pieces produced, weighted by the pieces of its steps",
    )
    scrap = ratio("scrap ratio", 3, "scrapped / pieces produced")
    again = ratio("rework ratio", 4, "reworked / pieces produced")
    quality = _share(
        f"quality ratio / {name}",
        lambda s, r: np.maximum(1 - s - r, 0.0),
        scrap,
        again,
        formula="GQ / PQ = 1 - scrap ratio - rework ratio",
    )
    availability = _share(f"availability (ISO 22400-2) / {name}", _over, apt, pbt, formula="APT / PBT")
    effectiveness = _share(f"effectiveness / {name}", _over, run, apt, formula="PRI x PQ / APT")
    product = lambda *v: v[0] * v[1] * v[2]  # noqa: E731
    aupt_share = _share(
        f"processing share / {name}",
        lambda a, s, p: (a + s) / np.maximum(p, 1e-12),
        apt,
        aust,
        pbt,
        formula="AUPT / PBT",
    )
    return StationIndicators(
        name, availability, effectiveness, quality,
        _share(f"overall equipment effectiveness / {name}", product, availability, effectiveness, quality, formula="availability x effectiveness x quality ratio"),
        _share(f"net equipment effectiveness / {name}", product, aupt_share, effectiveness, quality, formula="AUPT / PBT x effectiveness x quality ratio"),
        _share(f"allocation efficiency / {name}", _over, total, pbt, formula="AUBT / PBT"),
        _share(f"utilisation efficiency / {name}", _over, apt, total, formula="APT / AUBT"),
        _share(f"set-up ratio / {name}", lambda s, a: s / np.maximum(a + s, 1e-12), aust, apt, formula="AUST / AUPT"),
        _share(f"technical efficiency / {name}", lambda a, d: a / np.maximum(a + d, 1e-12), apt, adet, formula="APT / (APT + ADET)"),
        first, scrap, again,
    )  # fmt: skip


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
    return np.where(np.asarray(whole) > 0, part / np.maximum(whole, 1e-12), 0.0)
