"""How full is each station: its work in a working day by purpose, its load, and its bar against takt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive, derive_many
from pullwright.flow import effective
from pullwright.flow.givens import Givens
from pullwright.flow.rates import Rates, StepRates
from pullwright.line.kinds import KINDS, KindKey


@dataclass(frozen=True, slots=True)
class AtStation:
    """A step as it is done at one station: its share of the pieces there, and how much longer it takes there (1 at its own)."""

    step: StepRates
    share: Figure | None
    times: Figure | None


@dataclass(frozen=True, slots=True)
class StationLoad:
    """One station at the rate that customers pull.

    `work`: its time in a working day by what it is for (s/wd); `rate`: pieces started there (pieces/wd); `time` and `cv2`: effective
    process time of a piece (s) and its squared cv; `load`: work against what its machines have (share); `content`: its work for one
    shipped unit, shared by its machines (s), to be held against takt, in `segments`; `up`: availability.
    """

    index: int
    name: str
    steps: tuple[AtStation, ...]
    machines: Figure
    available: Figure
    up: Figure | None
    work: dict[KindKey, Figure]
    rate: Figure
    time: Figure
    cv2: Figure
    load: Figure
    content: Figure
    segments: dict[KindKey, Figure]


def stations_of(givens: Givens, rates: Rates, takt_day: Figure) -> tuple[StationLoad, ...]:
    """How full is every station that has work? In the order of the file; stations without a step are left out."""
    line = givens.line
    index = {station.name: s for s, station in enumerate(line.stations)}
    at: dict[int, list[AtStation]] = {}
    for step in rates.steps:
        given = line.steps[step.index]
        others = [(index[other.station], k) for k, other in enumerate(given.also_at)]
        main = None
        if others:
            shares = [givens.figure(("steps", step.index, "also_at", k, "share")) for _, k in others]
            main = derive(
                f"share at its own station / {step.name}",
                lambda *s: np.maximum(1 - sum(s), 0.0),
                *shares,
                unit="share",
                formula="1 - shares done elsewhere",
            )
        at.setdefault(index[given.station], []).append(AtStation(step, main, None))
        for s, k in others:
            path = ("steps", step.index, "also_at", k)
            slower = None if given.also_at[k].times is None else givens.figure((*path, "times"))
            at.setdefault(s, []).append(AtStation(step, givens.figure((*path, "share")), slower))
    return tuple(_station(givens, rates, s, tuple(at[s]), takt_day) for s in range(len(line.stations)) if s in at)


def _station(givens: Givens, rates: Rates, s: int, steps: tuple[AtStation, ...], takt_day: Figure) -> StationLoad:
    station = givens.line.stations[s]
    machines = givens.number(("stations", s, "machines"), station.machines, "machines")
    available = givens.day_seconds(station.shifts)
    up = repair = repair_cv = None
    if station.breakdowns is not None:
        path = ("stations", s, "breakdowns")
        between, repair = givens.figure((*path, "between")), givens.figure((*path, "repair"))
        repair_cv = givens.cv((*path, "repair"), station.breakdowns.repair, "repair cv")
        up = derive(
            f"availability / {station.name}",
            effective.availability,
            between,
            repair,
            unit="share",
            formula="time between breakdowns / (time between breakdowns + time to repair)",
        )
    work = _work(station.name, steps, up)
    total = derive(
        f"work a day / {station.name}",
        lambda *w: sum(w),
        *work.values(),
        unit="s/wd",
        formula="sum over what it is for",
    )
    rate = derive(
        f"pieces a day / {station.name}",
        _rate_sum(steps),
        *_rate_inputs(steps),
        unit="pieces/wd",
        formula="pieces started there by all its steps",
    )
    time = derive(
        f"effective process time / {station.name}",
        lambda w, r: np.where(r > 0, w / np.maximum(r, 1e-12), 0.0),
        total,
        rate,
        unit="s",
        formula="work a day / pieces a day",
    )
    cv2 = _cv2(givens, s, steps, up, repair, repair_cv)
    load = derive(
        f"load / {station.name}",
        lambda w, m, a: w / (m * a),
        total,
        machines,
        available,
        unit="share",
        formula="work a day / (machines x net working time of a day)",
    )
    segments = {
        kind: derive(
            f"bar / {station.name} / {kind}", lambda w, d, m, day, a: w / (d * m) * (day / a), figure, rates.demand, machines, takt_day, available,
            unit="s", formula="work a day / (demand x machines), scaled to the line's working time",
        )
        for kind, figure in work.items()
    }  # fmt: skip
    content = derive(
        f"bar / {station.name}", lambda *k: sum(k), *segments.values(), unit="s", formula="sum over what it is for"
    )
    return StationLoad(s, station.name, steps, machines, available, up, work, rate, time, cv2, load, content, segments)


def _share(at: AtStation) -> tuple[Figure, ...]:
    return tuple(figure for figure in (at.share, at.times) if figure is not None)


def _rate_inputs(steps: tuple[AtStation, ...]) -> list[Figure]:
    return [figure for at in steps for figure in (at.step.started, *((at.share,) if at.share else ()))]


def _rate_sum(steps: tuple[AtStation, ...]) -> Callable[..., Any]:
    pattern = [at.share is not None for at in steps]

    def total(*values: Any) -> Any:
        found, k = 0.0, 0
        for shared in pattern:
            found += values[k] * values[k + 1] if shared else values[k]
            k += 2 if shared else 1
        return found

    return total


def _work(name: str, steps: tuple[AtStation, ...], up: Figure | None) -> dict[KindKey, Figure]:
    """The station's time in a working day by what it is for; what is done beyond one right visit is "again", outages are waiting."""
    parts: dict[KindKey, list[Figure]] = {}
    running: list[Figure] = []

    def add(kind: KindKey, figure: Figure, *, runs: bool = True) -> None:
        parts.setdefault(kind, []).append(figure)
        if runs:
            running.append(figure)

    for at in steps:
        step, own = at.step, _share(at)
        tail = step.name if not own else f"{step.name} at {name}"
        times = "" if not own else " x share there x how much longer it takes there"
        for group in step.groups:
            who = "" if len(step.groups) == 1 else f" / {' and '.join(group.work.products)}"
            for kind, seconds in group.work.kinds.items():
                add(
                    kind,
                    derive(
                        f"work a day / {tail}{who} / {kind}",
                        _product,
                        group.needed,
                        seconds,
                        *own,
                        unit="s/wd",
                        formula=f"pieces needed x time by purpose{times}",
                    ),
                )
            add(
                "again",
                derive(
                    f"work a day / {tail}{who} / pieces beyond those needed",
                    _excess,
                    group.started,
                    group.needed,
                    group.work.cycle,
                    *own,
                    unit="s/wd",
                    formula=f"(pieces started - pieces needed) x cycle time{times}",
                ),
            )
        if step.repair is not None:
            add(
                "again",
                derive(
                    f"work a day / {tail} / put right on the spot",
                    _product,
                    step.started,
                    step.repair.share,
                    step.repair.time,
                    *own,
                    unit="s/wd",
                    formula=f"pieces started x share x time of putting right{times}",
                ),
            )
        if step.set_up is not None:
            own_share = (at.share,) if at.share is not None else ()
            add(
                "needed",
                derive(
                    f"work a day / {tail} / set-ups",
                    _product,
                    step.set_up.per_day,
                    step.set_up.time,
                    *own_share,
                    unit="s/wd",
                    formula="set-ups a day x set-up time",
                ),
                runs=False,
            )
    if up is not None:
        down = derive(
            f"work a day / {name} / standing still",
            lambda a, *w: sum(w) * (1 / a - 1),
            up,
            *running,
            unit="s/wd",
            formula="running time x (1 / availability - 1)",
        )
        parts.setdefault("waiting", []).append(down)
    order = [kind.key for kind in KINDS if kind.key in parts]
    return {
        kind: derive(
            f"work a day / {name} / {kind}", lambda *w: sum(w), *parts[kind], unit="s/wd", formula="sum over its steps"
        )
        for kind in order
    }


