"""How long a piece waits before each step, as the variability, the load and the lots make it wait; passed on from step to step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive, derive_many
from pullwright.flow import effective, queueing
from pullwright.flow.arrivals import Network, Queue, Visit, arrivals_of, groups, leaving_cv2s
from pullwright.flow.demand import pulled_cv2
from pullwright.flow.givens import Givens
from pullwright.flow.process_time import AtStation, mixed
from pullwright.flow.rates import Rates
from pullwright.flow.stations import StationLoad
from pullwright.flow.streams import comes_together, streams_of


@dataclass(frozen=True, slots=True)
class Wait:
    """Before one step: squared cv of arrivals, time in queue (s), time for the rest of the lot (s), and the pieces that therefore lie there.

    Arrivals and departures are those of what comes together, a lot or a piece. Times are working time of the line.
    """

    arrival_cv2: Figure
    queue: Figure
    lot: Figure
    total: Figure
    pieces: Figure
    departure_cv2: Figure


def waits_of(
    givens: Givens, rates: Rates, stations: tuple[StationLoad, ...], day: Figure, made: Figure
) -> tuple[Wait, ...]:
    """How long does a piece wait before each step, at the rate that customers pull?

    By the VUT equation for each station, with what comes together (transfer lots) as the thing that queues. A step that several stations do
    waits as its pieces do on average. `made`: share of the demand that can be made, for the pieces that lie there meanwhile.
    """
    network, times = _network(givens, rates, stations)
    arrivals: dict[int, Figure] = {}
    left: dict[int, Figure] = {}
    queues: dict[int, list[tuple[Visit, Figure]]] = {}
    for group in groups(network):
        arrivals |= arrivals_of(network, group, left)
        leaving: dict[int, list[tuple[Visit, Figure]]] = {}
        for q in group:
            queue = network.queues[q]
            coming = _coming(network, queue, arrivals)
            waits = _queue(queue, coming, times[q], stations[q], day)
            for visit, goes in zip(queue.visits, _leaving(network, queue, coming), strict=True):
                queues.setdefault(visit.step, []).append((visit, waits))
                leaving.setdefault(visit.step, []).append((visit, goes))
        for i, found in leaving.items():
            left[i] = _shared(f"cv² of departures / {network.names[i]}", found, "1")
    return tuple(
        _wait(rates, i, network, arrivals[i], queues[i], left[i], stations, day, made) for i in range(len(rates.steps))
    )


def _network(givens: Givens, rates: Rates, stations: tuple[StationLoad, ...]) -> tuple[Network, tuple[Figure, ...]]:
    """The network of queues, and for each of them the effective time (s) of what comes together."""
    together = comes_together(givens, rates)
    queues, times = [], []
    for station in stations:
        visits = tuple(Visit(at.step.index, at.share, at.started) for at in station.steps)
        time, cv2 = _lot_time(station, visits, together)
        queues.append(Queue(station.name, visits, station.machines, station.load, cv2))
        times.append(time)
    products = {product.name: p for p, product in enumerate(givens.line.products)}
    several = len(rates.ways) > 1
    pulled = {
        demand: pulled_cv2(
            givens, rates.products, [products[name] for name in way.products], f" / {' and '.join(way.products)}" if several else ""
        )
        for way, demand in zip(rates.ways, rates.way_demand, strict=True)
    }  # fmt: skip
    network = Network(
        tuple(step.name for step in rates.steps), tuple(queues), streams_of(givens, rates), together,
        tuple(step.started for step in rates.steps), pulled,
    )  # fmt: skip
    return network, tuple(times)


def _lot_time(station: StationLoad, visits: Sequence[Visit], together: dict[int, Figure]) -> tuple[Figure, Figure]:
    """Effective time (s) and squared cv of what comes together at a station."""
    if all(together[visit.step].certain and together[visit.step].value == 1 for visit in visits):
        return station.time, station.cv2
    inputs: list[Figure] = []
    for at, visit in zip(station.steps, visits, strict=True):
        inputs += [visit.rate, together[visit.step], at.mean, at.variance]
        if at.step.set_up is not None:
            inputs += [at.step.set_up.time, at.step.set_up.lot]
    prepared = [at.step.set_up is not None for at in station.steps]

    def time(*values: Any) -> tuple[Any, Any]:
        rest = iter(values)
        lots, means, variances = [], [], []
        for has in prepared:
            rate, size, mean, variance = next(rest), next(rest), next(rest), next(rest)
            set_up, lot = (next(rest), next(rest)) if has else (0.0, 1.0)
            mean, variance = effective.of_lots(mean, variance, size, set_up, lot)
            lots.append(rate / size)
            means.append(mean)
            variances.append(variance)
        mean, variance = mixed(lots, means, variances)
        return mean, np.where(mean > 0, variance / np.maximum(mean, 1e-12) ** 2, 0.0)

    mean, cv2 = derive_many(
        (f"effective time of a lot / {station.name}", f"cv² of the effective time of a lot / {station.name}"), time, *inputs, units=("s", "1"),
        formulas=(
            "pieces that come together x effective process time",
            "variance / mean²: the pieces vary by themselves, set-ups come in a row",
        ),
    )  # fmt: skip
    return mean, cv2


def _coming(network: Network, queue: Queue, arrivals: dict[int, Figure]) -> Figure:
    """Squared cv of all that comes to one station."""
    if len(queue.visits) == 1 and queue.visits[0].share is None:
        return arrivals[queue.visits[0].step]
    inputs: list[Figure] = []
    for visit in queue.visits:
        inputs += [visit.rate, network.together[visit.step], arrivals[visit.step]]
        inputs += [visit.share] if visit.share is not None else []
    split = [visit.share is not None for visit in queue.visits]

    def cv2(*values: Any) -> Any:
        rest = iter(values)
        lots, cv2s = [], []
        for shared in split:
            lots.append(next(rest) / next(rest))
            one = next(rest)
            cv2s.append(queueing.thinned_cv2(one, next(rest)) if shared else one)
        return queueing.merged_cv2(lots, cv2s)

    return derive(
        f"cv² of arrivals at the station / {queue.name}",
        cv2,
        *inputs,
        unit="1",
        formula="mean over its steps, weighted by what comes for them; of a share p of a step p x cv² + 1 - p",
    )


def _queue(queue: Queue, coming: Figure, time: Figure, station: StationLoad, day: Figure) -> Figure:
    def wait(ca2: Any, ce2: Any, load: Any, te: Any, machines: Any, line: Any, own: Any) -> Any:
        waits = queueing.waiting_time(ca2, ce2, load, te, machines)
        # Where the station works less than the line, the line's clock runs on meanwhile.
        return np.where(waits > 0, waits * line / np.maximum(own, 1e-12), 0.0)

    return derive(
        f"time in queue at the station / {queue.name}", wait, coming, queue.cv2, queue.load, time, queue.machines, day, station.available, unit="s",
        formula="(ca² + ce²)/2 x u^(√(2(m+1)) - 1) / (m (1 - u)) x te (VUT equation) x working time of the line / of the station",
        note="" if station.load.value < 1 else f"{station.name} is loaded to {station.load.short()}: the queue grows without end",
    )  # fmt: skip


def _leaving(network: Network, queue: Queue, coming: Figure) -> list[Figure]:
    """Squared cv of what leaves each step at one station."""
    goes = derive(
        f"cv² of departures from the station / {queue.name}",
        queueing.departure_cv2,
        coming,
        queue.cv2,
        queue.load,
        queue.machines,
        unit="1",
        formula="1 + (1 - u²)(ca² - 1) + u²/√m (ce² - 1)",
    )
    if len(queue.visits) == 1:
        return [goes]
    inputs = [figure for visit in queue.visits for figure in (visit.rate, network.together[visit.step])]
    return list(
        derive_many(
            [f"cv² of departures from the station / {queue.name} / {network.names[visit.step]}" for visit in queue.visits],
            lambda cv2, *v: leaving_cv2s([v[k] / v[k + 1] for k in range(0, len(v), 2)], cv2),
            goes, *inputs, units=["1"] * len(queue.visits), formulas=["p x cv² of all that leaves + 1 - p, for a share p of it"] * len(queue.visits),
        )
    )  # fmt: skip


def _shared(name: str, found: Sequence[tuple[Visit, Figure]], unit: str) -> Figure:
    """A step's own, out of those at the stations that do it."""
    shares = [visit.share for visit, _ in found if visit.share is not None]
    if not shares:
        (_, figure), *_ = found
        return derive(name, lambda one: one * 1.0, figure, unit=unit, formula="that of its station")
    return derive(
        name,
        lambda *v: sum(
            np.where(v[k + 1] > 0, v[k], 0.0) * v[k + 1] if unit == "s" else v[k] * v[k + 1] for k in range(0, len(v), 2)
        ),
        *(figure for pair in zip((figure for _, figure in found), shares, strict=True) for figure in pair),
        unit=unit,
        formula="mean over the stations that do it, weighted by their shares",
    )  # fmt: skip


