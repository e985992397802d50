"""Is a line plain? One product, one piece after another, nobody waits for people: then its times follow from piece to piece without events."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from pullwright.forecast.events.rows import BY_CLOCK, CAPPED, CARDED, ORDERED, PLENTY, PUSHED
from pullwright.forecast.layout import Layout
from pullwright.forecast.luck.shapes import CONSTANT
from pullwright.forecast.plant import NEVER, Plant

BEGINS, ENDS, SHIPS, ORDERS, TICKS = range(5)
"""What a wait counts: pieces begun or ended at a step, units shipped, orders, ticks of a step's schedule."""


class Wait(NamedTuple):
    """Piece x of a step waits until so many of something have been: x - `free`, rounded up to whole cards of `per`; before `free`, for nothing."""

    what: int
    step: int
    free: int
    per: int


@dataclass(frozen=True)
class PlainStep:
    """One step. `row`: its place in the plant; `room`: pieces that fit before it, PLENTY where it has no end; `way`: seconds from it to the next.

    `comes`: what leaves to begin a piece at the first step; `asks`: what lets it begin besides (None: nothing is asked). `elements`: (stream,
    attended share). `breaks`: streams of the time between two breakdowns and of the repair, counted by running time.
    """

    row: int
    station: int
    machines: int
    stock: int
    room: int
    way: float
    comes: Wait | None
    asks: Wait | None
    elements: tuple[tuple[int, float], ...]
    breaks: tuple[int, int] | None
    tick: float

    @property
    def spare(self) -> int:
        """Machines besides one: by so many pieces may they be ended in another order than they were begun."""
        return self.machines - 1


@dataclass(frozen=True)
class Plain:
    """A plain line, its steps in the order in which pieces go through them. `stock` and `room`: of the finished store."""

    layout: Layout
    steps: tuple[PlainStep, ...]
    stock: int
    room: int

    @property
    def offsets(self) -> tuple[int, ...]:
        """When, in ticks of the recursion, piece 0 of each step is begun, and at last unit 0 shipped.

        A step with several machines must have begun so many pieces more before it is known which is ended first; the stock before a
        step is begun before the first piece comes.
        """
        at = [0]
        for k, step in enumerate(self.steps):
            stock = self.steps[k + 1].stock if k + 1 < len(self.steps) else self.stock
            at.append(at[-1] + step.spare - stock)
        return tuple(at)

    def told_at(self, wait: Wait) -> int:
        """The tick at which number 0 of what a wait counts is known."""
        if wait.what == ENDS:
            return self.offsets[wait.step] + self.steps[wait.step].spare
        return self.offsets[wait.step if wait.what == BEGINS else -1]


@dataclass(frozen=True)
class NotPlain:
    """Why a line is not plain, in one sentence."""

    why: str


def plain_of(layout: Layout) -> Plain | NotPlain:
    """Can this line be run as a recursion from piece to piece, to the last bit as the event kernel runs it?

    Plain is a line of one product whose steps stand one after another, each at a station of its own (with one machine or several), that hands on
    piece by piece, without set-ups, scrap, rework and hurry; parts always there, nobody in shifts of their own; breakdowns only by running time, and only where a station has one machine;
    people never short. Stores may end, pieces may be carried, and orders, schedules, cards and caps may let pieces begin.
    Result: the line as the recursion takes it, or the reason why not.
    """
    why = _not_plain(layout)
    if why is not None:
        return NotPlain(why)
    p = layout.plant
    order = np.argsort(p.step_place)
    steps = tuple(_step(p, order, k) for k in range(order.size))
    plain = Plain(layout, steps, int(p.stock_finished[0]), int(p.finished_capacity[0]))
    for k, step in enumerate(steps):
        for wait in (step.comes, step.asks):
            if wait is not None and wait.what in (BEGINS, ENDS, SHIPS):
                needed = wait.per + plain.told_at(wait) - plain.offsets[k]
                if wait.free < needed:
                    return NotPlain(
                        f"{layout.steps[step.row]} may begin {max(wait.free, 0)} pieces before one comes out; at least {needed} are needed to know "
                        "the order in which the machines of its loop end theirs."
                    )  # fmt: skip
    return plain


