"""The luck of eight runs at a time: rows of times drawn ahead for each step, the repairs on the way, the strokes of clocks."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from pullwright.forecast.events.far_call import whole_numbers_at
from pullwright.forecast.luck.lanes import LANES, lanes_at, put_lanes
from pullwright.forecast.luck.shapes import CONSTANT, GAMMA, one_gamma, times_of_chances
from pullwright.forecast.luck.streams import fill_uniform_in_turn, first_words, stream_of
from pullwright.forecast.paths.accounts import day_by_day
from pullwright.forecast.paths.rings import in_ring
from pullwright.forecast.paths.rows import (
    BETWEEN,
    BLOCK,
    CLOCK_COUNTED,
    CLOCK_FROM_START,
    CLOCK_LAST,
    CLOCK_MASK,
    CLOCK_RING,
    CLOCK_STREAM,
    DAY_WIDE_A_STEP,
    DAYS,
    DRAWN,
    ELEMENTS,
    ELEMENTS_END,
    MORE_TIMES,
    NOWHERE,
    OFFSET,
    REPAIR,
    REPAIRS,
    STEP_COUNT,
    TIMES,
    UP_LEFT,
)

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Words = NDArray[np.uint64]

ROW = BLOCK * LANES
"""Floats of a row of draws."""


class Luck(NamedTuple):
    """What is drawn from: S streams as in a `Plant`, E elements of work; and of the eight runs the keys of their streams."""

    kinds: Ints  # (S,)
    numbers: Floats  # (S, 4)
    spans: Ints  # (S, 2)
    readings: Floats
    purposes: Words  # (S,)
    element_stream: Ints  # (E,)
    element_share: Floats  # (E,)
    own: Words  # (S, LANES)
    words: Words  # (S, ROW) `first_words` of them
    chances: Floats  # (ROW,) scratch
    places: Ints  # (ROW,) scratch


@njit(cache=True, nogil=True, error_model="numpy")
def begin_luck(luck: Luck, seed: np.uint64, runs: Words) -> None:
    """Of which streams these runs draw."""
    for stream in range(luck.kinds.size):
        for lane in range(LANES):
            luck.own[stream, lane] = stream_of(seed, runs[lane], luck.purposes[stream])
        first_words(luck.own[stream], luck.words[stream])


@njit(cache=True, nogil=True, error_model="numpy")
def fill_lanes(luck: Luck, stream: int, first: int, out: Floats) -> None:
    """Put draws `first`, `first` + 1, ... of a stream of eight runs in turn into a row: the same as `fill_times` gives of each."""
    kind, mean, a = luck.kinds[stream], luck.numbers[stream, 0], luck.numbers[stream, 1]
    if kind == CONSTANT:
        out[:] = mean
    elif kind == GAMMA:
        for k in range(out.size):
            out[k] = one_gamma(luck.own[stream, k % LANES], first + k // LANES, a) * (mean / a)
    else:
        b, c, begin = luck.numbers[stream, 2], luck.numbers[stream, 3], luck.spans[stream, 0]
        fill_uniform_in_turn(luck.words[stream], first, out)
        readings = luck.readings[begin : begin + luck.spans[stream, 1]]
        times_of_chances(kind, mean, a, b, c, readings, out, luck.chances, luck.places)


@njit(cache=True, nogil=True, error_model="numpy")
def draw_work(plan: Ints, f: Floats, luck: Luck, row: int, tick: int) -> None:
    """The times of the pieces that a step begins in the ticks from `tick` on, added up as in the event kernel."""
    first, times, alone, drawn = tick - plan[row + OFFSET], plan[row + TIMES], plan[row + MORE_TIMES], plan[DRAWN]
    begin = plan[row + ELEMENTS]
    if alone == NOWHERE:
        fill_lanes(luck, luck.element_stream[begin], first, f[times : times + ROW])
        for element in range(begin + 1, plan[row + ELEMENTS_END]):
            fill_lanes(luck, luck.element_stream[element], first, f[drawn : drawn + ROW])
            for k in range(ROW):
                f[times + k] += f[drawn + k]
        return
    f[times : times + ROW] = 0.0
    f[alone : alone + ROW] = 0.0
    for element in range(begin, plan[row + ELEMENTS_END]):
        share = luck.element_share[element]
        fill_lanes(luck, luck.element_stream[element], first, f[drawn : drawn + ROW])
        for k in range(ROW):
            f[times + k] += f[drawn + k] * share
        for k in range(ROW):
            f[alone + k] += f[drawn + k] * (1.0 - share)


@njit(cache=True, nogil=True, error_model="numpy")
def _one(luck: Luck, stream: int, lane: int, number: int) -> float:
    """One draw of one run."""
    row = np.empty(LANES)
    fill_lanes(luck, stream, number, row)
    return float(row[lane])


@njit(cache=True, nogil=True, error_model="numpy")
def draw_repairs(plan: Ints, f: Floats, luck: Luck, row: int, tick: int) -> None:
    """The repairs that come in the work of the pieces of these ticks: breakdowns are counted by running time."""
    up, used = plan[row + UP_LEFT], plan[row + UP_LEFT] + LANES
    for t in range(max(0, plan[row + OFFSET] - tick), BLOCK):
        for phase in range(1 if plan[row + MORE_TIMES] == NOWHERE else 2):
            seconds, repairs = plan[row + TIMES + phase] + t * LANES, plan[row + REPAIRS + phase] + t * LANES
            for lane in range(LANES):
                left, repaired = f[seconds + lane], 0.0
                while left >= f[up + lane]:
                    left -= f[up + lane]
                    number = int(f[used + lane])
                    repaired += _one(luck, plan[row + REPAIR], lane, number)
                    f[up + lane] = _one(luck, plan[row + BETWEEN], lane, number + 1)
                    f[used + lane] = number + 1.0
                f[up + lane] -= left
                f[repairs + lane] = repaired


@njit(cache=True, nogil=True, error_model="numpy")
def first_breakdown(plan: Ints, f: Floats, luck: Luck, row: int) -> None:
    """When each machine breaks down first, in running time."""
    up, used = plan[row + UP_LEFT], plan[row + UP_LEFT] + LANES
    for lane in range(LANES):
        f[up + lane] = _one(luck, plan[row + BETWEEN], lane, int(f[used + lane]))


@njit(cache=True, nogil=True, error_model="numpy")
def wind(plan: Ints, f: Floats, luck: Luck, clock: int, until: float, day: float) -> None:
    """The next BLOCK strokes of a clock."""
    ring, mask, last, drawn = plan[clock + CLOCK_RING], plan[clock + CLOCK_MASK], plan[clock + CLOCK_LAST], plan[DRAWN]
    stream, struck, base, address = (
        plan[clock + CLOCK_STREAM],
        int(f[last + 2 * LANES]),
        f.ctypes.data,
        plan.ctypes.data,
    )
    f[last + 2 * LANES] = struck + BLOCK
    if stream != NOWHERE:
        fill_lanes(luck, stream, struck, f[drawn : drawn + ROW])
    else:
        f[drawn : drawn + ROW] = f[last + LANES]
    if struck == 0 and plan[clock + CLOCK_FROM_START]:
        f[drawn : drawn + LANES] = 0.0
    moment, counted = lanes_at(base + (last << 3)), plan[DAYS] > 0 and plan[clock + CLOCK_COUNTED] == 1
    for t in range(BLOCK):
        moment = moment + lanes_at(base + ((drawn + t * LANES) << 3))
        put_lanes(in_ring(base, ring, mask, struck + t), moment)
        if counted:
            column = DAY_WIDE_A_STEP * plan[STEP_COUNT] + 2
            day_by_day(whole_numbers_at(address), base, last + 3 * LANES, column, struck + t, moment, day, until)
    put_lanes(base + (last << 3), moment)
