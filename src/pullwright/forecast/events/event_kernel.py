"""The event kernel: a line from one moment at which something ends to the next, as docs/forecast.md says, to the second.

One flat row of moments, a slot a machine, product, schedule, way and part, of which the earliest of each eight is kept: at the few dozen slots of a
line that is quicker than a heap. At one moment, machines come before orders, orders before schedules,
schedules before ways; and benches get what is short from the customer back to the first step.
"""

from __future__ import annotations

import numpy as np

from pullwright.forecast.events.compiled import kernel, put_in
from pullwright.forecast.events.deliveries import end_of_delivery, order_parts
from pullwright.forecast.events.far_call import floats_at, whole_numbers_at
from pullwright.forecast.events.handing_on import end_of_way
from pullwright.forecast.events.machine_time import end_idle, first_outages
from pullwright.forecast.events.moves import charge, draw, mark, set_moment
from pullwright.forecast.events.pulling import job, jobs_by_mix, leg_of, order, tick
from pullwright.forecast.events.rows import (
    ADDRESS,
    AREA,
    BENCH_WIDE,
    BENCHES,
    BENCHES_END,
    BLOCKED,
    CHECK,
    DAY,
    DAY_WIDE,
    DAYS,
    DOING,
    DUE,
    EVENTS,
    FREE_PIECE,
    FRONT,
    GROUP,
    HELD,
    HOP_WIDE,
    HOPS,
    HOPS_END,
    IDLE,
    IN_USE,
    JOBS,
    KEY,
    LEAST,
    LOOKS,
    LYING,
    MACHINE_STATION,
    MACHINE_WIDE,
    MACHINES,
    MACHINES_END,
    MOMENTS,
    NEXT,
    NOBODY,
    NONE,
    NOW,
    OWN,
    OWN_JOBS,
    PART_LOT,
    PART_STOCK,
    PART_WIDE,
    PARTS,
    PARTS_END,
    PEAK,
    PER_CARD,
    PIECE_WIDE,
    PIECES,
    PRODUCT_ORDERS,
    PRODUCT_WIDE,
    PRODUCTS,
    PRODUCTS_END,
    SAMPLES,
    SINCE,
    SIZE,
    SLOTS,
    STEP_WIDE,
    STEPS,
    STEPS_END,
    STOPPED,
    STORE,
    STREAM_WIDE,
    STREAMS,
    STREAMS_END,
    TICK,
    TICKS,
    TICKS_END,
    TODAY,
    TRACE,
    TRACE_ROOM,
    UNTIL,
    WAITS_AGAIN,
    WARM,
    WHOLE,
    Days,
    Floats,
    Words,
)
from pullwright.forecast.events.shift_ends import change_shift, first_change
from pullwright.forecast.events.work import end_of_work, look
from pullwright.forecast.luck.streams import stream_of

DONE, TOO_MANY, GIVEN_UP = range(3)
"""How a run ended: at its end; or before it, with more pieces and waiting orders than there is room for; or because it was stopped."""


