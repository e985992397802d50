"""How unevenly pieces come to each step: variability passed on from step to step, round loops and through shared stations too.

The parametric decomposition of a network of queues (Whitt 1983, The queueing network analyzer, in the form of Hopp & Spearman, Factory
Physics, chapter 8; from memory): streams merge and split by their squared cv, and each station passes on what came to it and its own
unevenness. Stations whose pieces come round to them again are solved together, round by round until nothing changes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive_many
from pullwright.flow import queueing
from pullwright.flow.streams import Stream

Values = dict[Figure, Any]
MOST_ROUNDS = 2000


@dataclass(frozen=True, slots=True)
class Visit:
    """A step as it is done at one station: which share of it, and how many pieces a day start there."""

    step: int
    share: Figure | None
    rate: Figure


@dataclass(frozen=True, slots=True)
class Queue:
    """A station as pieces see it: its visits, machines and load, and the squared cv of the time for what comes together."""

    name: str
    visits: tuple[Visit, ...]
    machines: Figure
    load: Figure
    cv2: Figure


@dataclass(frozen=True, slots=True)
class Network:
    """All queues, the streams between the steps, what comes together at each step, and how unevenly customers pull along each way."""

    names: tuple[str, ...]
    queues: tuple[Queue, ...]
    streams: tuple[Stream, ...]
    together: dict[int, Figure]
    started: tuple[Figure, ...]
    pulled: dict[Figure, Figure]
    """By the demand of a way through: squared cv of the time between two units pulled."""


def groups(network: Network) -> tuple[tuple[int, ...], ...]:
    """Queues that hang on one another, each group after those that it gets pieces from: a loop, or steps that share stations."""
    count = len(network.queues)
    at: dict[int, list[int]] = {}
    for q, queue in enumerate(network.queues):
        for visit in queue.visits:
            at.setdefault(visit.step, []).append(q)
    reach = np.eye(count, dtype=bool)
    for stream in network.streams:
        for a in at[stream.start] if stream.start is not None else ():
            reach[a, at[stream.end]] = True
    # A step that several stations do ties its own arrivals to none of them, but it is worked out once: they go together.
    for places in at.values():
        for a in places:
            reach[a, places] = True
    for _ in range(max(1, int(count).bit_length())):
        reach = (reach.astype(np.int64) @ reach.astype(np.int64)) > 0
    same = reach & reach.T
    firsts = sorted({int(np.flatnonzero(row)[0]) for row in same}, key=lambda q: (int(reach[:, q].sum()), q))
    return tuple(tuple(int(q) for q in np.flatnonzero(same[first])) for first in firsts)


def arrivals_of(network: Network, group: Sequence[int], left: dict[int, Figure]) -> dict[int, Figure]:
    """Squared cv of the time between what comes to each step of a group of queues.

    `left`: that of what leaves the steps before the group (per lot that goes through them together).
    """
    queues = [network.queues[q] for q in group]
    steps = sorted({visit.step for queue in queues for visit in queue.visits})
    streams = [stream for stream in network.streams if stream.end in steps]
    inner = any(stream.start in steps for stream in streams)
    inputs = list(dict.fromkeys(_inputs(network, queues if inner else [], steps, streams, left)))

    def cv2s(*values: Any) -> list[Any]:
        known: Values = dict(zip(inputs, values, strict=True))
        outside = {k: known[left[k]] * known[network.together[k]] for k in _outside(streams, steps)}

        if inner:
            found = _settled(network, queues, steps, streams, outside, known)
        else:
            found = [_coming(network, i, streams, outside, known) for i in steps]
        return [one / known[network.together[i]] for i, one in zip(steps, found, strict=True)]

    words = "mean of the cv² of what comes from the steps before, weighted by pieces, in lots as they come"
    if inner:
        words += "; solved together for the steps whose pieces come round to them again"
    figures = derive_many(
        [f"cv² of arrivals / {network.names[i]}" for i in steps],
        cv2s,
        *inputs,
        units=["1"] * len(steps),
        formulas=[words] * len(steps),
    )
    return dict(zip(steps, figures, strict=True))


def _outside(streams: Sequence[Stream], steps: Sequence[int]) -> set[int]:
    return {stream.start for stream in streams if stream.start is not None and stream.start not in steps}


def _inputs(
    network: Network, queues: Sequence[Queue], steps: Sequence[int], streams: Sequence[Stream], left: dict[int, Figure]
) -> Iterator[Figure]:
    for k in sorted(_outside(streams, steps)):
        yield left[k]
    for stream in streams:
        for part in stream.parts:
            yield part.demand
            yield part.leaving
            yield part.coming
            if stream.start is None:
                yield network.pulled[part.demand]
        if stream.start is not None:
            yield network.started[stream.start]
            yield network.together[stream.start]
    for i in steps:
        yield network.together[i]
    for queue in queues:
        yield from (queue.machines, queue.load, queue.cv2)
        for visit in queue.visits:
            yield from (visit.rate, *((visit.share,) if visit.share is not None else ()))


def _coming(network: Network, i: int, streams: Sequence[Stream], unevenness: dict[int, Any], known: Values) -> Any:
    """Unevenness of what comes to a step: squared cv x pieces that come together.

    Pieces count, so that lots of any size go together: a stream of lots of k with squared cv c² has c² k. Streams that meet in assembly
    count as one, by their mean.
    """
    rates, found = [], []
    for stream in streams:
        if stream.end != i:
            continue
        coming = sum(known[part.demand] * known[part.coming] for part in stream.parts)
        rates.append(sum(known[part.demand] * known[part.coming] / part.beside for part in stream.parts))
        some = np.asarray(coming) > 0
        if stream.start is None:
            units = sum(
                known[part.demand] * known[part.coming] * known[part.leaving] * known[network.pulled[part.demand]]
                for part in stream.parts
            )
            found.append(np.where(some, units / np.where(some, coming, 1.0), 1.0))
            continue
        leaving = sum(known[part.demand] * known[part.leaving] for part in stream.parts)
        started = known[network.started[stream.start]]
        share = np.where(some, leaving / np.where(some, started, 1.0), 0.0)
        of_each = np.where(some, coming / np.where(some, leaving, 1.0), 1.0)
        found.append(queueing.thinned_cv2(unevenness[stream.start], share) * of_each)
    return queueing.merged_cv2(rates, found)


def _passed_on(network: Network, queues: Sequence[Queue], coming: dict[int, Any], known: Values) -> dict[int, Any]:
    """Unevenness of what leaves each step of some queues, from that of what comes to them."""
    left: dict[int, Any] = {}
    for queue in queues:
        lots = [known[visit.rate] / known[network.together[visit.step]] for visit in queue.visits]
        cv2s = [
            _split(coming[visit.step] / known[network.together[visit.step]], visit, known) for visit in queue.visits
        ]
        goes = queueing.departure_cv2(
            queueing.merged_cv2(lots, cv2s), known[queue.cv2], known[queue.load], known[queue.machines]
        )
        for visit, cv2 in zip(queue.visits, leaving_cv2s(lots, goes), strict=True):
            part = 1.0 if visit.share is None else known[visit.share]
            left[visit.step] = left.get(visit.step, 0.0) + part * cv2 * known[network.together[visit.step]]
    return left


def _split(cv2: Any, visit: Visit, known: Values) -> Any:
    return cv2 if visit.share is None else queueing.thinned_cv2(cv2, known[visit.share])


def leaving_cv2s(lots: Sequence[Any], cv2: Any) -> list[Any]:
    """Squared cv of what leaves each step at a station, out of that of all that leaves it; `lots`: how much of each."""
    if len(lots) == 1:
        return [cv2]
    total = sum(lots)
    some = np.asarray(total) > 0
    return [queueing.thinned_cv2(cv2, np.where(some, one / np.where(some, total, 1.0), 1.0)) for one in lots]


def _settled(
    network: Network, queues: Sequence[Queue], steps: Sequence[int], streams: Sequence[Stream], outside: dict[int, Any], known: Values,
) -> list[Any]:  # fmt: skip
    """Unevenness of what comes to steps that hang on one another: step after step, round after round, until it no longer changes.

    Each round carries on only a part of what came in the one before, so that it settles.
    """
    at = {i: [queue for queue in queues if any(visit.step == i for visit in queue.visits)] for i in steps}
    # What comes to one step changes what leaves all steps that share a station with it, wherever else they are done.
    changed = {i: {visit.step for queue in at[i] for visit in queue.visits} for i in steps}
    near = {i: list({id(queue): queue for k in sorted(changed[i]) for queue in at[k]}.values()) for i in steps}
    coming: dict[int, Any] = dict.fromkeys(steps, 1.0)
    unevenness = outside | _passed_on(network, queues, coming, known)
    for _ in range(MOST_ROUNDS):
        moved = 0.0
        for i in steps:
            before, coming[i] = coming[i], _coming(network, i, streams, unevenness, known)
            moved = max(moved, float(np.max(np.abs(coming[i] - before) / np.maximum(coming[i], 1.0))))
            left = _passed_on(network, near[i], coming, known)
            unevenness |= {k: left[k] for k in changed[i]}
        if moved < 1e-10:
            break
    return [coming[i] for i in steps]
