"""How many times as quick is the event kernel as the same line in SimPy, as somebody who knows SimPy would write it?

The lines of bench/forecast.py: the plain one, and the full one with people shared among stations by skill, breakdowns by running time, two machines at a
station, scrap and rework. In SimPy a machine is a process, a place before it a store with room for three, people are a store from which a process takes
one that can do its step. Times are drawn a thousand at a go, as is quickest there; each time of one counts for a piece at a step.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator

import numpy as np
import simpy

from bench.forecast import STATIONS, full_line, plain_line
from bench.timing import Row, row, timed
from pullwright.forecast.layout import layout_of
from pullwright.forecast.runs import Run, runs_of

KERNEL_DAYS, PEER_DAYS, TIMES = 50, 2, 5
DAY = 28_800.0
Process = Generator[simpy.Event, object, None]


def _drawn(draw: Callable[[int], np.ndarray]) -> Iterator[float]:
    while True:
        yield from draw(1000).tolist()


class Peer:
    """One run of a line of `STATIONS` stations in SimPy; `made`, pieces that its steps ended."""

    def __init__(self, seed: int, *, mean: float, full: bool) -> None:
        self.env, self.rng, self.made = simpy.Environment(), np.random.default_rng(seed), 0
        self.full, self.mean = full, mean
        self.chance = _drawn(lambda many: self.rng.random(many))
        self.jobs = simpy.Store(self.env)
        self.before = [self.jobs, *(simpy.Store(self.env, capacity=3) for _ in range(STATIONS - 1))]
        self.finished = simpy.Store(self.env)
        self.people = simpy.FilterStore(self.env)
        self.people.items += [range(6)] * 5 + [range(4, 10)] * 5
        self.env.process(self._customers())
        for step in range(STATIONS):
            for _ in range(2 if full and step == 4 else 1):
                self.env.process(self._machine(step))

    def _customers(self) -> Process:
        gaps = _drawn(lambda many: self.rng.exponential(DAY / 430, many))
        while True:
            yield self.env.timeout(next(gaps))
            yield self.jobs.put(1)

    def _machine(self, step: int) -> Process:
        mean = 2 * self.mean - 6 if self.full and step == 4 else self.mean
        spread = np.log1p(0.16)
        times = _drawn(lambda many: self.rng.lognormal(np.log(mean) - spread / 2, np.sqrt(spread), many))
        up = self.rng.exponential(36_000)
        while True:
            piece = yield self.before[step].get()
            time = next(times)
            if not self.full:
                yield self.env.timeout(time)
            else:
                person = yield self.people.get(lambda skills: step in skills)
                up -= time
                while up < 0 and step != 4:
                    time += self.rng.exponential(600)
                    up += self.rng.exponential(36_000)
                yield self.env.timeout(time)
                yield self.people.put(person)
                chance = next(self.chance)
                if chance < 0.005:
                    self.jobs.put(1)
                    continue
                if step == 7 and chance < 0.035:
                    self.before[5].put(piece)  # nobody waits for room
                    continue
            self.made += 1
            yield self.before[step + 1].put(piece) if step + 1 < STATIONS else self.finished.put(piece)


def measure() -> list[Row]:
    """Rows of (what, median, low, high, unit): seconds a piece at a step in SimPy beside those in the kernel, run by turns."""
    rows: list[Row] = []
    for name, line, mean in (("plain", plain_line, 55.0), ("full", full_line, 48.0)):
        layout = layout_of(line())
        found: list[Run] = []

        def kernel(number: int) -> None:
            found[:] = runs_of(layout.plant, numbers=[number], until=DAY * KERNEL_DAYS, day=DAY, samples=1000)  # noqa: B023

        kernel(0)  # compiles
        ratios, peers = [], []
        for number in range(TIMES):
            ours = timed(lambda: kernel(number)) / int(found[0].made.sum())  # noqa: B023
            peer = Peer(number, mean=mean, full=name == "full")
            theirs = timed(lambda: peer.env.run(DAY * PEER_DAYS)) / peer.made  # noqa: B023
            ratios.append(theirs / ours)
            peers.append(1 / theirs)
        rows.append(row(f"pieces at steps in SimPy, {name} line", peers, "k/s", 1e-3))
        rows.append(row(f"SimPy / event kernel, {name} line", ratios, "times"))
    return rows


if __name__ == "__main__":
    for what, middle, low, high, unit in measure():
        print(f"{what}: {middle:.3g} {unit} ({low:.3g} to {high:.3g})")
