"""How long a card takes until its container is full and in its place, out of what the flow says of the step: as figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pullwright.figure import Figure, derive, derive_many
from pullwright.flow import Flow
from pullwright.flow.ladder import move_time
from pullwright.flow.stations import StationLoad
from pullwright.pull.cards import loops


@dataclass(frozen=True, slots=True)
class LeadTime:
    """Lead time of a loop in working days with its variance (wd²), and the stretches that it is made of (s), each with what to call it."""

    mean: Figure
    variance: Figure
    stretches: tuple[tuple[str, Figure], ...]


def moves_between(flow: Flow, starts: Sequence[str], end: str) -> list[int]:
    """Which moves of the file lead from any of these places to that one?"""
    return [m for m, move in enumerate(flow.line.moves) if move.from_ in starts and move.to == end]


def production_lead(flow: Flow, i: int, taker: int | None, lots: bool, handed: Figure, rate: Figure) -> LeadTime:
    """How long does a production card of step `i` take?

    The card goes back, waits in the queue of the step, and its container is worked on; then it waits until as much as is carried at a time is ready, and is carried to
    the step `taker` (None: the shelf of finished goods is where the step is). `lots`: is the step set up for a lot? `handed`: pieces that are handed on together; `rate`: pieces that are carried away in a working day.
    """
    line, name = flow.line, flow.line.steps[i].name
    tail = name if taker is None else f"{name} / to {line.steps[taker].name}"
    there = [(station, at) for station in flow.stations for at in station.steps if at.step.index == i]
    work, spread = _work(flow, tail, there, lots, handed)
    moves = [] if taker is None else moves_between(flow, [name], line.steps[taker].name)
    ways = [move_time(flow.givens, m) for m in moves]
    carried = [flow.givens.number(("moves", m, "batch"), line.moves[m].batch, "pieces") for m in moves]
    queue, loads = flow.waits[i].queue, [station.load for station, _ in there]
    shares = [at.share for _, at in there if at.share is not None]
    inputs = [queue, work, spread, handed, rate, flow.day, *loads, *shares, *ways, *carried]
    sizes = (len(loads), len(shares), len(ways))

    def stretches(*values: Any) -> tuple[loops.Stretch, ...]:
        wait, done, varies, pieces, day_rate, day, *rest = values
        load = np.maximum.reduce(list(rest[: sizes[0]]))
        moving = rest[sizes[0] + sizes[1] : sizes[0] + sizes[1] + sizes[2]]
        batches = rest[sizes[0] + sizes[1] + sizes[2] :]
        together = [loops.gathering(batch, pieces, day_rate / day) for batch in batches]
        return (
            loops.queueing(wait, load),
            loops.Stretch(done, varies),
            *together,
            *(loops.Stretch(2 * way, 0.0 * way) for way in moving),
        )

    mean, variance = _sum(
        tail,
        inputs,
        stretches,
        flow.day,
        "queue + work on what is handed on together + gathering what is carried at a time + both ways",
    )
    told = [("in the queue of the step", queue), ("set-up and work until it is handed on", work)]
    if any(batch.value > handed.value for batch in carried):
        gathered = derive(
            f"waiting to be carried / {tail}",
            lambda pieces, day_rate, day, *batches: sum(loops.gathering(batch, pieces, day_rate / day).mean for batch in batches),
            handed, rate, flow.day, *carried, unit="s", formula="(pieces carried at a time - pieces handed on together) / 2 / pieces a second",
        )  # fmt: skip
        told.append(("until as much is ready as is carried at a time", gathered))
    told += [("carried there, and the card as long back", way) for way in ways]
    return LeadTime(mean, variance, tuple(told))


def _work(
    flow: Flow, tail: str, there: Sequence[tuple[StationLoad, Any]], lots: bool, handed: Figure
) -> tuple[Figure, Figure]:
    set_up = there[0][1].step.set_up
    inputs: list[Figure] = [handed, flow.day]
    inputs += [set_up.time, set_up.cv, set_up.lot] if set_up is not None else []
    for station, at in there:
        inputs += [
            at.mean,
            at.variance,
            station.available,
            station.machines,
            *((at.share,) if at.share is not None else ()),
        ]
    shared = [at.share is not None for _, at in there]

    def time(*values: Any) -> tuple[Any, Any]:
        rest = iter(values)
        pieces, day = next(rest), next(rest)
        prepares, cv, today = (next(rest), next(rest), next(rest)) if set_up is not None else (0.0, 0.0, 1.0)
        mean: Any = 0.0
        square: Any = 0.0
        for has in shared:
            each, varies, own, machines = next(rest), next(rest), next(rest), next(rest)
            # Taken off is what a set-up adds to the piece that it falls on (effective.with_set_ups): here it comes once, before the first one.
            each = np.maximum(each - prepares / today, 0.0)
            varies = np.maximum(varies - (cv * prepares) ** 2 / today - (today - 1) / today**2 * prepares**2, 0.0)
            slower = day / np.maximum(own, 1e-12)
            one = loops.working(
                pieces, machines, each * slower, varies * slower**2, set_up=prepares * slower, set_up_cv=cv, kept=lots
            )
            part = next(rest) if has else 1.0
            mean = mean + one.mean * part
            square = square + (one.variance + one.mean**2) * part
        return mean, np.maximum(square - mean**2, 0.0)

    mean, variance = derive_many(
        (f"work on what is handed on together / {tail}", f"variance of the work on what is handed on together / {tail}"), time, *inputs, units=("s", "s2"),
        formulas=(
            ("set-up + " if set_up is not None else "") + "effective process time of each of its pieces" + ("" if lots else ", shared out among the machines"),
            "each piece varies by itself" + (", and so does the set-up" if set_up is not None else ""),
        ),
    )  # fmt: skip
    return mean, variance


def withdrawal_lead(flow: Flow, name: str, moves: Sequence[int], holds: Figure, rate: Figure) -> LeadTime:
    """How long does a withdrawal card take until its container is there? It waits for the next round, and goes there and back.

    `moves`: those of the file that fetch it, the first one counts; where there is none, somebody goes each time that a container is empty.
    """
    ways = [move_time(flow.givens, m) for m in moves[:1]]
    carried = [flow.givens.number(("moves", m, "batch"), flow.line.moves[m].batch, "pieces") for m in moves[:1]]

    def stretches(pieces: Any, day_rate: Any, day: Any, *rest: Any) -> tuple[loops.Stretch, ...]:
        batch = rest[1] if ways else pieces
        return (loops.rhythm(batch, pieces, day_rate / day), *(loops.Stretch(2 * way, 0.0 * way) for way in rest[:1]))

    mean, variance = _sum(
        name, [holds, rate, flow.day, *ways, *carried], stretches, flow.day,
        "time in which what is fetched at a time, at least a container, is used up" + (" + both ways" if ways else ""),
    )  # fmt: skip
    round_time = derive(
        f"time between two rounds / {name}",
        lambda pieces, day_rate, day, *batch: loops.rhythm(batch[0] if batch else pieces, pieces, day_rate / day).mean,
        holds, rate, flow.day, *carried, unit="s", formula="what is fetched at a time, at least a container / what is used",
    )  # fmt: skip
    told = [("until the next round", round_time), *(("there, and as long back", way) for way in ways)]
    return LeadTime(mean, variance, tuple(told))


def _sum(tail: str, inputs: Sequence[Figure], stretches: Any, day: Figure, words: str) -> tuple[Figure, Figure]:
    place = next(k for k, figure in enumerate(inputs) if figure is day)

    def total(*values: Any) -> tuple[Any, Any]:
        found = stretches(*values)
        long = values[place]
        return sum(one.mean for one in found) / long, sum(one.variance for one in found) / long**2

    mean, variance = derive_many(
        (f"lead time of a card / {tail}", f"variance of the lead time of a card / {tail}"), total, *inputs, units=("wd", "wd2"),
        formulas=(f"({words}) / net working time of a day", "each stretch by itself: of the queue W² (2/u - 1), of the work that of its pieces, of gathering (b - n)² / 12 / rate²"),
    )  # fmt: skip
    return mean, variance
