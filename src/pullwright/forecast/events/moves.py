"""The smallest moves of a running line: a draw, a piece into a queue or out of it, a stretch of time written down."""

from __future__ import annotations

from numba import njit

from pullwright.forecast.events.far_call import call_at
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
    HEAD,
    IDLE_MACHINES,
    IN_USE,
    LONG,
    LYING,
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
    TURN,
    UNTIL,
    USED,
    WARM,
    Floats,
    Words,
)


@njit(cache=True, nogil=True, error_model="numpy")
def draw(w: Words, f: Floats, stream: int) -> float:
    """The next number of a stream."""
    if w[stream + USED] == BLOCK:
        call_at(w[FILL], w[ADDRESS], stream)
    used = w[stream + USED]
    w[stream + USED] = used + 1
    return f[stream + AHEAD + used]


@njit(cache=True, nogil=True, error_model="numpy")
def mark(w: Words, bench: int) -> None:
    """Say that a bench is worth a look: something that it may have waited for has come."""
    w[bench + DUE] = 1
    if bench < w[FRONT]:
        w[FRONT] = bench


@njit(cache=True, nogil=True, error_model="numpy")
def wake(w: Words, bench: int) -> None:
    """Say that there is something to begin at a bench: worth a look where a machine is idle."""
    if w[w[bench + BENCH_STATION] + IDLE_MACHINES] > 0:
        mark(w, bench)


@njit(cache=True, nogil=True, error_model="numpy")
def wake_step(w: Words, step: int) -> None:
    """Say it of all benches of a step."""
    for bench in range(w[step + STEP_BENCHES], w[step + STEP_BENCHES_END], BENCH_WIDE):
        wake(w, bench)


@njit(cache=True, nogil=True, error_model="numpy")
def wake_station(w: Words, station: int) -> None:
    """A machine of this station is idle: all its benches are worth a look."""
    for x in range(w[station + STATION_BENCHES], w[station + STATION_BENCHES_END]):
        mark(w, w[x])


@njit(cache=True, nogil=True, error_model="numpy")
def room_again(w: Words, step: int) -> None:
    """There is room again before a step, or in the finished store: the benches that found none are worth a look."""
    if w[step + REFUSED]:
        w[step + REFUSED] = 0
        for x in range(w[step + FEEDERS], w[step + FEEDERS_END]):
            for bench in range(w[w[x] + STEP_BENCHES], w[w[x] + STEP_BENCHES_END], BENCH_WIDE):
                mark(w, bench)


@njit(cache=True, nogil=True, error_model="numpy")
def new_piece(w: Words, product: int) -> int:
    """A piece (or job, or waiting order) out of the pool."""
    piece = w[FREE_PIECE]
    w[FREE_PIECE] = w[piece + NEXT]
    w[IN_USE] += 1
    w[piece + PRODUCT] = product
    return piece


@njit(cache=True, nogil=True, error_model="numpy")
def drop(w: Words, piece: int) -> None:
    """Back into the pool."""
    w[piece + NEXT] = w[FREE_PIECE]
    w[FREE_PIECE] = piece
    w[IN_USE] -= 1


@njit(cache=True, nogil=True, error_model="numpy")
def put(w: Words, queue: int, piece: int) -> None:
    """At the end of a queue."""
    w[piece + NEXT] = NONE
    if w[queue + HEAD] == NONE:
        w[queue + HEAD] = piece
    else:
        w[w[queue + TAIL] + NEXT] = piece
    w[queue + TAIL] = piece
    w[queue + LONG] += 1


@njit(cache=True, nogil=True, error_model="numpy")
def pull(w: Words, queue: int) -> int:
    """The first of a queue, out of it."""
    piece = w[queue + HEAD]
    w[queue + HEAD] = w[piece + NEXT]
    w[queue + LONG] -= 1
    return piece


@njit(cache=True, nogil=True, error_model="numpy")
def turn(w: Words) -> int:
    """The next turn."""
    w[TURN] += 1
    return w[TURN]


@njit(cache=True, nogil=True, error_model="numpy")
def more(w: Words, f: Floats, place: int) -> None:
    """One piece more lies at a place."""
    w[place + LYING] += 1
    f[place + AREA] -= f[NOW]
    if w[place + LYING] > w[place + PEAK]:
        w[place + PEAK] = w[place + LYING]


@njit(cache=True, nogil=True, error_model="numpy")
def less(w: Words, f: Floats, place: int) -> None:
    """One piece less lies at a place."""
    w[place + LYING] -= 1
    f[place + AREA] += f[NOW]


@njit(cache=True, nogil=True, error_model="numpy")
def charge(f: Floats, station: int, kind: int, begin: float, end: float, share: float) -> None:
    """Write down that a machine of a station spent this share of a stretch so, as far as it is told of."""
    begin = begin if begin > f[WARM] else f[WARM]
    end = end if end < f[UNTIL] else f[UNTIL]
    if end > begin:
        f[station + TIMES + kind] += (end - begin) * share