def _step(p: Plant, order: np.ndarray, k: int) -> PlainStep:
    i = int(order[k])
    bench = int(p.step_bench[i, 0])
    station = int(p.bench_station[bench])
    first, last = p.station_machine[station]
    hop = int(p.hop[0, i])
    begin, end = p.element[0, i]
    release, comes, asks = int(p.step_release[i]), None, None
    taken = BEGINS if k + 1 < order.size else SHIPS
    if release == CARDED:
        free = int(p.step_jobs[i]) if k == 0 else int(p.step_permits[i])
        asks = Wait(taken, k + 1, free, int(p.step_per_card[i]))
    elif release == CAPPED:
        until = int(p.cap[p.cap[:, 0] == i, 1][0])
        asks = Wait(ENDS, int(p.step_place[until]), int(p.step_permits[i]), 1)
    elif release == PUSHED:
        asks = Wait(TICKS, k, 0, 1)
    elif release == ORDERED:
        asks = Wait(ORDERS, k, 0, 1)
    if k == 0:
        comes, asks = (Wait(ORDERS, 0, 0, 1), asks) if release == CAPPED else (asks or Wait(ORDERS, 0, 0, 1), None)
    return PlainStep(
        row=i,
        station=station,
        machines=int(last - first),
        stock=int(p.stock_before[i, 0, 0]) if k > 0 else 0,
        room=int(p.step_capacity[i]),
        way=0.0 if hop == NEVER else float(p.hop_time[hop]),
        comes=comes,
        asks=asks,
        elements=tuple((int(p.element_stream[e]), float(p.element_attended[e])) for e in range(begin, end)),
        breaks=(int(p.machine_between[first]), int(p.machine_repair[first])) if p.machine_counted[first] else None,
        tick=float(p.step_tick[i]) if release == PUSHED else 0.0,
    )


def _not_plain(layout: Layout) -> str | None:
    p = layout.plant
    if p.mix.size > 1:
        return f"The line makes {p.mix.size} products."
    if p.change.size or p.station_closed.any():
        return "Stations or crews have shifts of their own."
    order = np.argsort(p.step_place)
    if p.finished_capacity[0] == 0:
        return "The finished store has no room."
    if p.finished_capacity[0] < PLENTY and (p.hop_end == NEVER).any():
        return "Units are carried to a finished store that may be full."
    if p.step_taken.any() or p.step_debt.any():
        return "More was counted than lies on whole cards."
    for k, i in enumerate(order):
        name, bench = layout.steps[i], int(p.step_bench[i, 0])
        station = int(p.bench_station[bench])
        machines = p.machine_counted[slice(*p.station_machine[station])]
        if p.step_lots[i]:
            return f"{name} has set-ups, and lots of each product."
        if p.own_signal[0, i] > 1:
            return f"Cards of {name} are gathered to a signal."
        expected = order[k + 1] if k + 1 < order.size else NEVER
        if p.step_joins[i] or p.next_step[0, i] != expected or (p.first[0, i] > 0) != (k == 0):
            return f"The flows of {name} join or part."
        if p.step_bench[i, 1] - bench > 1:
            return f"{name} is done at several stations."
        if p.station_bench[station, 1] - p.station_bench[station, 0] > 1:
            return f"{layout.stations[station]} does several steps."
        if p.step_lot[i] > 0:
            return f"{name} has set-ups."
        if p.step_transfer[i] > 1:
            return f"{name} hands on {p.step_transfer[i]} pieces at a time."
        if p.step_hurry_at[i] < PLENTY:
            return f"People hurry at {name} where much lies before it."
        if (p.part_lot[p.use[p.use[:, 1] == i, 2]] > 0).any():
            return f"{name} takes parts that may be short."
        if p.step_luck[i] != NEVER:
            return f"{name} has scrap or rework."
        if (machines == BY_CLOCK).any():
            return f"{layout.stations[station]} breaks down by the clock."
        if machines.any() and machines.size > 1:
            return f"{layout.stations[station]} has several machines that break down."
        if p.step_release[i] == CAPPED and p.step_place[p.cap[p.cap[:, 0] == i, 1][0]] < k:
            return f"The cap of {name} ends before it."
        parts = range(*p.element[0, i])
        if all(
            p.stream_kind[p.element_stream[e]] == CONSTANT and not p.stream_numbers[p.element_stream[e], 0]
            for e in parts
        ):
            return f"{name} takes no time."
    return _people_short(layout)


def _people_short(layout: Layout) -> str | None:
    """Each step needs a crew that has enough people for all machines of all steps that it may be asked for."""
    p = layout.plant
    machines = np.array([np.diff(p.station_machine[p.bench_station[b]])[0] for b in p.step_bench[:, 0]])
    wanted = p.crew_can.T @ (p.step_people * machines)
    for i in np.flatnonzero(p.step_people):
        if not (p.crew_can[i].astype(bool) & (wanted <= p.crew_number)).any():
            return f"{layout.steps[i]} may have to wait for people."
    return None
