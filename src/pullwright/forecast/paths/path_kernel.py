"""The path kernel: eight runs of a plain line from their start to the last piece that anybody asks for."""

from __future__ import annotations

import numpy as np
from numba import njit

from pullwright.forecast.luck.lanes import LANES
from pullwright.forecast.paths.lane_draws import (
    Floats,
    Ints,
    Luck,
    Words,
    begin_luck,
    draw_repairs,
    draw_work,
    first_breakdown,
    wind,
)
from pullwright.forecast.paths.rows import (
    BEGINS,
    BEGINS_MASK,
    BETWEEN,
    BLOCK,
    CLOCK_COUNTED,
    CLOCK_LAST,
    CLOCK_WIDE,
    CLOCKS,
    CLOCKS_END,
    FINE,
    LINE_WIDE,
    NOWHERE,
    OFFSET,
    SPARE_MACHINES,
    STEP_COUNT,
    STEP_WIDE,
)
from pullwright.forecast.paths.wave import go_on


@njit(cache=True, nogil=True, error_model="numpy")
def _all_beyond(f: Floats, at: int, until: float) -> bool:
    nearest = f[at]
    for lane in range(1, LANES):
        nearest = min(nearest, f[at + lane])
    return bool(nearest >= until)


@njit(cache=True, nogil=True, error_model="numpy")
def _all_over(plan: Ints, f: Floats, tick: int, until: float) -> bool:
    """Was the last piece of each step begun at the end or beyond?"""
    for row in range(LINE_WIDE, LINE_WIDE + plan[STEP_COUNT] * STEP_WIDE, STEP_WIDE):
        x = tick - plan[row + OFFSET]
        if x < 0 or not _all_beyond(f, plan[row + BEGINS] + ((x & plan[row + BEGINS_MASK]) << 3), until):
            return False
    return True


@njit(cache=True, nogil=True, error_model="numpy")
def run_lanes(
    plan: Ints, f: Floats, luck: Luck, seed: np.uint64, runs: Words, first: int, lead: int, warm: float, until: float, day: float, promise: float,
    everything: bool,
) -> int:  # fmt: skip
    """Run eight runs.

    Parameters: `plan` and `f` as `rows` says, `f` at its start; `luck`, and `seed` and `runs`, the numbers of eight runs, that choose it; `first`, the tick in which
    the first piece is begun; `lead`, by how many strokes clocks are ahead of ticks; `warm`, `until`, `day`, `promise` (s); `everything`: whether times of
    machines, days and peaks are written down, not only what lies and samples. Result: FINE, or TOO_DEEP; the rest stands in the rows.
    """
    begin_luck(luck, seed, runs)
    steps_end = LINE_WIDE + plan[STEP_COUNT] * STEP_WIDE
    for row in range(LINE_WIDE, steps_end, STEP_WIDE):
        if plan[row + BETWEEN] != NOWHERE:
            first_breakdown(plan, f, luck, row)
    tick, struck, more, told = first, 0, -1, FINE
    while more != 0 and told == FINE:
        while struck < tick + BLOCK + lead:
            for clock in range(plan[CLOCKS], plan[CLOCKS_END], CLOCK_WIDE):
                wind(plan, f, luck, clock, until, day)
            struck += BLOCK
        for row in range(LINE_WIDE, steps_end, STEP_WIDE):
            draw_work(plan, f, luck, row, tick)
            if plan[row + BETWEEN] != NOWHERE:
                draw_repairs(plan, f, luck, row, tick)
        told = go_on(plan.ctypes.data, f.ctypes.data, tick, BLOCK, warm, until, day, promise, everything)
        tick += BLOCK
        if more > 0:
            more -= 1
        elif _all_over(plan, f, tick - 1, until):
            # What several machines hold comes out by and by, and the most pieces in the line are looked at a little later.
            behind = plan[SPARE_MACHINES] + (1 if everything else 0)
            more = (behind + BLOCK - 1) // BLOCK
    if everything:
        for clock in range(plan[CLOCKS], plan[CLOCKS_END], CLOCK_WIDE):
            while plan[clock + CLOCK_COUNTED] and not _all_beyond(f, plan[clock + CLOCK_LAST], until):
                wind(plan, f, luck, clock, until, day)
    return told
