"""The three cases for a line as it is: its bottleneck rate, its raw process time, and the pieces that it holds."""

from __future__ import annotations

from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow.cases import Cases, cases
from pullwright.flow.process_time import AtStation
from pullwright.flow.rates import Rates
from pullwright.flow.stations import StationLoad
from pullwright.flow.stock import Stock
from pullwright.line import Line


def cases_of(
    line: Line, rates: Rates, stations: tuple[StationLoad, ...], stocks: tuple[Stock, ...], made: Figure, day: Figure
) -> Cases:
    """What could the main flow make of the pieces that lie and are worked on between its first step and its end?

    Bottleneck rate in units shipped, from the fullest of its stations; raw process time the sum of the effective process times of its
    steps; work in process the stock before its steps (but the first, where work is not yet in process) and the pieces in work.
    """
    main = line.route.chains[0].steps
    there = [(station, at) for station in stations for at in station.steps if at.step.index in main]
    full = list(dict.fromkeys(station.load for station, _ in there))
    rate = derive(
        "bottleneck rate", lambda d, t, *loads: d / t / np.maximum.reduce(list(loads)), rates.demand, day, *full, unit="pieces/s",
        formula="demand / net working time of a day / highest load of the main flow's stations",
    )  # fmt: skip
    raw = derive(
        "raw process time", _shared_sum([at for _, at in there]), *_means(there), unit="s",
        formula="sum of the effective process times of the main flow's steps",
    )  # fmt: skip
    busy = derive(
        "pieces in work in the main flow",
        _shared_sum([at for _, at in there], rates=True),
        *_means(there, rates=True),
        made,
        day,
        unit="pieces",
        formula="sum over its steps of pieces started a day, as far as made, x effective process time / net working time of a day (Little 1961)",
    )
    held = [stock.held for stock in stocks if stock.kind == "before" and stock.step in main[1:]]
    finite = [figure for figure in held if np.isfinite(figure.value)]
    left_out = "" if len(finite) == len(held) else "stock that grows without end is left out"
    wip = derive(
        "work in process of the main flow",
        lambda *v: np.maximum(sum(v), 1.0),
        busy,
        *finite,
        unit="pieces",
        formula="stock between the steps of the main flow + pieces in work, at least one piece",
        note=left_out,
    )
    return cases(wip, rate, raw)


def _means(there: list[tuple[StationLoad, AtStation]], *, rates: bool = False) -> list[Figure]:
    inputs: list[Figure] = []
    for _, at in there:
        inputs += [at.mean, *((at.share,) if at.share is not None else ()), *((at.step.started,) if rates else ())]
    return inputs


def _shared_sum(steps: list[AtStation], *, rates: bool = False) -> Any:
    def total(*values: Any) -> Any:
        rest = iter(values)
        found: Any = 0.0
        for at in steps:
            one = next(rest)
            one = one * next(rest) if at.share is not None else one
            found = found + (one * next(rest) if rates else one)
        return found * next(rest) / next(rest) if rates else found

    return total