def _wait(
    rates: Rates, i: int, network: Network, arrival: Figure, queues: Sequence[tuple[Visit, Figure]], left: Figure,
    stations: tuple[StationLoad, ...], day: Figure, made: Figure,
) -> Wait:  # fmt: skip
    name = network.names[i]
    queue = _shared(f"time in queue / {name}", queues, "s")
    there = [(station, at) for station in stations for at in station.steps if at.step.index == i]
    rest = _rest_of_lot(name, network.together[i], rates.steps[i].together, there, rates.steps[i].started, day)
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
        _pieces,
        total,
        rates.steps[i].started,
        made,
        day,
        unit="pieces",
        formula="waiting x pieces started a day, as far as can be made / net working time of a day (Little 1961)",
    )
    return Wait(arrival, queue, rest, total, pieces, left)


def _pieces(wait: Any, started: Any, made: Any, day: Any) -> Any:
    """What waits without end piles up without end, also where nothing can be made at all."""
    endless = np.isinf(wait) & (np.asarray(started) > 0)
    return np.where(endless, np.inf, np.where(np.isinf(wait), 0.0, wait) * started * made / day)


def _rest_of_lot(
    name: str, comes: Figure, goes: Figure, there: Sequence[tuple[StationLoad, AtStation]], started: Figure, day: Figure
) -> Figure:
    inputs: list[Figure] = []
    for station, at in there:
        inputs += [at.mean, station.available, *((at.share,) if at.share is not None else ())]
    shares = [at.share is not None for _, at in there]

    def wait(k: Any, n: Any, rate: Any, line: Any, *values: Any) -> Any:
        rest = iter(values)
        te: Any = 0.0
        for shared in shares:
            one = next(rest) * line / np.maximum(next(rest), 1e-12)
            te = te + (one * next(rest) if shared else one)
        return queueing.lot_wait(k, n, te, rate / line)

    return derive(
        f"waiting for the lot / {name}", wait, comes, goes, started, day, *inputs, unit="s",
        formula="(k - 1)/2 x te for k pieces that come together; then (n - 1)/2 x te, or (k - 1)/2 x te + (n - k)/2 x time between two pieces, for n that go on together",
    )  # fmt: skip