def _product(*values: Any) -> Any:
    found = values[0]
    for value in values[1:]:
        found = found * value
    return found


def _excess(started: Any, needed: Any, cycle: Any, *own: Any) -> Any:
    return _product(np.maximum(started - needed, 0.0), cycle, *own)


def _cv2(
    givens: Givens,
    s: int,
    steps: tuple[AtStation, ...],
    up: Figure | None,
    repair: Figure | None,
    repair_cv: Figure | None,
) -> Figure:
    """Squared cv of the effective process time: putting right, outages and set-ups folded into each step, then the mix of steps."""
    inputs: list[Figure] = []
    shapes: list[tuple[bool, bool, bool, bool]] = []
    for at in steps:
        step = at.step
        inputs += [step.started, step.mean, step.variance, *_share(at)]
        if step.repair is not None:
            inputs += [step.repair.share, step.repair.time, step.repair.cv]
        if step.set_up is not None:
            inputs += [step.set_up.time, step.set_up.cv, step.set_up.lot]
        shapes.append((at.share is not None, at.times is not None, step.repair is not None, step.set_up is not None))
    outages = [figure for figure in (up, repair, repair_cv) if figure is not None]

    def cv2(*values: Any) -> tuple[Any, ...]:
        rest = iter(values[: len(values) - len(outages)])
        out = values[len(values) - len(outages) :]
        rates, means, variances = [], [], []
        for shared, slower, repaired, prepared in shapes:
            rate, mean, variance = next(rest), next(rest), next(rest)
            rate = rate * next(rest) if shared else rate
            if slower:
                factor = next(rest)
                mean, variance = mean * factor, variance * factor**2
            if repaired:
                share, time, cv = next(rest), next(rest), next(rest)
                mean, variance = effective.with_repairs(mean, variance, share, time, (cv * time) ** 2)
            if out:
                between = out[1] * out[0] / (1 - out[0])
                mean, variance = effective.with_outages(mean, variance, between, out[1], out[2] ** 2)
            if prepared:
                time, cv, lot = next(rest), next(rest), next(rest)
                mean, variance = effective.with_set_ups(mean, variance, time, (cv * time) ** 2, lot)
            rates.append(rate)
            means.append(mean)
            variances.append(variance)
        total = np.maximum(sum(rates), 1e-12)
        mean, variance = effective.mixture([rate / total for rate in rates], means, variances)
        return (np.where(mean > 0, variance / np.maximum(mean, 1e-12) ** 2, 0.0),)

    name = givens.line.stations[s].name
    (figure,) = derive_many(
        (f"cv² of the effective process time / {name}",), cv2, *inputs, *outages, units=("1",),
        formulas=("variance / mean² of the time of a piece, with putting right, breakdowns and set-ups folded in (Hopp & Spearman, ch. 8)",),
    )  # fmt: skip
    return figure
