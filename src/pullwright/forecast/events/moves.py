"""The smallest moves of a running line: a draw, a piece into a queue or out of it, a stretch of time written down."""

from __future__ import annotations

from pullwright.forecast.events.compiled import kernel, put_in
from pullwright.forecast.events.far_call import call_at, floats_at, whole_numbers_at
from pullwright.forecast.events.rows import (
    ADDRESS,
    AHEAD,
    AREA,
    BENCH_STATION,
    BENCH_WIDE,
    BLOCK,
    DUE,
    FEEDERS,
    FEEDERS_END,
    FILL,
    FREE_PIECE,
    FRONT,
    GROUP,
    HEAD,
    IDLE_MACHINES,
    IN_USE,
    LEAST,
    LONG,
    LOOKS,
    LYING,
    MOMENTS,
    NEXT,
    NONE,
    NOW,
    PEAK,
    PRODUCT,
    REFUSED,
    STATION_BENCHES,
    STATION_BENCHES_END,
    STEP_BENCHES,
    STEP_BENCHES_END,
    TAIL,
    TIMES,
    TRACE,
    TRACE_ROOM,
    TRACE_WIDE,
    TRACED,
    TURN,
    UNTIL,
    USED,
    WARM,
    Floats,
    Words,
)


@put_in
def draw(w: Words, f: Floats, stream: int) -> float:
    """The next number of a stream."""
    if w[stream + USED] == BLOCK:
        call_at(w[FILL], w[ADDRESS], stream)
    used = w[stream + USED]
    w[stream + USED] = used + 1
    return f[stream + AHEAD + used]


@put_in
def set_moment(w: Words, f: Floats, slot: int, moment: float) -> None:
    """Say when what a slot stands for ends; and which is the earliest of its group now."""
    f[slot] = moment
    group = (slot - w[MOMENTS]) // GROUP
    first = w[MOMENTS] + group * GROUP
    a = f[first] if f[first] < f[first + 1] else f[first + 1]
    b = f[first + 2] if f[first + 2] < f[first + 3] else f[first + 3]
    c = f[first + 4] if f[first + 4] < f[first + 5] else f[first + 5]
    d = f[first + 6] if f[first + 6] < f[first + 7] else f[first + 7]
    a = a if a < b else b
    c = c if c < d else d
    f[w[LEAST] + group] = a if a < c else c


@put_in
def note(w: Words, f: Floats, what: int, piece: int, step: int) -> None:
    """Write down what happens to a piece, if somebody wants to know."""
    if w[TRACED] < w[TRACE_ROOM]:
        _write(w, f, what, piece, step)


@kernel
def _write(w: Words, f: Floats, what: int, piece: int, step: int) -> None:
    at = w[TRACE] + 8 * TRACE_WIDE * w[TRACED]
    words, floats = whole_numbers_at(at), floats_at(at)
    floats[0] = f[NOW]
    words[1], words[2], words[3] = what, piece, step
    w[TRACED] += 1


@put_in
def mark(w: Words, bench: int) -> None:
    """Say that a bench is worth a look: something that it may have waited for has come."""
    w[LOOKS] += 1 - w[bench + DUE]
    w[bench + DUE] = 1
    if bench < w[FRONT]:
        w[FRONT] = bench


@put_in
def wake(w: Words, bench: int) -> None:
    """Say that there is something to begin at a bench: worth a look where a machine is idle."""
    if w[w[bench + BENCH_STATION] + IDLE_MACHINES] > 0:
        mark(w, bench)


@kernel
def wake_step(w: Words, step: int) -> None:
    """Say it of all benches of a step."""
    for bench in range(w[step + STEP_BENCHES], w[step + STEP_BENCHES_END], BENCH_WIDE):
        wake(w, bench)


@put_in
def wake_station(w: Words, station: int) -> None:
    """A machine of this station is idle: all its benches are worth a look."""
    for x in range(w[station + STATION_BENCHES], w[station + STATION_BENCHES_END]):
        mark(w, w[x])


@put_in
def room_again(w: Words, step: int) -> None:
    """There is room again before a step, or in the finished store: the benches that found none are worth a look."""
    if w[step + REFUSED]:
        w[step + REFUSED] = 0
        for x in range(w[step + FEEDERS], w[step + FEEDERS_END]):
            for bench in range(w[w[x] + STEP_BENCHES], w[w[x] + STEP_BENCHES_END], BENCH_WIDE):
                mark(w, bench)


@put_in
def new_piece(w: Words, product: int) -> int:
    """A piece (or job, or waiting order) out of the pool."""
    piece = w[FREE_PIECE]
    w[FREE_PIECE] = w[piece + NEXT]
    w[IN_USE] += 1
    w[piece + PRODUCT] = product
    return piece


@put_in
def drop(w: Words, piece: int) -> None:
    """Back into the pool."""
    w[piece + NEXT] = w[FREE_PIECE]
    w[FREE_PIECE] = piece
    w[IN_USE] -= 1


@put_in
def put(w: Words, queue: int, piece: int) -> None:
    """At the end of a queue."""
    w[piece + NEXT] = NONE
    if w[queue + HEAD] == NONE:
        w[queue + HEAD] = piece
    else:
        w[w[queue + TAIL] + NEXT] = piece
    w[queue + TAIL] = piece
    w[queue + LONG] += 1


@put_in
def pull(w: Words, queue: int) -> int:
    """The first of a queue, out of it."""
    piece = w[queue + HEAD]
    w[queue + HEAD] = w[piece + NEXT]
    w[queue + LONG] -= 1
    return piece


@put_in
def turn(w: Words) -> int:
    """The next turn."""
    w[TURN] += 1
    return w[TURN]


@put_in
def more(w: Words, f: Floats, place: int) -> None:
    """One piece more lies at a place."""
    w[place + LYING] += 1
    f[place + AREA] -= f[NOW]
    if w[place + LYING] > w[place + PEAK]:
        w[place + PEAK] = w[place + LYING]


@put_in
def less(w: Words, f: Floats, place: int) -> None:
    """One piece less lies at a place."""
    w[place + LYING] -= 1
    f[place + AREA] += f[NOW]


@put_in
def charge(f: Floats, station: int, kind: int, begin: float, end: float, share: float) -> None:
    """Write down that a machine of a station spent this share of a stretch so, as far as it is told of."""
    begin = begin if begin > f[WARM] else f[WARM]
    end = end if end < f[UNTIL] else f[UNTIL]
    if end > begin:
        f[station + TIMES + kind] += (end - begin) * share
