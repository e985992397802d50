"""Handing on: from a machine through the transfer lot and the way to the next step or the finished store, if there is room."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.events.compiled import kernel, put_in
from pullwright.forecast.events.machine_time import stands_broken
from pullwright.forecast.events.moves import more, note, pull, put, set_moment, turn, wake, wake_step
from pullwright.forecast.events.pulling import bench_for, finish, leg_of, wake_all_takers, wake_taker
from pullwright.forecast.events.rows import (
    BACK,
    BENCH_STATION,
    BENCH_STEP,
    BENCH_WIDE,
    CAME,
    CAPACITY,
    CARRIED,
    CLOSED,
    COMES,
    COMING,
    DOING,
    HANDED_ON,
    HEAD,
    HERE,
    HOP_END,
    HOP_INPUT,
    HOP_SLOT,
    HOP_TIME,
    HOP_WIDE,
    HOPS,
    IDLE,
    INPUT_ALIKE,
    INPUT_ROWS,
    INPUT_WIDE,
    INPUTS,
    JOINS,
    LEG_HOP,
    LOTS,
    MACHINE_WIDE,
    NEXT,
    NEXT_INPUT,
    NEXT_STEP,
    NONE,
    NOW,
    OUT,
    OUT_LONG,
    PLACE,
    PRODUCT,
    PRODUCT_INDEX,
    PRODUCT_WIDE,
    PRODUCTS,
    PRODUCTS_END,
    QUEUE_WIDE,
    QUEUES,
    REACHED,
    READY,
    REFUSED,
    SPREADS,
    STATION_MACHINES,
    STATION_MACHINES_END,
    STEP_BENCHES,
    STEP_BENCHES_END,
    STORE,
    TRANSFER,
    VIA,
    WAITING_LONG,
    Days,
    Floats,
    Words,
)


@put_in
def queue_of(w: Words, bench: int, step: int, k: int, product: int) -> int:
    """The queue of a bench in which pieces of a product lie as input `k`."""
    if not w[step + JOINS]:
        return w[bench + QUEUES]
    products = (w[PRODUCTS_END] - w[PRODUCTS]) // PRODUCT_WIDE
    alike = w[w[step + INPUT_ROWS] + k * INPUT_WIDE + INPUT_ALIKE]
    return w[bench + QUEUES] + (k * products + (0 if alike else w[product + PRODUCT_INDEX])) * QUEUE_WIDE


@put_in
def back_queue(w: Words, bench: int, step: int, product: int) -> int:
    """The queue of pieces that have been further already: one for all, or where products have lots of their own one for each."""
    if not w[step + LOTS]:
        return bench + BACK
    products = (w[PRODUCTS_END] - w[PRODUCTS]) // PRODUCT_WIDE
    return w[bench + QUEUES] + (w[step + INPUTS] * products + w[product + PRODUCT_INDEX]) * QUEUE_WIDE


@put_in
def arrive(w: Words, f: Floats, piece: int, step: int, k: int) -> None:
    """A piece lies before a step, as its input `k`, at one of the step's benches."""
    bench = bench_for(w, f, step)
    w[piece + CAME], w[piece + VIA] = turn(w), k
    if w[piece + REACHED] >= w[step + PLACE]:
        put(w, back_queue(w, bench, step, w[piece + PRODUCT]), piece)
    else:
        put(w, queue_of(w, bench, step, k, w[piece + PRODUCT]), piece)
    more(w, f, step)
    note(w, f, COMES, piece, step)
    if w[step + LOTS]:
        wake_step(w, step)  # the place may be full now, for all its benches
    else:
        wake(w, bench)


@put_in
def _goes_to(w: Words, piece: int, step: int) -> int:
    """The row of the input that a piece will lie at after a step."""
    leg = leg_of(w, step, w[piece + PRODUCT])
    return w[w[leg + NEXT_STEP] + INPUT_ROWS] + w[leg + NEXT_INPUT] * INPUT_WIDE


@kernel
def _ready(w: Words, f: Floats, step: int) -> bool:
    """Is a machine of this step idle, in its shift, and whole?"""
    for bench in range(w[step + STEP_BENCHES], w[step + STEP_BENCHES_END], BENCH_WIDE):
        station = w[bench + BENCH_STATION]
        if w[station + CLOSED] > 0:
            continue
        for m in range(w[station + STATION_MACHINES], w[station + STATION_MACHINES_END], MACHINE_WIDE):
            if w[m + DOING] == IDLE and not stands_broken(w, f, m):
                return True
    return False


