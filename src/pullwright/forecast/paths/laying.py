"""The memory of the path kernel for one plain line: what stands where, and how it begins."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from pullwright.forecast.events.rows import PLENTY
from pullwright.forecast.luck.lanes import LANES
from pullwright.forecast.paths import rows as r
from pullwright.forecast.paths.lane_draws import ROW, Floats, Ints, Luck, Words
from pullwright.forecast.paths.plain import BEGINS, ENDS, ORDERS, SHIPS, Plain, PlainStep, Wait
from pullwright.forecast.plant import NEVER


class Laid(NamedTuple):
    """`plan`: whole numbers; `start`: the floats at the start; `first`: the tick of the first piece; `lead`: strokes that clocks are ahead of ticks."""

    plan: Ints
    start: Floats
    first: int
    lead: int


def laid(plain: Plain, *, deep: int, warm: float, first_day: float = np.inf) -> Laid:
    """Lay out a line whose rings of unlimited places keep `deep` pieces; `warm`: whether sums begin only after a warm-up; the first day ends at `first_day` (s)."""
    return _Laying(plain, deep, warm, first_day).laid()


def luck_of(plain: Plain) -> Luck:
    """What a worker draws from, with scratch of its own."""
    p, streams = plain.layout.plant, plain.layout.plant.stream_kind.size
    return Luck(
        p.stream_kind, p.stream_numbers, p.stream_readings, p.readings, p.stream_key,
        np.array([stream for step in plain.steps for stream, _ in step.elements], np.int64),
        np.array([share for step in plain.steps for _, share in step.elements]),
        np.empty((streams, LANES), np.uint64), np.empty((streams, ROW), np.uint64), np.empty(ROW), np.empty(ROW, np.int64),
    )  # fmt: skip


def aligned(floats: int) -> Floats:
    """So many zeros, the first of them where a row of lanes may begin in one piece."""
    room = np.zeros(floats + LANES)
    return room[(-room.ctypes.data // 8) % LANES :][:floats]


def runs_in(numbers: list[int]) -> Words:
    """The numbers of eight runs; where there are fewer the last lanes do the last one again."""
    return np.array([numbers[min(k, len(numbers) - 1)] for k in range(LANES)], np.uint64)


@dataclass
class _Laying:
    plain: Plain
    deep: int
    warm: float
    first_day: float
    long: int = r.FIXED_WIDE
    begin: dict[int, float] = field(default_factory=dict)

    def rows(self, many: int) -> int:
        """So many rows of lanes; where the first begins."""
        at = self.long
        self.long += many * LANES
        return at

    def fill(self, at: int, number: float) -> None:
        """Begin with this number in a row."""
        self.begin |= dict.fromkeys(range(at, at + LANES), number)

    def ring(self, kept: int) -> tuple[int, int]:
        """A ring that keeps at least so many; where it begins, and its mask."""
        size = 1 << max(1, kept).bit_length()
        return self.rows(size), size - 1

    def laid(self) -> Laid:
        plain, steps = self.plain, self.plain.steps
        offsets, many = plain.offsets, len(self.plain.steps)
        self.behind = sum(step.spare for step in steps) + 2
        self.stock = [step.stock for step in steps] + [plain.stock]
        in_line = sum(self.stock[:many])
        rooms = [PLENTY] + [step.room for step in steps[1:]] + [plain.room]
        self.begins = [self.ring(self._kept(k, rooms[k])) for k in range(many + 1)]
        ended = {
            wait.step for step in steps for wait in (step.comes, step.asks) if wait is not None and wait.what == ENDS
        }
        self.ends = {k: self.ring(self._needed(ENDS, k) + 2) for k in ended}
        self.finishes = self.ring(self.deep)
        ahead = max(0, -min(offsets))
        self.clock_kept = 2 * r.BLOCK + max(offsets) + ahead + self.deep
        self.orders = self.ring(self.clock_kept)
        ticks = {k: self.ring(self.clock_kept) for k, step in enumerate(steps) if step.tick > 0}

        plan = np.full(r.LINE_WIDE + (many + 2) * r.STEP_WIDE + (1 + len(ticks)) * r.CLOCK_WIDE, r.NOWHERE, np.int64)
        for k, step in enumerate(steps):
            self._step(plan[r.LINE_WIDE + k * r.STEP_WIDE :], k, step, ticks)
        for k in range(many + 2):
            row = plan[r.LINE_WIDE + k * r.STEP_WIDE :]
            row[r.SUMS] = self.rows(r.SUMS_WIDE // LANES)
            if k <= many:
                row[r.OFFSET], row[r.STOCK] = offsets[k], self.stock[k]
                row[r.ROOM] = r.NO_END if rooms[k] >= PLENTY else rooms[k]
                row[r.BEGINS], row[r.BEGINS_MASK] = self.begins[k]
            lying = self.stock[k] if k <= many else in_line
            self.fill(int(row[r.SUMS]) + r.CAME_DAY, self.first_day)
            self.fill(int(row[r.SUMS]) + r.LEFT_DAY, self.first_day)
            self.fill(int(row[r.SUMS]) + r.PEAK, r.UNKNOWN if self.warm > 0 else lying)
        self.fill(int(plan[r.LINE_WIDE + (many + 1) * r.STEP_WIDE + r.SUMS]) + r.CAME_BEFORE, in_line)
        clocks = r.LINE_WIDE + (many + 2) * r.STEP_WIDE
        self._clocks(plan[clocks:], ticks)
        plan[r.STEP_COUNT], plan[r.SPARE_MACHINES], plan[r.IN_LINE] = many, self.behind - 2, in_line
        plan[r.ORDER_RING], plan[r.ORDER_MASK] = self.orders
        plan[r.FINISH_RING], plan[r.FINISH_MASK] = self.finishes
        plan[r.DRAWN] = self.rows(r.BLOCK)
        plan[r.CLOCKS], plan[r.CLOCKS_END] = clocks, plan.size
        plan[[r.DAYS, r.DAYS_AT, r.SAMPLES, r.SAMPLES_AT]] = 0
        start = np.zeros(self.long)
        start[list(self.begin)] = list(self.begin.values())
        return Laid(plan, start, min(offsets), ahead)

    def _waits_on(self, what: int, k: int) -> list[tuple[int, Wait]]:
        return [
            (j, wait)
            for j, step in enumerate(self.plain.steps)
            for wait in (step.comes, step.asks)
            if wait is not None and wait.what == what and (what == SHIPS or wait.step == k)
        ]

    def _needed(self, what: int, k: int) -> int:
        """How far back is looked for what is counted, from the newest that is known."""
        offsets = self.plain.offsets
        return max(
            (offsets[j] + wait.free - self.plain.told_at(wait) + wait.per for j, wait in self._waits_on(what, k)),
            default=0,
        )

    def _kept(self, k: int, room: int) -> int:
        """Of pieces begun at a step, or units shipped: for the room before it, for what counts them, and for the most that lay there."""
        many = len(self.plain.steps)
        lying = room if room < PLENTY else self.deep if 0 < k < many else 0
        needed = self._needed(BEGINS if k < many else SHIPS, k)
        return max(lying, needed, self.behind if k == 0 else 0, self.plain.steps[k].machines if k < many else 0) + 2

    def _step(self, row: Ints, k: int, step: PlainStep, ticks: dict[int, tuple[int, int]]) -> None:
        row[r.SPARE], row[r.HELD], row[r.FREE_AT] = step.spare, self.rows(2 * step.spare), self.rows(1)
        shares = {share for _, share in step.elements}
        both = shares != {0.0} and shares != {1.0}
        row[r.TIMES] = self.rows(r.BLOCK * (2 if both else 1))
        if both:
            row[r.MORE_TIMES] = row[r.TIMES] + r.BLOCK * LANES
        if step.breaks is not None:
            row[r.BETWEEN], row[r.REPAIR] = step.breaks
            row[r.UP_LEFT] = self.rows(2)
            row[r.REPAIRS] = self.rows(r.BLOCK * (2 if both else 1))
            if both:
                row[r.MORE_REPAIRS] = row[r.REPAIRS] + r.BLOCK * LANES
        if k in self.ends:
            row[r.ENDS], row[r.ENDS_MASK] = self.ends[k]
        if step.comes is not None:
            row[r.COMES_AT : r.COMES_AT + 4] = self._wait(step.comes, ticks)
        if step.asks is not None:
            row[r.ASKS] = 1
            row[r.ASKS_AT : r.ASKS_AT + 4] = self._wait(step.asks, ticks)
            if step.spare:
                row[r.WINDOWS] = self.rows(self.begins[k][1] + 1)
        if step.way > 0:
            row[r.WAYS] = self.rows(1)
            self.fill(int(row[r.WAYS]), step.way)
        first = sum(len(one.elements) for one in self.plain.steps[:k])
        row[r.ELEMENTS], row[r.ELEMENTS_END] = first, first + len(step.elements)

    def _wait(self, wait: Wait, ticks: dict[int, tuple[int, int]]) -> tuple[int, int, int, int]:
        if wait.what == ORDERS:
            ring = self.orders
        elif wait.what == ENDS:
            ring = self.ends[wait.step]
        elif wait.what == SHIPS:
            ring = self.begins[-1]
        else:
            ring = self.begins[wait.step] if wait.what == BEGINS else ticks[wait.step]
        return *ring, wait.free, wait.per

    def _clocks(self, plan: Ints, ticks: dict[int, tuple[int, int]]) -> None:
        stream = int(self.plain.layout.plant.order_stream[0])
        rings = [(stream, np.inf, self.orders, 0, int(stream != NEVER))]
        rings += [(NEVER, self.plain.steps[k].tick, ring, 1, 0) for k, ring in ticks.items()]
        for n, (drawn, between, ring, from_start, counted) in enumerate(rings):
            row = plan[n * r.CLOCK_WIDE :]
            row[r.CLOCK_STREAM], row[r.CLOCK_FROM_START], row[r.CLOCK_COUNTED] = drawn, from_start, counted
            row[r.CLOCK_RING], row[r.CLOCK_MASK] = ring
            row[r.CLOCK_LAST] = self.rows(5)
            self.fill(int(row[r.CLOCK_LAST]) + 3 * LANES, self.first_day)
            if drawn == NEVER:
                self.fill(int(row[r.CLOCK_LAST]) + LANES, between)
