"""Running a plant many times over: the same luck for the same number, on as many cores as there are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.forecast.errors import TooMuch
from pullwright.forecast.events import rows as r
from pullwright.forecast.events.memory import memory_of, with_room
from pullwright.forecast.events.rows import Days, Floats, Words
from pullwright.forecast.kept_kernels import forget_stale_kernels
from pullwright.forecast.plant import Plant

FIRST_ROOM, MOST_ROOM = 1 << 12, 1 << 22
"""Pieces and waiting orders that a run has room for at first, and at the most."""


@dataclass(frozen=True)
class Run:
    """What one run wrote down. I steps, N stations, P products, D days; s and pieces.

    `times` (N, 7): machine-seconds working, set up, repaired, held, without people, not asked, starved. `lying` (I + 2,): mean pieces
    before each step, in the finished store, in the line as a whole; `peak` the most. `made` (I,): pieces that each step ended. `finished`,
    `ordered`, `shipped` (D, P) and `scrapped` (D, I) day by day from the start. `lead` and `response` (3, n): how long, when it ended,
    product. All but the days count from the warm-up on.
    """

    number: int
    times: Floats
    lying: Floats
    peak: NDArray[np.int64]
    made: NDArray[np.int64]
    finished: Days
    ordered: Days
    shipped: Days
    scrapped: Days
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
) -> list[Run]:
    """Run the plant once for each of these numbers of runs; in their order, whoever did them.

    Parameters: `until` and `warm`, seconds of working time; `day`, seconds of a working day; `seed` and the number choose the luck;
    `samples`, lead times and responses that are kept of each run; `workers`, threads.
    Errors: `TooMuch` where a run holds more than `MOST_ROOM` pieces and waiting orders at a time.
    """
    forget_stale_kernels()
    from pullwright.forecast.events.event_kernel import DONE, run_once
    from pullwright.forecast.events.filling import fill_ahead

    start, reals = memory_of(plant)
    start[r.FILL] = fill_ahead.address or 0
    reals[r.UNTIL], reals[r.WARM], reals[r.DAY] = until, warm, day
    margin = (
        int(plant.first.sum() + plant.in_place.max(initial=0) * plant.step_place.size + plant.step_per_card.sum()) + 2
    )
    products, steps = plant.mix.size, plant.step_place.size
    days = math.ceil(until / day)

    def one(number: int) -> Run:
        room = FIRST_ROOM + int(plant.step_jobs.sum())
        while True:
            w, f = with_room(start, room)
            by_day = np.zeros((days, 3 * products + steps), np.int64)
            kept = np.zeros((2, 3, samples))
            if run_once(w, by_day, kept, np.uint64(seed), np.uint64(number), margin) == DONE:
                return _told(plant, number, w, f, by_day, kept, until - warm)
            if room >= MOST_ROOM:
                raise TooMuch(
                    f"run {number} held more than {MOST_ROOM:,} pieces and waiting orders at a time; run fewer days, or let less begin"
                )
            room *= 8

    if workers == 1:
        return [one(number) for number in numbers]
    with ThreadPoolExecutor(workers) as pool:
        return list(pool.map(one, numbers))


def _told(plant: Plant, number: int, w: Words, f: Floats, by_day: Days, kept: Floats, span: float) -> Run:
    products, steps, stations = plant.mix.size, plant.step_place.size, plant.station_machine.shape[0]
    step_rows = w[r.STEPS] + np.arange(steps) * r.STEP_WIDE
    places = np.concatenate([step_rows, [w[r.STORE], r.WHOLE]])
    first_station = w[w[r.MACHINES] + r.MACHINE_STATION]
    times = f[first_station : first_station + stations * r.STATION_WIDE].reshape(stations, r.STATION_WIDE)[:, r.TIMES :]
    return Run(
        number,
        times=times.copy(),
        lying=f[places + r.AREA] / span,
        peak=w[places + r.PEAK],
        made=w[step_rows + r.MADE],
        finished=by_day[:, :products],
        ordered=by_day[:, products : 2 * products],
        shipped=by_day[:, 2 * products : 3 * products],
        scrapped=by_day[:, 3 * products :],
        lead=kept[0, :, : w[r.LEADS]],
        response=kept[1, :, : w[r.RESPONSES]],
        events=int(w[r.EVENTS]),
    )
