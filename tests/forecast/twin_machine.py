"""A machine of the slow twin, as a process of SimPy works it: its own time, with the breakdowns in between."""

from __future__ import annotations

from collections.abc import Generator

import simpy

from pullwright.forecast.events.rows import KINDS_OF_TIME, REPAIRED, STARVED, WORKING
from tests.forecast.twin_of_line import Bench, Piece, Stream, TwinStep

IDLE, SETTING, AT_WORK, WAITS_AGAIN, HOLDS = "idle", "setting", "at work", "waits again", "holds"
Process = Generator[simpy.Event, object, None]


class Moment(simpy.Event):
    """So many seconds from now; of those at one moment the one of the lowest rank comes first."""

    def __init__(self, env: simpy.Environment, seconds: float, rank: int) -> None:
        super().__init__(env)
        self._ok, self._value = True, None
        env.schedule(self, priority=10 + rank, delay=seconds)


class Machine:
    """One machine: what it is at, what it is set up for, and when it breaks down."""

    def __init__(self, env: simpy.Environment, station: int, rank: int) -> None:
        self.env, self.station, self.rank = env, station, rank
        self.called = env.event()
        self.doing = IDLE
        self.bench: Bench | None = None
        self.piece: Piece | None = None
        self.since = 0.0
        self.set_for: TwinStep | None = None
        self.lot_left = 0
        self.made_last = self.sets_up_for = -1
        self.crew: int | None = None
        self.between: Stream | None = None
        self.repair: Stream | None = None
        self.by_clock = False
        self.up_left = float("inf")
        self.down = False
        self.broke, self.mended = env.event(), env.event()
        self.times = [0.0] * KINDS_OF_TIME
        self.kind, self.kind_since = STARVED, 0.0

    def spends(self, kind: int) -> None:
        """From now on its time goes into this."""
        self.times[self.kind] += self.env.now - self.kind_since
        self.kind, self.kind_since = kind, self.env.now

    def waits(self, seconds: float) -> Moment:
        return Moment(self.env, seconds, self.rank)

    def work(self, seconds: float, kind: int) -> Process:
        """So many seconds of its own, with the breakdowns in between; a set-up knows only those by the clock."""
        self.spends(kind)
        if self.by_clock:
            while True:
                if self.down:
                    self.spends(REPAIRED)
                    yield self.mended
                    self.spends(kind)
                began, done = self.env.now, self.waits(seconds)
                yield done | self.broke
                if done.processed:
                    return
                seconds -= self.env.now - began
        if self.between is not None and self.repair is not None and kind == WORKING:
            while seconds >= self.up_left:
                yield self.waits(self.up_left)
                seconds -= self.up_left
                self.spends(REPAIRED)
                yield self.waits(self.repair.next())
                self.spends(WORKING)
                self.up_left = self.between.next()
            self.up_left -= seconds
        yield self.waits(seconds)