@put_in
def _one_fits(w: Words, f: Floats, step: int, place: int, product: int) -> bool:
    """Is there room for one piece before this step? Where no room is at all, it goes straight on to an idle machine, or to the customer."""
    if step == w[STORE]:
        return w[place + HERE] < w[step + CAPACITY] + w[product + WAITING_LONG]
    if w[step + CAPACITY] == 0:
        return w[place + HERE] == 0 and _ready(w, f, step)
    return w[place + HERE] < w[step + CAPACITY]


@put_in
def _send(w: Words, f: Floats, days: Days, samples: Floats, piece: int, step: int) -> None:
    leg = leg_of(w, step, w[piece + PRODUCT])
    hop, to = w[leg + LEG_HOP], w[leg + NEXT_STEP]
    if hop != NONE:
        f[piece + READY] = f[NOW] + f[hop + HOP_TIME]
        if w[hop + CARRIED + HEAD] == NONE:
            set_moment(w, f, w[hop + HOP_SLOT], f[piece + READY])
        put(w, hop + CARRIED, piece)
        if w[to + LOTS]:
            wake_step(w, to)  # its place counts what is on the way
    elif to == w[STORE]:
        finish(w, f, days, samples, piece)
    else:
        arrive(w, f, piece, to, w[leg + NEXT_INPUT])
    if w[step + SPREADS]:
        wake_all_takers(w, step)


@kernel
def _lot_fits(w: Words, bench: int, piece: int, step: int) -> bool:
    """Is there room for the transfer lot that this piece completes? A lot that never fits may lie where nothing else lies.

    Where there is, the lot counts as being there.
    """
    place = _goes_to(w, piece, step)
    w[place + COMING] += 1
    one = w[bench + OUT + HEAD]
    while one != NONE:
        w[_goes_to(w, one, step) + COMING] += 1
        one = w[one + NEXT]
    room = _many_fit(w, piece, step)
    one = w[bench + OUT + HEAD]
    while one != NONE:
        room = room and _many_fit(w, one, step)
        one = w[one + NEXT]
    if room:
        w[place + HERE] += 1
    w[place + COMING] = 0
    one = w[bench + OUT + HEAD]
    while one != NONE:
        place = _goes_to(w, one, step)
        if room:
            w[place + HERE] += 1
        w[place + COMING] = 0
        one = w[one + NEXT]
    return room


@kernel
def _many_fit(w: Words, piece: int, step: int) -> bool:
    place = _goes_to(w, piece, step)
    to = w[leg_of(w, step, w[piece + PRODUCT]) + NEXT_STEP]
    if w[place + HERE] == 0 or w[place + HERE] + w[place + COMING] <= w[to + CAPACITY]:
        return True
    w[to + REFUSED] = 1
    return False


@put_in
def hand_on(w: Words, f: Floats, days: Days, samples: Floats, bench: int, piece: int) -> bool:
    """Hand on a piece that a bench has ended; False where there is no room for it, or for the lot that it completes."""
    step = w[bench + BENCH_STEP]
    if w[step + TRANSFER] == 1:
        place = _goes_to(w, piece, step)
        to = w[leg_of(w, step, w[piece + PRODUCT]) + NEXT_STEP]
        if not _one_fits(w, f, to, place, w[piece + PRODUCT]):
            w[to + REFUSED] = 1
            return False
        w[place + HERE] += 1
        note(w, f, HANDED_ON, piece, step)
        _send(w, f, days, samples, piece, step)
        return True
    if w[bench + OUT_LONG] < w[step + TRANSFER] - 1:
        put(w, bench + OUT, piece)
        note(w, f, HANDED_ON, piece, step)
        wake_taker(w, step, w[piece + PRODUCT])
        return True
    if not _lot_fits(w, bench, piece, step):
        return False
    note(w, f, HANDED_ON, piece, step)
    while w[bench + OUT + HEAD] != NONE:
        _send(w, f, days, samples, pull(w, bench + OUT), step)
    _send(w, f, days, samples, piece, step)
    return True


@kernel
def end_of_way(w: Words, f: Floats, days: Days, samples: Floats, n: int) -> None:
    """What was carried on way `n` and is due has come."""
    hop = w[HOPS] + n * HOP_WIDE
    while w[hop + CARRIED + HEAD] != NONE and f[w[hop + CARRIED + HEAD] + READY] <= f[NOW]:
        piece = pull(w, hop + CARRIED)
        if w[hop + HOP_END] == w[STORE]:
            finish(w, f, days, samples, piece)
        else:
            arrive(w, f, piece, w[hop + HOP_END], w[hop + HOP_INPUT])
    first = w[hop + CARRIED + HEAD]
    set_moment(w, f, w[hop + HOP_SLOT], f[first + READY] if first != NONE else np.inf)
