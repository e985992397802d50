"""What customers pull in the slow twin: pieces that come and are taken, crews, cards, caps, orders, and what is written down of them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import simpy

from pullwright.forecast.events.rows import KINDS_OF_TIME
from tests.forecast.twin_machine import Machine
from tests.forecast.twin_of_line import Bench, Piece, TwinLine, TwinStep


@dataclass
class Told:
    """What the twin wrote down, as a run of the kernel does."""

    ends: list[float] = field(default_factory=list)
    lead: list[float] = field(default_factory=list)
    ended_products: list[int] = field(default_factory=list)
    response: list[float] = field(default_factory=list)
    made: list[int] = field(default_factory=list)
    scrapped: list[int] = field(default_factory=list)
    lying: list[float] = field(default_factory=list)
    times: np.ndarray = field(default_factory=lambda: np.zeros((0, KINDS_OF_TIME)))


class Pulling:
    """What lies where, who is free, and what may be begun."""

    def __init__(self, of: TwinLine, env: simpy.Environment) -> None:
        self.of, self.env = of, env
        steps = len(of.steps)
        self.told = Told(made=[0] * steps, scrapped=[0] * steps, lying=[0.0] * (steps + 2))
        self.free = [crew.number for crew in of.line.people]
        self.waiting: list[list[float]] = [[] for _ in of.names]
        self.finished, self.store_here = [0] * len(of.names), 0
        self.lying = [0] * (steps + 2)
        self.came = 0

    def _more(self, place: int) -> None:
        """One more piece lies before a step, in the finished store (-2) or in the whole line (-1)."""
        self.lying[place] += 1
        self.told.lying[place] -= self.env.now

    def _less(self, place: int) -> None:
        self.lying[place] -= 1
        self.told.lying[place] += self.env.now

    # --- people -----------------------------------------------------------------------------------------------------

    def _crew(self, step: TwinStep, people: int) -> int | None:
        able = [c for c in step.crews if self.free[c] >= people]
        return max(able, key=lambda c: (self.free[c], -c), default=None)

    def _take_people(self, m: Machine, step: TwinStep, people: int) -> None:
        m.crew = self._crew(step, people) if people > 0 else None
        if m.crew is not None:
            self.free[m.crew] -= people

    def _let_go(self, m: Machine, people: int) -> None:
        if m.crew is not None:
            self.free[m.crew] += people
        m.crew = None

    # --- pieces, cards, orders --------------------------------------------------------------------------------------

    def _is_first(self, step: TwinStep) -> bool:
        return not any(step.takes.values())

    def _bench_for(self, step: TwinStep) -> Bench:
        if step.where is None:
            return step.benches[0]
        chance = step.where.next()
        return next((bench for bench in step.benches if chance <= bench.share), step.benches[-1])

    def _job(self, step: TwinStep, p: int) -> None:
        piece = Piece(p, job=True)
        self._lies(piece, self._bench_for(step), 0)

    def _jobs_by_mix(self, step: TwinStep, many: int) -> None:
        for p in step.takes:
            step.owed[p] = step.owed.get(p, 0.0) + self.of.mix[p]
        best = max(step.takes, key=lambda p: (step.owed[p], -p))
        step.owed[best] -= sum(self.of.mix[p] for p in step.takes)
        for _ in range(many):
            self._job(step, best)

    def _lies(self, piece: Piece, bench: Bench, k: int) -> None:
        self.came += 1
        piece.came = self.came
        bench.lying[k].append(piece)

    def _arrive(self, piece: Piece, step: TwinStep, k: int, *, new: bool) -> None:
        step.here[k] += new
        self._lies(piece, self._bench_for(step), k)
        self._more(step.index)

    def _come(self, piece: Piece, to: int | None, k: int) -> None:
        if to is not None:
            self._arrive(piece, self.of.steps[to], k, new=False)
            return
        self.told.ends.append(self.env.now)
        self.told.lead.append(self.env.now - piece.born)
        self.told.ended_products.append(piece.product)
        self._less(-1)
        self.finished[piece.product] += 1
        self._more(-2)
        if self.waiting[piece.product]:
            self._ship(piece.product)

    def _ship(self, p: int) -> None:
        self.told.response.append(self.env.now - self.waiting[p].pop(0))
        self.finished[p] -= 1
        self.store_here -= 1
        self._less(-2)
        for step in self.of.steps:
            if step.goes_to.get(p, (0, 0))[0] is None:
                self._card_back(step, p)

    def _card_back(self, step: TwinStep, p: int) -> None:
        if step.by != "cards":
            return
        step.taken[p] = step.taken.get(p, 0) + 1
        if step.loops:
            self._signal(step, p)
        elif step.any_on_a_card:
            if sum(step.taken.values()) == step.per_card:
                again, step.taken = step.taken, {}
                for product, pieces in sorted(again.items()):
                    for _ in range(pieces if self._is_first(step) else 0):
                        self._job(step, product)
                step.permits += step.per_card  # of a first step without a limit
        elif step.taken[p] == step.per_card:
            step.taken[p] = 0
            for _ in range(step.per_card):
                if self._is_first(step):
                    self._job(step, p)
                else:
                    step.permits += 1

    def _signal(self, step: TwinStep, p: int) -> None:
        """A card of a product's own loop is full of taken pieces: it is hung up, and with the last one of a signal all of them let pieces begin."""
        loop = step.loops[p]
        if step.taken[p] < loop.per_card:
            return
        step.taken[p] = 0
        loop.back += 1
        if loop.back == loop.signal:
            loop.back = 0
            loop.permits += loop.signal * loop.per_card
            if self._is_first(step):
                for _ in range(loop.signal * loop.per_card):
                    self._job(step, p)

    def _ended(self, piece: Piece, step: TwinStep) -> None:
        """Whatever becomes of it, a piece that ends a step for the first time leaves the caps that end there."""
        if step.place > piece.reached:
            piece.reached = step.place
            for other in self.of.steps:
                if other.until == step.index:
                    other.permits += 1

    def _scrap(self, piece: Piece, step: TwinStep) -> None:
        """It frees the card of the furthest step that it was begun at, its room below caps that it is still in, and is begun anew."""
        self.told.scrapped[step.index] += 1
        self._less(-1)
        furthest = next(one for one in self.of.steps if one.place == max(piece.reached, step.place))
        self._card_back(furthest, piece.product)
        before = self.of.line.route.comes_before
        for other in self.of.steps:
            if other.until is not None and before(other.index, step.index) and before(step.index, other.until):
                other.permits += piece.reached < self.of.steps[other.until].place
        for i, jobs in self.of.jobs_for(piece.product, furthest.index).items():
            if self.of.steps[i].by not in ("push", "cards"):
                for _ in range(jobs):
                    self._job(self.of.steps[i], piece.product)
        for i, pieces in self.of.pieces_for(piece.product, furthest.index).items():
            if self.of.steps[i].by == "order":
                self.of.steps[i].permits += pieces