@kernel
def _lay_out(w: Words, f: Floats, days: Days) -> None:
    """The first order of each product, the first tick of each schedule, the jobs of first steps that work by cards, the first outages."""
    first_outages(w, f)
    slot = w[MOMENTS] + 1 + (w[MACHINES_END] - w[MACHINES]) // MACHINE_WIDE
    for product in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
        if w[product + PRODUCT_ORDERS] != NONE:
            set_moment(w, f, slot, draw(w, f, w[product + PRODUCT_ORDERS]))
        slot += 1
    for step in range(w[STEPS], w[STEPS_END], STEP_WIDE):
        for _ in range(w[step + JOBS] // w[step + PER_CARD]):
            jobs_by_mix(w, f, step, w[step + PER_CARD])
        for product in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
            for _ in range(w[leg_of(w, step, product) + OWN_JOBS]):
                job(w, f, step, product)
    for _ in range(w[TICKS], w[TICKS_END]):
        set_moment(w, f, slot, 0.0)
        slot += 1
    for part in range(w[PARTS], w[PARTS_END], PART_WIDE):
        if f[part + PART_LOT] > 0.0:
            order_parts(w, f, days, part)
    first_change(w, f)
    for bench in range(w[BENCHES], w[BENCHES_END], BENCH_WIDE):
        mark(w, bench)


@kernel
def _forget(w: Words, f: Floats) -> None:
    """The warm-up is over: what is counted from here on begins with what lies there now."""
    for place in range(w[STEPS], w[STEPS_END], STEP_WIDE):
        f[place + AREA] = -w[place + LYING] * f[WARM]
        w[place + PEAK] = w[place + LYING]
    for place in (w[STORE], WHOLE):
        f[place + AREA] = -w[place + LYING] * f[WARM]
        w[place + PEAK] = w[place + LYING]


@kernel
def _end_of_day(w: Words, f: Floats, days: Days) -> None:
    """Write down what lies where at the end of today."""
    if w[TODAY] < w[DAYS]:
        products, steps = (w[PRODUCTS_END] - w[PRODUCTS]) // PRODUCT_WIDE, (w[STEPS_END] - w[STEPS]) // STEP_WIDE
        at = w[TODAY] * w[DAY_WIDE] + 3 * products + steps
        for step in range(w[STEPS], w[STEPS_END], STEP_WIDE):
            days[at] = w[step + LYING]
            at += 1
        days[at], days[at + 1] = w[w[STORE] + LYING], w[WHOLE + LYING]
        at += 2 + 3 * ((w[PARTS_END] - w[PARTS]) // PART_WIDE)
        for part in range(w[PARTS], w[PARTS_END], PART_WIDE):
            days[at] = f[part + PART_STOCK]
            at += 1
    w[TODAY] += 1


@kernel
def _write_down(w: Words, f: Floats, days: Days, moment: float) -> None:
    """What has to be written down before this moment: days that ended, and that the warm-up is over."""
    while f[CHECK] <= moment:
        check = f[CHECK]
        if check == f[WARM] and check > 0.0:
            _forget(w, f)
        if check == (w[TODAY] + 1) * f[DAY]:
            _end_of_day(w, f, days)
        _next_check(w, f, check)


@kernel
def _next_check(w: Words, f: Floats, after: float) -> None:
    end = (w[TODAY] + 1) * f[DAY]
    f[CHECK] = f[WARM] if after < f[WARM] < end else end


@kernel
def _close(w: Words, f: Floats, days: Days) -> None:
    """Write down what was under way at the end."""
    _write_down(w, f, days, f[UNTIL])
    _end_of_day(w, f, days)
    f[NOW] = f[UNTIL]
    for place in range(w[STEPS], w[STEPS_END], STEP_WIDE):
        f[place + AREA] += w[place + LYING] * f[UNTIL]
    for place in (w[STORE], WHOLE):
        f[place + AREA] += w[place + LYING] * f[UNTIL]
    for m in range(w[MACHINES], w[MACHINES_END], MACHINE_WIDE):
        if w[m + DOING] == IDLE:
            end_idle(w, f, m)
        elif w[m + DOING] == BLOCKED:
            charge(f, w[m + MACHINE_STATION], HELD, f[m + SINCE], f[UNTIL], 1.0)
        elif w[m + DOING] == WAITS_AGAIN:
            charge(f, w[m + MACHINE_STATION], NOBODY, f[m + SINCE], f[UNTIL], 1.0)


@kernel
def _begin(w: Words, f: Floats, days: Days, seed: np.uint64, number: np.uint64) -> None:
    """The luck of this run, and all pieces that are not in use in one chain."""
    for stream in range(w[STREAMS], w[STREAMS_END], STREAM_WIDE):
        w[stream + OWN] = np.int64(stream_of(seed, number, np.uint64(w[stream + KEY])))
    first = w[PIECES] + w[IN_USE] * PIECE_WIDE
    w[FREE_PIECE] = first
    for piece in range(first, w[SIZE] - PIECE_WIDE + 1, PIECE_WIDE):
        w[piece + NEXT] = piece + PIECE_WIDE
    w[FRONT] = w[BENCHES_END]
    _next_check(w, f, 0.0)
    _lay_out(w, f, days)


@put_in
def _next_slot(w: Words, f: Floats, first: int) -> int:
    """The slot of the earliest moment; of equal ones the first."""
    best, moment = w[LEAST], f[w[LEAST]]
    for group in range(w[LEAST] + 1, w[LEAST] + w[SLOTS] // GROUP):
        if f[group] < moment:
            best, moment = group, f[group]
    first += (best - w[LEAST]) * GROUP
    # Without a branch: which of the eight it is cannot be foretold.
    slot = first + 7
    slot = first + 6 if f[first + 6] == moment else slot
    slot = first + 5 if f[first + 5] == moment else slot
    slot = first + 4 if f[first + 4] == moment else slot
    slot = first + 3 if f[first + 3] == moment else slot
    slot = first + 2 if f[first + 2] == moment else slot
    slot = first + 1 if f[first + 1] == moment else slot
    return first if f[first] == moment else slot


@kernel
def run_once(
    words: Words, by_day: Days, kept: Floats, trace: Words, seed: np.uint64, number: np.uint64, margin: int
) -> int:
    """Run the line once.

    Parameters: `words`, the line at its start (see `rows`), with UNTIL, WARM and DAY in it, and room for pieces behind it;
    `by_day` and `kept`, with nothing in them: (D days, columns), units finished, ordered and shipped of each product, pieces scrapped at each
    step, pieces before each step, in the finished store and in the line at the day's end, units used and received, deliveries, and units in stock
    at the day's end of each part; (2, 3, n), lead times and responses, each how long (s), when it ended (s), of which product; `trace` (n, 4), rows of
    what happens to pieces, as long as there is room; `seed` and `number` of the run choose the luck;
    `margin`, the most pieces that may come of one event. Result: DONE, TOO_MANY or GIVEN_UP; the rest stands in the rows.
    """
    address = words.ctypes.data
    w, f = whole_numbers_at(address), floats_at(address)
    days, samples = floats_at(by_day.ctypes.data), floats_at(kept.ctypes.data)
    w[ADDRESS], w[SIZE] = address, words.size
    w[DAYS], w[DAY_WIDE] = by_day.shape
    w[SAMPLES] = kept.shape[2]
    w[TRACE], w[TRACE_ROOM] = trace.ctypes.data, trace.shape[0]
    room = (w[SIZE] - w[PIECES]) // PIECE_WIDE - margin
    if w[IN_USE] > room:
        return TOO_MANY
    _begin(w, f, days, seed, number)
    first = w[MOMENTS]
    orders = first + 1 + (w[MACHINES_END] - w[MACHINES]) // MACHINE_WIDE
    ticks = orders + (w[PRODUCTS_END] - w[PRODUCTS]) // PRODUCT_WIDE
    ways = ticks + w[TICKS_END] - w[TICKS]
    parts = ways + (w[HOPS_END] - w[HOPS]) // HOP_WIDE
    while True:
        while w[LOOKS] > 0:
            bench = w[FRONT]
            while not w[bench + DUE]:
                bench += BENCH_WIDE
            w[FRONT], w[bench + DUE] = bench, 0
            w[LOOKS] -= 1
            look(w, f, days, samples, bench)
        w[FRONT] = w[BENCHES_END]
        slot = _next_slot(w, f, first)
        moment = f[slot]
        if moment >= f[UNTIL]:
            break
        if f[CHECK] <= moment:
            if w[STOPPED]:
                return GIVEN_UP
            _write_down(w, f, days, moment)
        f[NOW] = moment
        w[EVENTS] += 1
        if w[IN_USE] > room:
            return TOO_MANY
        if slot == first:
            change_shift(w, f)
        elif slot < orders:
            end_of_work(w, f, days, samples, w[MACHINES] + (slot - first - 1) * MACHINE_WIDE)
        elif slot < ticks:
            product = w[PRODUCTS] + (slot - orders) * PRODUCT_WIDE
            set_moment(w, f, slot, moment + draw(w, f, w[product + PRODUCT_ORDERS]))
            order(w, f, days, samples, product)
        elif slot < ways:
            step = w[w[TICKS] + slot - ticks]
            set_moment(w, f, slot, moment + f[step + TICK])
            tick(w, f, step)
        elif slot < parts:
            end_of_way(w, f, days, samples, slot - ways)
        else:
            end_of_delivery(w, f, days, slot - parts)
    _close(w, f, days)
    return DONE
