"""What a run writes down of each piece: where the time of a machine went, what lay how long, days and samples."""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

from pullwright.forecast.events.far_call import floats_at, whole_numbers_at
from pullwright.forecast.luck.lanes import (
    LANES,
    Lanes,
    alike,
    earlier,
    if_before,
    lanes_at,
    later,
    put_lanes,
    some_up_to,
)
from pullwright.forecast.paths.rings import in_ring
from pullwright.forecast.paths.rows import (
    AREA,
    ASKS,
    BEGINS,
    BEGINS_MASK,
    BLOCKED,
    CAME_BEFORE,
    DAY_WIDE_A_STEP,
    DAY_WIDE_BESIDES,
    DAYS,
    DAYS_AT,
    FINE,
    FINISH_MASK,
    FINISH_RING,
    IN_LINE,
    IN_TIME,
    LEADS,
    LEFT_BEFORE,
    LINE_WIDE,
    LONG,
    MADE,
    NOT_ASKED,
    NOWHERE,
    ORDER_MASK,
    ORDER_RING,
    PEAK,
    REPAIRED,
    REPAIRS,
    RESPONSES,
    SAMPLES,
    SAMPLES_AT,
    SCRATCH,
    SERVED,
    SPARE,
    SPARE_MACHINES,
    STARVED,
    STEP_COUNT,
    STEP_WIDE,
    STOCK,
    SUMS,
    TOO_DEEP,
    UNKNOWN,
    WINDOWS,
    WORKING,
)


@njit(cache=True, nogil=True, error_model="numpy")
def within(moment: Lanes, from_warm: Lanes, to_end: Lanes) -> Lanes:
    """The moment, or the nearest one of the time that is told of."""
    return earlier(later(moment, from_warm), to_end)


@njit(cache=True, nogil=True, error_model="numpy")
def add(base: int, at: int, more: Lanes) -> None:
    """Add to a sum."""
    address = base + (at << 3)
    put_lanes(address, lanes_at(address) + more)


@njit(cache=True, nogil=True, error_model="numpy")
def count(base: int, at: int, moment: Lanes, first: Lanes, last: Lanes) -> None:
    """Count the lanes in which a moment lies from `first` to before `last`."""
    zero, one = alike(0.0), alike(1.0)
    add(base, at, if_before(moment, first, zero, if_before(moment, last, one, zero)))


@njit(cache=True, nogil=True, error_model="numpy")
def at_work(
    w: Any, base: int, row: int, begun: Lanes, ended: Lanes, seconds: Lanes, repairs: Lanes, from_warm: Lanes, to_end: Lanes
) -> None:  # fmt: skip
    """A machine worked from `begun` to `ended`, of which so many seconds on its piece, and was repaired in the others."""
    sums, zero = w[row + SUMS], alike(0.0)
    told = within(ended, from_warm, to_end) - within(begun, from_warm, to_end)
    if w[row + REPAIRS] == NOWHERE:
        add(base, sums + WORKING, told)
        return
    whole = ended - begun
    add(base, sums + WORKING, if_before(zero, repairs, told * (seconds / whole), told))
    add(base, sums + REPAIRED, if_before(zero, repairs, told * (repairs / whole), zero))


