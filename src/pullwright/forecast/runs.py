"""Running a plant many times over: the same luck for the same number, on as many cores as there are."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_EXCEPTION, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from threading import Event

import numpy as np
from numpy.typing import NDArray

from pullwright.forecast.errors import TooMuch
from pullwright.forecast.events import rows as r
from pullwright.forecast.events.memory import memory_of, with_room
from pullwright.forecast.events.rows import Days, Floats, Words
from pullwright.forecast.kept_kernels import forget_stale_kernels
from pullwright.forecast.plant import Plant

Whole = NDArray[np.int64]

FIRST_ROOM, MOST_ROOM = 1 << 12, 1 << 22
"""Pieces and waiting orders that a run has room for at first, and at the most."""
_STOP_SECONDS = 0.1
_NO_TRACE = np.zeros((0, r.TRACE_WIDE), np.int64)


@dataclass(frozen=True)
class Run:
    """What one run wrote down. I steps, N stations, P products, D days; s and pieces.

    `times` (N, 9): machine-seconds working, set up, repaired, held, out of its shifts, without people, short of a part, not asked, starved. `lying` (I + 2,): mean pieces
    before each step, in the finished store, in the line as a whole; `peak` the most. `made` (I,): pieces that each step ended. `finished`,
    `ordered`, `shipped` (D, P) and `scrapped` (D, I) day by day from the start; `lying_by_day` (D, I + 2), as `lying`, at each day's end; of Q bought
    parts `used`, `received`, `deliveries` and `part_stock` (D, Q), the last at each day's end (units). `lead` and `response` (3, n): how long, when it ended,
    product. All but the days count from the warm-up on.
    """

    number: int
    times: Floats
    lying: Floats
    peak: Whole
    made: Whole
    finished: Whole
    ordered: Whole
    shipped: Whole
    scrapped: Whole
    lying_by_day: Whole
    used: Floats
    received: Floats
    deliveries: Floats
    part_stock: Floats
    lead: Floats
    response: Floats
    events: int


def runs_of(
    plant: Plant,
    *,
    numbers: Sequence[int],
    until: float,
    day: float,
    warm: float = 0.0,
    seed: int = 0,
    samples: int = 10_000,
    workers: int = 1,
    stop: Callable[[], bool] | None = None,
) -> list[Run]:
    """Run the plant once for each of these numbers of runs; in their order, whoever did them.

    Parameters: `until` and `warm`, seconds of working time; `day`, seconds of a working day; `seed` and the number choose the luck;
    `samples`, lead times and responses that are kept of each run; `workers`, threads; `stop` is asked several times a second whether to give up: then only the runs that are done come back, in order.
    Errors: ValueError for times or numbers out of bounds; `TooMuch` where a run holds more than `MOST_ROOM` pieces and waiting orders at a time.
    """
    _check(numbers, until, warm, day, seed)
    forget_stale_kernels()
    from pullwright.forecast.events.event_kernel import DONE, TOO_MANY, run_once

    start, margin = _ready(plant, until, warm, day)
    sizes = _columns(plant)
    days = math.ceil(until / day)
    under_way: dict[int, tuple[Words, Floats]] = {}
    given_up = Event()

    def one(number: int) -> Run | None:
        room = FIRST_ROOM + int(plant.step_jobs.sum() + plant.own_jobs.sum())
        while not given_up.is_set():
            w, f = under_way[number] = with_room(start, room)
            by_day = np.zeros((days, sum(sizes)))
            kept = np.zeros((2, 3, samples))
            ended = run_once(w, by_day, kept, _NO_TRACE, np.uint64(seed), np.uint64(number), margin)
            del under_way[number]
            if ended == DONE:
                return _told(plant, number, w, f, by_day, kept, until - warm)
            if ended == TOO_MANY and room >= MOST_ROOM:
                raise TooMuch(
                    f"run {number} held more than {MOST_ROOM:,} pieces and waiting orders at a time; run fewer days, or let less begin"
                )
            room *= 8
        return None

    if workers == 1 and stop is None:
        return [run for number in numbers if (run := one(number)) is not None]
    with ThreadPoolExecutor(workers) as pool:
        waiting = [pool.submit(one, number) for number in numbers]
        try:
            while stop is not None and any(not future.done() for future in waiting):
                wait(waiting, timeout=_STOP_SECONDS, return_when=FIRST_EXCEPTION)
                if stop():
                    break
            else:
                return [run for future in waiting if (run := future.result()) is not None]
        except BaseException:
            _give_up(given_up, under_way, waiting)
            raise
        _give_up(given_up, under_way, waiting)
        return [run for future in waiting if not future.cancelled() and (run := future.result()) is not None]


def _check(numbers: Sequence[int], until: float, warm: float, day: float, seed: int) -> None:
    if not (0 < until < math.inf and 0 < day < math.inf and 0 <= warm < until):
        raise ValueError(
            f"until {until:g} s, warm {warm:g} s and a day of {day:g} s were read; until and day are above 0, and warm lies before until"
        )
    if seed < 0 or any(number < 0 for number in numbers):
        raise ValueError(
            f"seed {seed} and runs from {min(numbers, default=0)} were read; a seed and the numbers of runs are 0 or more"
        )


def _ready(plant: Plant, until: float, warm: float, day: float) -> tuple[Words, int]:
    """The memory of a run at its start, and the most pieces that may come of one event."""
    from pullwright.forecast.events.filling import fill_ahead

    start, reals = memory_of(plant)
    start[r.FILL] = fill_ahead.address or 0
    reals[r.UNTIL], reals[r.WARM], reals[r.DAY] = until, warm, day
    margin = (
        abs(plant.first).sum()
        + plant.in_place.max(initial=0) * plant.step_place.size
        + plant.step_per_card.sum()
        + (plant.own_on_card * plant.own_signal).max(initial=0) * plant.step_place.size
        + 2
    )
    return start, int(margin)


def traced(
    plant: Plant, *, number: int, until: float, day: float, seed: int = 0, rows: int = 1 << 20
) -> tuple[Words, int, int]:
    """What happened to the pieces of one run, row by row, as long as there is room.

    Result: (n, 4) when (the bits of a float, s), what (COMES ...), to which piece, at which step; then in which row of memory the first step
    begins, and how many words a step has. The same luck as run `number` of `runs_of` has.
    Errors: `TooMuch` as there.
    """
    forget_stale_kernels()
    from pullwright.forecast.events.event_kernel import TOO_MANY, run_once

    start, margin = _ready(plant, until, 0.0, day)
    room = FIRST_ROOM + int(plant.step_jobs.sum() + plant.own_jobs.sum())
    trace = np.zeros((rows, r.TRACE_WIDE), np.int64)
    while True:
        w, _ = with_room(start, room)
        by_day, kept = np.zeros((0, sum(_columns(plant)))), np.zeros((2, 3, 0))
        if run_once(w, by_day, kept, trace, np.uint64(seed), np.uint64(number), margin) != TOO_MANY:
            return trace[: w[r.TRACED]], int(w[r.STEPS]), r.STEP_WIDE
        if room >= MOST_ROOM:
            raise TooMuch(
                f"run {number} held more than {MOST_ROOM:,} pieces and waiting orders at a time; run fewer days, or let less begin"
            )
        room *= 8


def _give_up(
    given_up: Event, under_way: dict[int, tuple[Words, Floats]], waiting: Sequence[Future[Run | None]]
) -> None:
    """Let runs that are under way end at their next moment, and begin no others."""
    given_up.set()
    for future in waiting:
        future.cancel()
    for w, f in list(under_way.values()):
        w[r.STOPPED], f[r.CHECK] = 1, -np.inf


def _columns(plant: Plant) -> tuple[int, ...]:
    """How many columns each daily table has, in their order."""
    products, steps, parts = plant.mix.size, plant.step_place.size, plant.part_lot.size
    return products, products, products, steps, steps + 2, parts, parts, parts, parts


def _told(plant: Plant, number: int, w: Words, f: Floats, by_day: Days, kept: Floats, span: float) -> Run:
    steps, stations = plant.step_place.size, plant.station_machine.shape[0]
    step_rows = w[r.STEPS] + np.arange(steps) * r.STEP_WIDE
    places = np.concatenate([step_rows, [w[r.STORE], r.WHOLE]])
    first_station = w[w[r.MACHINES] + r.MACHINE_STATION]
    times = f[first_station : first_station + stations * r.STATION_WIDE].reshape(stations, r.STATION_WIDE)[:, r.TIMES :]
    tables = np.split(by_day, np.cumsum(_columns(plant))[:-1], axis=1)
    finished, ordered, shipped, scrapped, lying_by_day = (table.astype(np.int64) for table in tables[:5])
    used, received, deliveries, part_stock = tables[5:]
    return Run(
        number,
        times=times.copy(),
        lying=f[places + r.AREA] / span,
        peak=w[places + r.PEAK],
        made=w[step_rows + r.MADE],
        finished=finished,
        ordered=ordered,
        shipped=shipped,
        scrapped=scrapped,
        lying_by_day=lying_by_day,
        used=used,
        received=received,
        deliveries=deliveries,
        part_stock=part_stock,
        lead=kept[0, :, : w[r.LEADS]],
        response=kept[1, :, : w[r.RESPONSES]],
        events=int(w[r.EVENTS]),
    )
