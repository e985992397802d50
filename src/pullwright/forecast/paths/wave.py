"""The recursion of a plain line, eight runs at a time: one tick begins one more piece at each step.

With b[i, n] when piece n is begun at step i, e when it is ended, d when it leaves the machine: b[i, n] = latest of d[i - 1, n] and the way, d[i, n - m]
of m machines, and what it waits for; e = b + its time; d[i, n] = latest of e and b[i + 1, n - room]. Where there are several machines,
pieces go on in the order in which they are ended, and n counts them in that order. Every b, e and d comes of the same additions as in the event kernel.
"""

from __future__ import annotations

from typing import Any

from numba import njit

from pullwright.forecast.events.far_call import whole_numbers_at
from pullwright.forecast.luck.lanes import Lanes, alike, earlier, if_before, if_equal, lanes_at, later, put_lanes
from pullwright.forecast.paths.accounts import (
    at_begin,
    at_end,
    at_store,
    at_work,
    came_and_left,
    day_by_day,
    higher,
    lies,
    store_peak,
    whole_peak,
    write_down,
)
from pullwright.forecast.paths.rings import in_ring, waited
from pullwright.forecast.paths.rows import (
    ASKS,
    ASKS_AT,
    BEGINS,
    BEGINS_MASK,
    CAME_DAY,
    COMES_AT,
    DAY_WIDE_A_STEP,
    ENDS,
    ENDS_MASK,
    FINE,
    FINISH_MASK,
    FINISH_RING,
    FREE_AT,
    HELD,
    LEFT_DAY,
    LINE_WIDE,
    MORE_REPAIRS,
    MORE_TIMES,
    NO_END,
    NOWHERE,
    OFFSET,
    ORDER_MASK,
    ORDER_RING,
    REPAIRS,
    ROOM,
    SAMPLES,
    SPARE,
    STEP_COUNT,
    STEP_WIDE,
    STOCK,
    SUMS,
    TIMES,
    TOGETHER,
    WAYS,
)


@njit(cache=True, nogil=True, error_model="numpy")
def _worked(
    w: Any, base: int, row: int, times: int, repairs: int, t: int, begun: Lanes, from_warm: Lanes, to_end: Lanes, everything: bool
) -> Lanes:  # fmt: skip
    """When work that began at `begun` ends, with the repairs on the way."""
    seconds, repaired = lanes_at(base + ((w[row + times] + (t << 3)) << 3)), alike(0.0)
    ended = begun + seconds
    if w[row + repairs] != NOWHERE:
        repaired = lanes_at(base + ((w[row + repairs] + (t << 3)) << 3))
        ended = ended + repaired
    if everything:
        at_work(w, base, row, begun, ended, seconds, repaired, from_warm, to_end)
    return ended


@njit(cache=True, nogil=True, error_model="numpy")
def _left(w: Any, base: int, following: int, y: int, ended: Lanes) -> Lanes:
    """When a piece that was ended finds room further on."""
    room = w[following + ROOM]
    if room == NO_END:
        return ended
    ahead = y + w[following + STOCK] - (room if room > 0 else 1)
    if ahead < 0:
        return ended
    left = later(ended, lanes_at(in_ring(base, w[following + BEGINS], w[following + BEGINS_MASK], ahead)))
    if room == 0:
        left = later(left, lanes_at(base + (w[following + FREE_AT] << 3)))
    return left