@njit(cache=True, nogil=True, error_model="numpy")
def at_begin(
    w: Any, base: int, row: int, is_first: bool, x: int, free: Lanes, ready: Lanes, begun: Lanes, from_warm: Lanes, to_end: Lanes
) -> None:  # fmt: skip
    """A machine was idle from `free` on: without a piece until `ready`, and then not asked until piece x was begun; at the first step not asked."""
    sums = w[row + SUMS]
    was_free, was_begun = within(free, from_warm, to_end), within(begun, from_warm, to_end)
    if is_first:
        add(base, sums + NOT_ASKED, was_begun - was_free)
        return
    spare = w[row + SPARE]
    if spare == 0 or w[row + ASKS] == NOWHERE:
        was_ready = within(ready, from_warm, to_end)
        add(base, sums + STARVED, was_ready - was_free)
        add(base, sums + NOT_ASKED, was_begun - was_ready)
        return
    # Several machines: what one of them was not asked is what its idle time has in common with the waits of the pieces begun meanwhile.
    begins, windows, mask = w[row + BEGINS], w[row + WINDOWS], w[row + BEGINS_MASK]
    since, zero = ready, alike(0.0)
    if x > 0:
        since = later(since, lanes_at(in_ring(base, begins, mask, x - 1)))
    put_lanes(in_ring(base, windows, mask, x), since)
    not_asked = zero
    for piece in range(max(0, x - spare), x + 1):
        until = within(lanes_at(in_ring(base, begins, mask, piece)), from_warm, to_end)
        window = within(lanes_at(in_ring(base, windows, mask, piece)), from_warm, to_end)
        not_asked = not_asked + later(until - later(window, was_free), zero)
    add(base, sums + NOT_ASKED, not_asked)
    add(base, sums + STARVED, was_begun - was_free - not_asked)


@njit(cache=True, nogil=True, error_model="numpy")
def at_end(w: Any, base: int, row: int, ended: Lanes, left: Lanes, from_warm: Lanes, to_end: Lanes) -> None:
    """A piece was ended, and left its machine when there was room further on."""
    sums = w[row + SUMS]
    add(base, sums + BLOCKED, within(left, from_warm, to_end) - within(ended, from_warm, to_end))
    count(base, sums + MADE, ended, from_warm, to_end)


@njit(cache=True, nogil=True, error_model="numpy")
def lies(base: int, sums: int, came: Lanes, left: Lanes, from_warm: Lanes, to_end: Lanes) -> None:
    """A piece lay there from `came` to `left`."""
    add(base, sums + AREA, within(left, from_warm, to_end) - within(came, from_warm, to_end))


@njit(cache=True, nogil=True, error_model="numpy")
def came_and_left(base: int, sums: int, came: Lanes, left: Lanes, from_warm: Lanes) -> None:
    """Count what came and left before the warm-up was over."""
    zero, one = alike(0.0), alike(1.0)
    add(base, sums + CAME_BEFORE, if_before(came, from_warm, one, zero))
    add(base, sums + LEFT_BEFORE, if_before(left, from_warm, one, zero))


@njit(cache=True, nogil=True, error_model="numpy")
def higher(
    base: int, sums: int, came: Lanes, before: int, ring: int, mask: int, newest: int, warm: float, until: float
) -> int:  # fmt: skip
    """A piece came, when `before` had come before it. Do more lie there than ever? Yes, if the one that many places ahead has not left.

    `ring`, `newest`: when pieces left, by number, the piece that came among them. What leaves at the very moment has left.
    """
    f = floats_at(base)
    put_lanes(base + (SCRATCH << 3), came)
    for lane in range(LANES):
        moment = f[SCRATCH + lane]
        if warm <= moment < until:
            peak = f[sums + PEAK + lane]
            if peak == UNKNOWN:
                peak = before - f[sums + LEFT_BEFORE + lane]
                f[sums + PEAK + lane] = peak
            many = int(peak)
            if many >= mask:
                return TOO_DEEP
            left = f[ring + (((newest - many) & mask) << 3) + lane]
            if many == 0 or left > moment:
                f[sums + PEAK + lane] = peak + 1.0
    return FINE


@njit(cache=True, nogil=True, error_model="numpy")
def whole_peak(w: Any, base: int, whole: int, tick: int, warm: float, until: float) -> int:
    """The most pieces in the line, looked at when it is known which were finished before the piece of an earlier tick was begun."""
    x = tick - w[SPARE_MACHINES] - 1
    if x < 0:
        return FINE
    sums = w[whole + SUMS]
    begun = lanes_at(in_ring(base, w[LINE_WIDE + BEGINS], w[LINE_WIDE + BEGINS_MASK], x))
    before = w[IN_LINE] + x
    told = higher(base, sums, begun, before, w[FINISH_RING], w[FINISH_MASK], before, warm, until)
    add(base, sums + CAME_BEFORE, if_before(begun, alike(warm), alike(1.0), alike(0.0)))
    return told


