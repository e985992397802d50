"""Running a plain line many times over by its recursion: the same runs as of the event kernel, or only what a quick question asks for."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from pullwright.forecast.events import rows
from pullwright.forecast.kept_kernels import forget_stale_kernels
from pullwright.forecast.paths import rows as r
from pullwright.forecast.paths.plain import Plain
from pullwright.forecast.runs import Run, runs_of

Told = TypeVar("Told")

FIRST_DEPTH, MOST_DEPTH = 1 << 8, 1 << 17
"""Pieces that lie in an unlimited place and are kept track of, at first and at the most."""
_KINDS = {
    rows.WORKING: r.WORKING, rows.REPAIRED: r.REPAIRED, rows.HELD: r.BLOCKED, rows.NOT_ASKED: r.NOT_ASKED, rows.STARVED: r.STARVED,
}  # fmt: skip
"""Where the time of a machine of a plain line can go."""


@dataclass(frozen=True)
class Glance:
    """What a quick question asks of R runs, all from the warm-up on.

    `made` (R,): units finished. `shipped`, `in_time` (R,): orders that got their unit, and those that waited no longer than was promised. `lying` (R,
    I + 2): mean pieces before each step, in the finished store, in the line as a whole. `lead`: lead times (s) of the first units of each run.
    """

    made: np.ndarray
    shipped: np.ndarray
    in_time: np.ndarray
    lying: np.ndarray
    lead: tuple[np.ndarray, ...]


def path_runs_of(
    plain: Plain,
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
    """Run a plain line once for each of these numbers; the same runs, in the same order, as `runs_of` gives.

    Parameters: as `runs_of` takes them. Result: equal to the last bit in lead times, responses, days, pieces made and, at stations with one
    machine, in where the time went. Not written down: `events` (0). Mean pieces lying, and the time of stations with several machines,
    and parts used are added up in another order, and agree to 1e-9 of themselves. `stop` is asked before every eight runs. Where a piece comes somewhere and another goes at the very same moment, as
    happens where nothing varies, `peak` takes the one that goes first, and may be one or a few lower. What cannot be told from piece to
    piece, two pieces ended in the same moment by two machines or more than `MOST_DEPTH` lying somewhere, is run by the event kernel.
    """

    def told(chunk: list[int], lanes: _Lanes) -> list[Run]:
        return [
            _run(plain, lanes, number, lane, until - warm) if lanes.sure(lane) else _by_events(plain, number, until, day, warm, seed, samples)
            for lane, number in enumerate(chunk)
        ]  # fmt: skip

    return _all_of(plain, numbers, until, day, warm, seed, samples, math.inf, workers, True, told, stop)


def glance(
    plain: Plain,
    *,
    numbers: Sequence[int],
    until: float,
    warm: float = 0.0,
    promise: float = math.inf,
    seed: int = 0,
    samples: int = 200,
    workers: int = 1,
) -> Glance:
    """How many units, how soon, how many in time, and how much lies around? The quickest answer there is, on the same luck as whole runs.

    Parameters: as `runs_of` takes them; `promise`, seconds within which an order is to have its unit; `samples`, lead times that are kept
    of each run.
    """

    def told(chunk: list[int], lanes: _Lanes) -> list[tuple[float, float, float, np.ndarray, np.ndarray]]:
        return [_seen(plain, lanes, lane, until - warm) for lane in range(len(chunk))]

    seen = _all_of(plain, numbers, until, until, warm, seed, samples, promise, workers, False, told, None)
    made, shipped, in_time = (np.array([one[k] for one in seen], np.int64) for k in range(3))
    return Glance(made, shipped, in_time, np.array([one[3] for one in seen]), tuple(one[4] for one in seen))


@dataclass(frozen=True)
class _Lanes:
    """Eight runs that were run: their memory, days and samples; `deep_enough`: whether all peaks are known."""

    plan: np.ndarray
    floats: np.ndarray
    by_day: np.ndarray
    kept: np.ndarray
    deep_enough: bool

    def sure(self, lane: int) -> bool:
        return self.deep_enough and self.floats[r.TOGETHER + lane] == 0.0

    def sums(self, k: int, what: int, lane: int) -> float:
        """A sum of step k, of the store or of the whole."""
        return float(self.floats[self.plan[r.LINE_WIDE + k * r.STEP_WIDE + r.SUMS] + what + lane])


def _all_of(
    plain: Plain, numbers: Sequence[int], until: float, day: float, warm: float, seed: int, samples: int, promise: float, workers: int,
    everything: bool, told: Callable[[list[int], _Lanes], list[Told]], stop: Callable[[], bool] | None,
) -> list[Told]:  # fmt: skip
    """Run the numbers in chunks of eight, shared among the workers, and tell of each."""
    forget_stale_kernels()
    from pullwright.forecast.luck.lanes import LANES
    from pullwright.forecast.paths.laying import aligned, laid, luck_of, runs_in
    from pullwright.forecast.paths.path_kernel import run_lanes

    days = math.ceil(until / day) if everything else 0
    wide = r.DAY_WIDE_A_STEP * len(plain.steps) + r.DAY_WIDE_BESIDES
    first_day = min(day, until) if everything else math.inf
    chunks = [list(numbers[k : k + LANES]) for k in range(0, len(numbers), LANES)]

    def work(mine: list[list[int]]) -> list[list[Told]]:
        luck, deep, found = luck_of(plain), FIRST_DEPTH, []
        plan, start, first, lead = laid(plain, deep=deep, warm=warm, first_day=first_day)
        floats = aligned(start.size)
        kept = np.zeros((LANES, 2, 3, samples))
        for chunk in mine:
            if stop is not None and stop():
                break
            while True:
                by_day = np.zeros((LANES, days, wide), np.int64)
                if everything:
                    kept = np.zeros((LANES, 2, 3, samples))
                floats[:] = start
                plan[r.DAYS], plan[r.DAYS_AT] = days, by_day.ctypes.data
                plan[r.SAMPLES], plan[r.SAMPLES_AT] = samples, kept.ctypes.data
                fine = run_lanes(
                    plan, floats, luck, np.uint64(seed), runs_in(chunk), first, lead, warm, until, day, promise, everything
                ) == r.FINE  # fmt: skip
                if fine or deep >= MOST_DEPTH:
                    break
                deep *= 8
                plan, start, first, lead = laid(plain, deep=deep, warm=warm, first_day=first_day)
                floats = aligned(start.size)
            found.append(told(chunk, _Lanes(plan, floats, by_day, kept, fine)))
        return found

    if workers == 1 or len(chunks) == 1:
        return [one for group in work(chunks) for one in group]
    with ThreadPoolExecutor(workers) as pool:
        parts = list(pool.map(work, [chunks[k::workers] for k in range(workers)]))
    # Where a worker was told to stop, its last chunks are missing.
    done = [(k, one) for k in range(len(chunks)) for one in parts[k % workers][k // workers : k // workers + 1]]
    return [one for _, group in done for one in group]


def _by_events(plain: Plain, number: int, until: float, day: float, warm: float, seed: int, samples: int) -> Run:
    return runs_of(
        plain.layout.plant, numbers=[number], until=until, day=day, warm=warm, seed=seed, samples=samples
    )[0]  # fmt: skip


def _run(plain: Plain, lanes: _Lanes, number: int, lane: int, span: float) -> Run:
    many, p = len(plain.steps), plain.layout.plant
    times = np.zeros((p.station_machine.shape[0], rows.KINDS_OF_TIME))
    lying, peak, made = np.zeros(many + 2), np.zeros(many + 2, np.int64), np.zeros(many, np.int64)
    order = [step.row for step in plain.steps]
    for k in range(many + 2):
        place = order[k] if k < many else k
        lying[place] = lanes.sums(k, r.AREA, lane) / span
        peak[place] = _peak(lanes, k, lane)
        if k < many:
            made[place] = lanes.sums(k, r.MADE, lane)
            for kind, told in _KINDS.items():
                times[plain.steps[k].station, kind] = lanes.sums(k, told, lane)
    kept = lanes.kept[lane]
    return Run(
        number,
        times=times,
        lying=lying,
        peak=peak,
        made=made,
        **_days(plain, lanes.by_day[lane]),
        lead=kept[0, :, : int(lanes.floats[r.LEADS + lane])],
        response=kept[1, :, : int(lanes.floats[r.RESPONSES + lane])],
        events=0,
    )


def _days(plain: Plain, counted: np.ndarray) -> dict[str, np.ndarray]:
    """What a run says day by day, from what had happened by the end of each day."""
    many, p, order = len(plain.steps), plain.layout.plant, [step.row for step in plain.steps]
    came, begun = counted[:, 0 : 2 * many : 2], counted[:, 1 : 2 * many : 2]
    finished, shipped = counted[:, 2 * many], counted[:, 2 * many + 1]
    lying = np.zeros((counted.shape[0], many + 2), np.int64)
    lying[:, order[1:]] = (came - begun)[:, 1:]
    lying[:, many] = plain.stock + finished - shipped
    lying[:, many + 1] = sum(step.stock for step in plain.steps) + begun[:, 0] - finished
    used = np.zeros((counted.shape[0], p.part_lot.size))
    for (_, step, part), units in zip(p.use, p.use_quantity, strict=True):
        used[:, part] += begun[:, order.index(step)] * units
    a_day = {
        name: np.diff(column, axis=0, prepend=np.zeros_like(column[:1]))
        for name, column in (
            ("finished", finished[:, None]), ("ordered", counted[:, -1:]), ("shipped", shipped[:, None]),
            ("used", used), ("received", np.maximum(used - p.part_stock, 0.0)),
        )
    }  # fmt: skip
    return {
        **a_day,
        "scrapped": np.zeros((counted.shape[0], many), np.int64),
        "lying_by_day": lying,
        "deliveries": np.zeros_like(used),
        "part_stock": np.maximum(p.part_stock - used, 0.0),
    }


def _peak(lanes: _Lanes, k: int, lane: int) -> int:
    peak = lanes.sums(k, r.PEAK, lane)
    if peak != r.UNKNOWN:
        return int(peak)
    # Nothing came after the warm-up: what lay there at its end.
    return int(lanes.sums(k, r.CAME_BEFORE, lane) - lanes.sums(k, r.LEFT_BEFORE, lane))


def _seen(plain: Plain, lanes: _Lanes, lane: int, span: float) -> tuple[float, float, float, np.ndarray, np.ndarray]:
    many = len(plain.steps)
    lying = np.zeros(many + 2)
    for k in range(many + 2):
        lying[plain.steps[k].row if k < many else k] = lanes.sums(k, r.AREA, lane) / span
    made, shipped, in_time = (lanes.sums(many, what, lane) for what in (r.MADE, r.SERVED, r.IN_TIME))
    return made, shipped, in_time, lying, lanes.kept[lane, 0, 0, : int(lanes.floats[r.LEADS + lane])].copy()
