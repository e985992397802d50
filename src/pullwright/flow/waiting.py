"""How long a piece waits before each step, as the variability, the load and the lots make it wait; passed on from step to step."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive
from pullwright.flow import queueing
from pullwright.flow.givens import Givens
from pullwright.flow.rates import Rates
from pullwright.flow.stations import StationLoad


@dataclass(frozen=True, slots=True)
class Wait:
    """Before one step: squared cv of arrivals, time in queue (s), time for the rest of the lot (s), and the pieces that therefore lie there."""

    arrival_cv2: Figure
    queue: Figure
    lot: Figure
    total: Figure
    pieces: Figure
    departure_cv2: Figure


def demand_cv2(givens: Givens, rates: Rates) -> Figure:
    """How uneven do customers pull? Squared cv of the time between two pieces, all products together.

    A day's demand of mean D and cv v comes from arrivals with ca² = Σ (v D)² / Σ D (a renewal process counts with variance ca² D over a long
    time; Cox 1962, from memory). Products without a cv count as orders that come independently (ca² = 1).
    """
    inputs: list[Figure] = []
    independent = []
    for p, product in enumerate(givens.line.products):
        path = ("products", p, "demand")
        inputs += [rates.products[p], givens.cv(path, product.demand, "demand cv")]
        independent.append(product.demand.cv is None and len(product.demand.readings) < 2)

    def cv2(*values: Any) -> Any:
        total = np.maximum(sum(values[0::2]), 1e-12)
        each = [
            rate * cv**2 if alone else (rate * cv) ** 2
            for rate, cv, alone in zip(values[0::2], values[1::2], independent, strict=True)
        ]
        return sum(each) / total

    return derive(
        "cv² of the time between two pieces pulled",
        cv2,
        *inputs,
        unit="1",
        formula="sum of (demand x cv)² / sum of demand",
    )


def waits_of(givens: Givens, rates: Rates, stations: tuple[StationLoad, ...], day: Figure) -> tuple[Wait, ...]:
    """How long does a piece wait before each step? By the VUT equation, transfer lots counted as the things that queue."""
    line = givens.line
    at = {
        step.step.index: station
        for station in stations
        for step in station.steps
        if step.step.name and line.steps[step.step.index].station == station.name
    }
    pulled = demand_cv2(givens, rates)
    left: dict[int, Figure] = {}
    found: dict[int, Wait] = {}
    for i in line.route.order:
        found[i] = _wait(givens, rates, i, at[i], left, pulled, day)
        left[i] = found[i].departure_cv2
    return tuple(found[i] for i in range(len(line.steps)))


def _wait(
    givens: Givens, rates: Rates, i: int, station: StationLoad, left: dict[int, Figure], pulled: Figure, day: Figure
) -> Wait:
    name = rates.steps[i].name
    before = [taking.step for taking in givens.line.route.takes[i]]
    arrival = pulled
    if before:
        inputs = [figure for k in before for figure in (rates.steps[k].started, left[k])]
        arrival = derive(
            f"cv² of arrivals / {name}", lambda *v: queueing.merged_cv2(list(v[0::2]), list(v[1::2])), *inputs, unit="1",
            formula="cv² of what leaves the steps before, weighted by their pieces",
        )  # fmt: skip
    lot = max((rates.steps[k].transfer for k in before), default=rates.steps[i].transfer)
    size = givens.number(("steps", before[0] if before else i, "transfer_lot"), lot, "pieces") if lot > 1 else None
    lots = (size,) if size is not None else ()
    queue = derive(
        f"time in queue / {name}", _queue, arrival, station.cv2, station.load, station.time, station.machines, *lots, unit="s",
        formula="(ca² + ce²)/2 x u^(√(2(m+1)) - 1) / (m (1 - u)) x te (VUT equation" + (", for whole transfer lots: ce² / k, k te)" if lots else ")"),
        source=None, note="" if station.load.value < 1 else f"{station.name} is loaded to {station.load.short()}: the queue grows without end",
    )  # fmt: skip
    own = rates.steps[i].transfer
    own_size = (givens.number(("steps", i, "transfer_lot"), own, "pieces"),) if own > 1 else ()
    rest = derive(
        f"waiting for the lot / {name}", lambda t, *k: sum((n - 1) / 2 * t for n in k) + t * 0, station.time, *lots, *own_size, unit="s",
        formula="(pieces of the lot that comes in - 1)/2 x te + (pieces of the lot that goes on - 1)/2 x te",
    )  # fmt: skip
    total = derive(
        f"waiting predicted / {name}",
        lambda q, w: q + w,
        queue,
        rest,
        unit="s",
        formula="time in queue + waiting for the lot",
    )
    pieces = derive(
        f"stock predicted / {name}",
        lambda w, r, d: np.where(r > 0, w, 0.0) * r / d,
        total,
        rates.steps[i].started,
        day,
        unit="pieces",
        formula="waiting x pieces started a day / net working time of a day (Little 1961)",
    )
    departure = derive(
        f"cv² of departures / {name}",
        queueing.departure_cv2,
        arrival,
        station.cv2,
        station.load,
        station.machines,
        unit="1",
        formula="1 + (1 - u²)(ca² - 1) + u²/√m (ce² - 1)",
    )
    return Wait(arrival, queue, rest, total, pieces, departure)


def _queue(ca2: Any, ce2: Any, load: Any, te: Any, machines: Any, lot: Any = 1.0) -> Any:
    return queueing.waiting_time(ca2, ce2 / lot, load, te * lot, machines)