@njit(cache=True, nogil=True, error_model="numpy")
def at_store(
    w: Any, base: int, store: int, y: int, asked: Lanes, made: Lanes, born: Lanes, shipped: Lanes, warm: float, until: float, promise: float
) -> None:  # fmt: skip
    """Unit y was made and lay until an order took it; below 0 it lay there at the start."""
    sums, whole = w[store + SUMS], w[store + STEP_WIDE + SUMS]
    from_warm, to_end = alike(warm), alike(until)
    lies(base, sums, made, shipped, from_warm, to_end)
    if y >= 0:
        lies(base, whole, born, made, from_warm, to_end)
        count(base, sums + MADE, made, from_warm, to_end)
    count(base, sums + SERVED, shipped, from_warm, to_end)
    # What comes too late counts as if it came after the end.
    late = if_before(alike(promise), shipped - asked, to_end, shipped)
    count(base, sums + IN_TIME, late, from_warm, to_end)


@njit(cache=True, nogil=True, error_model="numpy")
def store_peak(w: Any, base: int, store: int, y: int, made: Lanes, shipped: Lanes, warm: float, until: float) -> int:
    """The most units in the finished store; and what came and left before the warm-up was over."""
    sums, whole, from_warm = w[store + SUMS], w[store + STEP_WIDE + SUMS], alike(warm)
    told = FINE
    if y >= 0:
        before = y + w[store + STOCK]
        told = higher(base, sums, made, before, w[ORDER_RING], w[ORDER_MASK], before, warm, until)
        add(base, whole + LEFT_BEFORE, if_before(made, from_warm, alike(1.0), alike(0.0)))
    came_and_left(base, sums, made, shipped, from_warm)
    return told


@njit(cache=True, nogil=True, error_model="numpy")
def day_by_day(w: Any, base: int, at: int, column: int, number: int, moment: Lanes, day: float, until: float) -> None:
    """Number n of a series comes at this moment: n came in the days that have ended by then. `at`: the end of the day that is under way."""
    ends = lanes_at(base + (at << 3))
    if not some_up_to(ends, moment):
        return
    f, days, many = floats_at(base), whole_numbers_at(w[DAYS_AT]), w[DAYS]
    wide = DAY_WIDE_A_STEP * w[STEP_COUNT] + DAY_WIDE_BESIDES
    put_lanes(base + (SCRATCH << 3), moment)
    for lane in range(LANES):
        while f[at + lane] <= f[SCRATCH + lane]:
            today = int(f[at + LANES + lane])
            if today >= many:
                f[at + lane] = np.inf
                break
            days[(lane * many + today) * wide + column] = number
            f[at + LANES + lane] = today + 1.0
            f[at + lane] = min((today + 2) * day, until)


@njit(cache=True, nogil=True, error_model="numpy")
def write_down(w: Any, base: int, kind: int, long: Lanes, moment: Lanes, warm: float, until: float) -> None:
    """A unit was made (kind 0) or shipped (kind 1): one more sample of how long it took."""
    f, many, counted = floats_at(base), w[SAMPLES], (RESPONSES if kind else LEADS)
    samples = floats_at(w[SAMPLES_AT])
    put_lanes(base + (SCRATCH << 3), moment)
    put_lanes(base + (LONG << 3), long)
    for lane in range(LANES):
        ended, n = f[SCRATCH + lane], int(f[counted + lane])
        if warm <= ended < until and n < many:
            place = (lane * 2 + kind) * 3 * many + n
            samples[place], samples[place + many] = f[LONG + lane], ended
            f[counted + lane] = n + 1.0