@njit(cache=True, nogil=True, error_model="numpy")
def go_on(
    plan: int, base: int, first: int, ticks: int, warm: float, until: float, day: float, promise: float, everything: bool
) -> int:  # fmt: skip
    """Go on for so many ticks from tick `first`: FINE, or TOO_DEEP."""
    w = whole_numbers_at(plan)
    told, from_warm, to_end, zero, one = FINE, alike(warm), alike(until), alike(0.0), alike(1.0)
    together, store = zero, LINE_WIDE + w[STEP_COUNT] * STEP_WIDE
    for t in range(ticks):
        tick = first + t
        carried, born = zero, zero
        for row in range(LINE_WIDE, store, STEP_WIDE):
            x, y = tick - w[row + OFFSET], tick - w[row + OFFSET] - w[row + SPARE]
            if x < 0:
                continue
            is_first = row == LINE_WIDE
            came = carried
            if is_first:
                came = waited(w, base, row + COMES_AT, x)
            elif x < w[row + STOCK]:
                came, born = zero, zero
            free = lanes_at(base + (w[row + FREE_AT] << 3))
            ready = later(came, free)
            begun = ready
            if w[row + ASKS] != NOWHERE:
                begun = later(ready, waited(w, base, row + ASKS_AT, x))
            put_lanes(in_ring(base, w[row + BEGINS], w[row + BEGINS_MASK], x), begun)
            ended = _worked(w, base, row, TIMES, REPAIRS, t, begun, from_warm, to_end, everything)
            if w[row + MORE_TIMES] != NOWHERE:
                ended = _worked(w, base, row, MORE_TIMES, MORE_REPAIRS, t, ended, from_warm, to_end, everything)
            if is_first:
                born = begun
            else:
                lies(base, w[row + SUMS], came, begun, from_warm, to_end)
            if everything:
                at_begin(w, base, row, is_first, x, free, ready, begun, from_warm, to_end)
                column = (row - LINE_WIDE) // STEP_WIDE * DAY_WIDE_A_STEP
                day_by_day(w, base, w[row + SUMS] + LEFT_DAY, column + 1, x, begun, day, until)
                if not is_first:
                    day_by_day(w, base, w[row + SUMS] + CAME_DAY, column, x, came, day, until)
                    if x >= w[row + STOCK]:
                        told |= higher(
                            base, w[row + SUMS], came, x, w[row + BEGINS], w[row + BEGINS_MASK], x, warm, until
                        )
                    came_and_left(base, w[row + SUMS], came, begun, from_warm)
            held = base + (w[row + HELD] << 3)
            for _ in range(w[row + SPARE]):
                # The one that was ended first goes on; the other stays.
                other, other_born = lanes_at(held), lanes_at(held + 64)
                differ = if_equal(born, other_born, zero, one)
                together = together + if_equal(ended, other, if_before(ended, to_end, differ, zero), zero)
                put_lanes(held, later(other, ended))
                put_lanes(held + 64, if_before(ended, other, other_born, born))
                born = if_before(ended, other, born, other_born)
                ended = earlier(ended, other)
                held += 128
            if y < 0:
                continue
            if w[row + ENDS] != NOWHERE:
                put_lanes(in_ring(base, w[row + ENDS], w[row + ENDS_MASK], y), ended)
            left = _left(w, base, row + STEP_WIDE, y, ended)
            put_lanes(base + (w[row + FREE_AT] << 3), left)
            carried = left
            if w[row + WAYS] != NOWHERE:
                carried = left + lanes_at(base + (w[row + WAYS] << 3))
            if everything:
                at_end(w, base, row, ended, left, from_warm, to_end)
        k = tick - w[store + OFFSET]
        y = k - w[store + STOCK]
        if k >= 0:
            made = zero
            if y >= 0:
                made = carried
                put_lanes(in_ring(base, w[FINISH_RING], w[FINISH_MASK], y), made)
            asked = lanes_at(in_ring(base, w[ORDER_RING], w[ORDER_MASK], k))
            shipped = later(asked, made)
            put_lanes(in_ring(base, w[store + BEGINS], w[store + BEGINS_MASK], k), shipped)
            at_store(w, base, store, y, asked, made, born, shipped, warm, until, promise)
            if w[SAMPLES] > 0:
                if y >= 0:
                    write_down(w, base, 0, made - born, made, warm, until)
                write_down(w, base, 1, shipped - asked, shipped, warm, until)
            if everything:
                column = w[STEP_COUNT] * DAY_WIDE_A_STEP
                if y >= 0:
                    day_by_day(w, base, w[store + SUMS] + CAME_DAY, column, y, made, day, until)
                day_by_day(w, base, w[store + SUMS] + LEFT_DAY, column + 1, k, shipped, day, until)
                told |= store_peak(w, base, store, y, made, shipped, warm, until)
        if everything:
            told |= whole_peak(w, base, store + STEP_WIDE, tick, warm, until)
    put_lanes(base + (TOGETHER << 3), lanes_at(base + (TOGETHER << 3)) + together)
    return told
