"""Work at a bench: what it begins, with whom and on which machine; and what becomes of a piece at the end of it."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.events.compiled import kernel, put_in
from pullwright.forecast.events.deliveries import parts_there, take_parts
from pullwright.forecast.events.handing_on import arrive, back_queue, hand_on, queue_of
from pullwright.forecast.events.lots import next_in_lots
from pullwright.forecast.events.lying import complete, lie_there
from pullwright.forecast.events.machine_time import be_at, end_idle, leave_idle, rest, stands_broken
from pullwright.forecast.events.moves import (
    charge,
    draw,
    drop,
    less,
    mark,
    more,
    note,
    pull,
    room_again,
    set_moment,
    wake_station,
    wake_step,
)
from pullwright.forecast.events.pulling import card_back, end_of_caps, leg_of, scrap, wake_taker
from pullwright.forecast.events.rows import (
    AGAIN,
    AGAIN_PEOPLE,
    AGAIN_SHARE,
    AGAIN_TIME,
    AGAIN_TO,
    ALONE,
    ALONE_LEFT,
    APART,
    ATTENDED,
    ATTENDED_WORK,
    BACK,
    BEGUN_UNIT,
    BENCH,
    BENCH_STATION,
    BENCH_STEP,
    BENCH_WIDE,
    BENCHES,
    BENCHES_END,
    BLOCKED,
    BORN,
    BY_CLOCK,
    BY_HAND,
    CAME,
    CAPACITY,
    CLOSED,
    COUNTED,
    CREW,
    CREW_FREE,
    CREW_PEOPLE,
    CREWS,
    CREWS_END,
    DOING,
    DOWN,
    ELEMENT_ATTENDED,
    ELEMENT_STREAM,
    ELEMENT_WIDE,
    ELEMENTS,
    ELEMENTS_END,
    ENDED,
    FACTOR,
    FASTER,
    FIRST,
    FIRST_STEP,
    FRONT,
    HEAD,
    HELD,
    HERE,
    HURRIED,
    HURRY_AT,
    IDLE,
    IDLE_MACHINES,
    INPUT_ROWS,
    INPUT_WIDE,
    INPUTS,
    JOB,
    JOINS,
    LET_GO,
    LONG,
    LOOKS,
    LOT,
    LOT_LEFT,
    LOT_OF,
    LOTS,
    LUCK,
    LYING,
    MACHINE_STATION,
    MACHINE_WIDE,
    MADE,
    MADE_LAST,
    MORE_DEFECTS,
    NEEDS,
    NOBODY,
    NONE,
    NOT_ASKED,
    NOW,
    NOWHERE,
    OFF,
    OWN_LOT,
    OWN_PERMITS,
    PAIRS,
    PAIRS_END,
    PEOPLE,
    PERMITS,
    PIECE,
    PLACE,
    PLENTY,
    PRODUCT,
    PRODUCT_WIDE,
    PRODUCTS,
    PRODUCTS_END,
    QUEUE_WIDE,
    QUEUES,
    REACHED,
    REASON,
    SCRAP,
    SET_FOR,
    SET_UP,
    SET_UP_PEOPLE,
    SETTING,
    SHORT,
    SINCE,
    SLOT,
    STARVED,
    STATION_BENCHES,
    STATION_BENCHES_END,
    STATION_MACHINES,
    STATION_MACHINES_END,
    STEP_BENCHES,
    STEP_BENCHES_END,
    TAKEN_UP,
    VIA,
    WAITS_AGAIN,
    WANTS,
    WARM,
    WHOLE,
    WHOLE_TIME,
    WHY,
    Days,
    Floats,
    Words,
)

BEGUN = -1
"""In place of the reason why nothing was begun."""


@put_in
def _crew_for(w: Words, step: int, people: int) -> int:
    """The crew with most free people of those that can do a step; NONE where so many are free in none."""
    best, most = NONE, people - 1
    for x in range(w[step + CREWS], w[step + CREWS_END]):
        if w[w[x] + CREW_FREE] > most:
            best, most = w[x], w[w[x] + CREW_FREE]
    return best


@put_in
def _take_people(w: Words, m: int, crew: int, people: int) -> None:
    w[m + CREW], w[m + CREW_PEOPLE] = crew, people
    if crew != NONE:
        w[crew + CREW_FREE] -= people


@put_in
def _let_people_go(w: Words, m: int) -> None:
    if w[m + CREW] == NONE:
        return
    w[w[m + CREW] + CREW_FREE] += w[m + CREW_PEOPLE]
    w[m + CREW] = NONE
    for bench in range(w[BENCHES], w[BENCHES_END], BENCH_WIDE):
        if w[bench + WANTS]:
            mark(w, bench)


@kernel
def _first_complete(w: Words, bench: int, step: int) -> int:
    best = NONE
    for product in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
        if w[leg_of(w, step, product) + OWN_PERMITS] <= 0:
            continue
        piece = complete(w, bench, step, product)
        if piece != NONE and (best == NONE or w[piece + CAME] < w[best + CAME]):
            best = piece
    return best


@put_in
def _waiting(w: Words, bench: int, step: int) -> int:
    """The piece that a bench works on next: the one that came first of those that may be begun; NONE where there is none at all."""
    fresh = _first_complete(w, bench, step) if w[step + JOINS] else w[w[bench + QUEUES] + HEAD]
    again = w[bench + BACK]
    if again != NONE and (fresh == NONE or w[step + PERMITS] <= 0 or w[again + CAME] < w[fresh + CAME]):
        return again
    return fresh


@put_in
def _leaves_store(w: Words, f: Floats, step: int, k: int, product: int, fresh: bool) -> None:
    """A piece no longer lies before a step: there is room, and if it comes the first time the card of its maker is free."""
    w[w[step + INPUT_ROWS] + k * INPUT_WIDE + HERE] -= 1
    less(w, f, step)
    giver = w[w[leg_of(w, step, product) + NEEDS] + 2 * k + 1]
    if fresh and giver != NONE:
        card_back(w, f, giver, product)


@put_in
def _take(w: Words, f: Floats, bench: int, step: int, piece: int) -> None:
    """Take the piece, with all that goes into it, out of the queues of a bench."""
    product = w[piece + PRODUCT]
    if w[piece + REACHED] == JOB:
        pull(w, queue_of(w, bench, step, 0, product))
        f[piece + BORN] = f[NOW]
        w[piece + REACHED] = NOWHERE
        more(w, f, WHOLE)
        note(w, f, BEGUN_UNIT, piece, step)
        return
    if w[piece + REACHED] >= w[step + PLACE]:
        pull(w, back_queue(w, bench, step, product))
        _leaves_store(w, f, step, w[piece + VIA], product, False)
    elif not w[step + JOINS]:
        pull(w, w[bench + QUEUES])
        _leaves_store(w, f, step, 0, product, True)
    else:
        needs = w[leg_of(w, step, product) + NEEDS]
        for k in range(w[step + INPUTS]):
            queue = queue_of(w, bench, step, k, product)
            for _ in range(w[needs + 2 * k]):
                one = pull(w, queue)
                _leaves_store(w, f, step, k, product, True)
                if one != piece:
                    less(w, f, WHOLE)
                    drop(w, one)
    room_again(w, step)


@kernel
def _set_up_time(w: Words, f: Floats, m: int, step: int, product: int) -> float:
    stream = w[step + SET_UP]
    for x in range(w[step + PAIRS], w[step + PAIRS_END], 3):
        if w[x] == w[m + MADE_LAST] and w[x + 1] == product:
            stream = w[x + 2]
    return draw(w, f, stream)


@put_in
def _idle_machine(w: Words, station: int, step: int) -> int:
    """An idle machine of a station that has one: one that is set up for this step before any other."""
    best, only = NONE, w[station + STATION_MACHINES]
    if only + MACHINE_WIDE == w[station + STATION_MACHINES_END]:
        return only
    for m in range(only, w[station + STATION_MACHINES_END], MACHINE_WIDE):
        if w[m + DOING] == IDLE:
            if w[m + SET_FOR] == step and w[m + LOT_LEFT] > 0:
                return m
            if best == NONE:
                best = m
    return best


@kernel
def _breaks_off(w: Words, m: int, step: int) -> None:
    """A machine turns to something else: what was left of its lot may be begun by another one, and comes no more where leave for a lot is wanted."""
    before = w[m + SET_FOR]
    if before != NONE and w[before + LOTS] and w[m + LOT_LEFT] > 0:
        wake_taker(w, before, w[m + LOT_OF])
        if before != step:
            wake_step(w, before)


@kernel
def _begin_set_up(w: Words, f: Floats, m: int, bench: int, step: int, product: int) -> int:
    """Begin to make a machine ready for the next lot; as many machines at a time as there are pieces for."""
    station, being_set = w[bench + BENCH_STATION], 0
    for other in range(w[station + STATION_MACHINES], w[station + STATION_MACHINES_END], MACHINE_WIDE):
        if w[other + DOING] == SETTING and w[other + BENCH] == bench:
            being_set += 1
    if not w[step + LOTS] and being_set >= lie_there(w, bench, step):
        return STARVED
    people = w[step + SET_UP_PEOPLE]
    crew = _crew_for(w, step, people) if people > 0 else NONE
    if people > 0 and crew == NONE:
        w[bench + WANTS] = 1
        return NOBODY
    _take_people(w, m, crew, people)
    leave_idle(w, f, m)
    _breaks_off(w, m, step)
    w[m + BENCH], w[m + LOT_OF] = bench, product
    be_at(w, f, m, SETTING, _set_up_time(w, f, m, step, product))
    return BEGUN


@put_in
def _begin_one(w: Words, f: Floats, days: Days, bench: int) -> int:
    """Begin one piece, or the set-up for it, at a bench of a station with an idle machine; BEGUN, or why not."""
    step, station = w[bench + BENCH_STEP], w[bench + BENCH_STATION]
    if w[station + CLOSED] > 0:
        return OFF
    m = NONE
    if w[step + LOTS]:
        m, piece = next_in_lots(w, bench, step)
    else:
        piece = _waiting(w, bench, step)
    if piece == NONE:
        return NOT_ASKED if w[step + FIRST_STEP] or (w[step + APART] and lie_there(w, bench, step) > 0) else STARVED
    product = w[piece + PRODUCT]
    fresh = w[piece + REACHED] < w[step + PLACE]
    if fresh and w[step + PERMITS] <= 0:
        return NOT_ASKED
    if m == NONE:
        m = _idle_machine(w, station, step)
    if w[m + COUNTED] == BY_CLOCK and stands_broken(w, f, m):
        return BEGUN
    leg = leg_of(w, step, product)
    if fresh and not parts_there(w, f, leg):
        return SHORT
    if w[step + LOT] > 0 and (
        w[m + SET_FOR] != step or w[m + LOT_LEFT] <= 0 or (w[step + LOTS] and w[m + LOT_OF] != product)
    ):
        return _begin_set_up(w, f, m, bench, step, product)
    people = w[step + PEOPLE] * w[leg + ATTENDED_WORK]
    crew = _crew_for(w, step, people) if people > 0 else NONE
    if people > 0 and crew == NONE:
        w[bench + WANTS] = 1
        return NOBODY
    if fresh:
        take_parts(w, f, days, leg)
    _take(w, f, bench, step, piece)
    note(w, f, TAKEN_UP, piece, step)
    if fresh and w[step + PERMITS] < PLENTY:
        w[step + PERMITS] -= 1
    if fresh and w[leg + OWN_PERMITS] < PLENTY:
        w[leg + OWN_PERMITS] -= 1
    hurried = w[step + HURRY_AT] < PLENTY and _pressed(w, step, leg)
    attended, alone = 0.0, 0.0
    element = w[leg + ELEMENTS]
    while element < w[leg + ELEMENTS_END]:
        time = draw(w, f, w[element + ELEMENT_STREAM]) * f[bench + FACTOR]
        if hurried and w[element + BY_HAND]:
            time *= 1.0 - f[FASTER]
        attended += time * f[element + ELEMENT_ATTENDED]
        alone += time * (1.0 - f[element + ELEMENT_ATTENDED])
        element += ELEMENT_WIDE
    leave_idle(w, f, m)
    if w[m + SET_FOR] != step:
        _breaks_off(w, m, step)
    w[m + BENCH], w[m + PIECE], w[m + HURRIED] = bench, piece, hurried
    f[m + ALONE_LEFT], f[m + WHOLE_TIME] = alone, attended + alone
    w[m + LOT_LEFT] -= 1
    if w[step + LOTS] and w[m + LOT_LEFT] == 0:
        wake_taker(w, step, product)
    w[m + MADE_LAST], w[m + SET_FOR] = product, step
    if attended > 0.0 or alone == 0.0:
        _take_people(w, m, crew, people)
        be_at(w, f, m, ATTENDED, attended)
    else:
        be_at(w, f, m, ALONE, alone)
    return BEGUN


@kernel
def _hand_on_what_waits(w: Words, f: Floats, days: Days, samples: Floats, bench: int) -> None:
    """Hand on what lies ended on the machines of a bench, the one that has lain longest first, where there is room."""
    station, since, last = w[bench + BENCH_STATION], -1.0, NONE
    while True:
        longest = NONE
        for m in range(w[station + STATION_MACHINES], w[station + STATION_MACHINES_END], MACHINE_WIDE):
            if (
                w[m + DOING] == BLOCKED
                and w[m + BENCH] == bench
                and (f[m + SINCE] > since or (f[m + SINCE] == since and m > last))
                and (longest == NONE or f[m + SINCE] < f[longest + SINCE])
            ):
                longest = m
        if longest == NONE:
            return
        since, last = f[longest + SINCE], longest
        if hand_on(w, f, days, samples, bench, w[longest + PIECE]):
            w[bench + ENDED] -= 1
            charge(f, station, HELD, f[longest + SINCE], f[NOW], 1.0)
            rest(w, f, longest, STARVED)
            wake_station(w, station)


@kernel
def _pressed(w: Words, step: int, leg: int) -> bool:
    """Does so much lie before a step that people hurry? At a first step it is the orders that wait there."""
    if w[leg + FIRST] <= 0:
        return bool(w[step + LYING] >= w[step + HURRY_AT])
    waiting = 0
    products = (w[PRODUCTS_END] - w[PRODUCTS]) // PRODUCT_WIDE if w[step + APART] else 1
    for bench in range(w[step + STEP_BENCHES], w[step + STEP_BENCHES_END], BENCH_WIDE):
        for k in range(products):
            waiting += w[w[bench + QUEUES] + k * QUEUE_WIDE + LONG]
    return waiting >= w[step + HURRY_AT]


@kernel
def _put_right(w: Words, f: Floats, bench: int) -> None:
    """Begin to put right on the spot what waits for people on the machines of a bench."""
    step, station = w[bench + BENCH_STEP], w[bench + BENCH_STATION]
    people = w[step + AGAIN_PEOPLE]
    for m in range(w[station + STATION_MACHINES], w[station + STATION_MACHINES_END], MACHINE_WIDE):
        if w[m + DOING] == WAITS_AGAIN and w[m + BENCH] == bench:
            crew = _crew_for(w, step, people) if people > 0 else NONE
            if people > 0 and crew == NONE:
                w[bench + WANTS] = 1
                return
            _take_people(w, m, crew, people)
            charge(f, station, NOBODY, f[m + SINCE], f[NOW], 1.0)
            time = f[m + WHOLE_TIME]
            if w[step + AGAIN_TIME] != NONE:
                time = draw(w, f, w[step + AGAIN_TIME]) * f[bench + FACTOR]
            be_at(w, f, m, AGAIN, time)


@put_in
def look(w: Words, f: Floats, days: Days, samples: Floats, bench: int) -> None:
    """Do at a bench all that can be done now: hand on, put right, begin; and note why nothing more is begun."""
    step, station = w[bench + BENCH_STEP], w[bench + BENCH_STATION]
    w[bench + WANTS] = 0
    if w[bench + ENDED] > 0:
        _hand_on_what_waits(w, f, days, samples, bench)
    if w[FRONT] < bench:
        # What was handed on may be begun further down: that comes before anything here, if people are short.
        mark(w, bench)
        return
    if f[step + AGAIN_SHARE] > 0.0:
        _put_right(w, f, bench)
    why = BEGUN
    while why == BEGUN:
        why = _begin_one(w, f, days, bench) if w[station + IDLE_MACHINES] > 0 else HELD
    w[bench + REASON] = why
    if why == HELD:
        return  # no machine is idle
    if why == STARVED and w[step + CAPACITY] == 0:
        room_again(w, step)  # what has no room before it comes straight on to the idle machine
    for x in range(w[station + STATION_BENCHES], w[station + STATION_BENCHES_END]):
        other = w[w[x] + REASON]
        if other != HELD and other < why:
            why = other
    m = w[station + STATION_MACHINES]
    while m < w[station + STATION_MACHINES_END]:
        if w[m + DOING] == IDLE and w[m + WHY] != why:
            end_idle(w, f, m)
            w[m + WHY] = why
        m += MACHINE_WIDE


@put_in
def _has_ended(w: Words, piece: int, step: int) -> None:
    """Whatever becomes of it now: the first time that a piece has ended a step it leaves the caps that end there."""
    if w[step + PLACE] > w[piece + REACHED]:
        w[piece + REACHED] = w[step + PLACE]
        end_of_caps(w, step)


@kernel
def _goes_back(w: Words, f: Floats, piece: int, step: int) -> None:
    """A piece goes back to an earlier step, whether there is room or not."""
    _has_ended(w, piece, step)
    to = w[step + AGAIN_TO]
    w[w[to + INPUT_ROWS] + HERE] += 1
    arrive(w, f, piece, to, 0)


@put_in
def end_of_work(w: Words, f: Floats, days: Days, samples: Floats, m: int) -> None:
    """What machine `m` was at has ended."""
    bench, doing, station = w[m + BENCH], w[m + DOING], w[m + MACHINE_STATION]
    if doing == DOWN:
        rest(w, f, m, STARVED)
        wake_station(w, station)
        return
    step = w[bench + BENCH_STEP]
    if doing != ALONE:
        _let_people_go(w, m)
    if doing == SETTING:
        w[m + SET_FOR], w[m + LOT_LEFT] = step, w[leg_of(w, step, w[m + LOT_OF]) + OWN_LOT]
        rest(w, f, m, STARVED)
        wake_station(w, station)
        return
    if doing == ATTENDED and f[m + ALONE_LEFT] > 0.0:
        be_at(w, f, m, ALONE, f[m + ALONE_LEFT])
        return
    piece = w[m + PIECE]
    note(w, f, LET_GO, piece, step)
    if doing != AGAIN and w[step + LUCK] != NONE:
        luck = draw(w, f, w[step + LUCK])
        scrapped = f[step + SCRAP]
        bad = scrapped + f[step + AGAIN_SHARE]
        if w[m + HURRIED]:
            scrapped *= f[MORE_DEFECTS]
            bad *= f[MORE_DEFECTS]
        if luck < bad:
            again = luck >= scrapped
            if again and w[step + AGAIN_TO] == NONE:
                w[m + DOING], f[m + SINCE] = WAITS_AGAIN, f[NOW]
                set_moment(w, f, w[m + SLOT], np.inf)
                mark(w, bench)
                return
            if again:
                _goes_back(w, f, piece, step)
            else:
                scrap(w, f, days, piece, step)
            rest(w, f, m, STARVED)
            wake_station(w, station)
            return
    _has_ended(w, piece, step)
    if f[NOW] >= f[WARM]:
        w[step + MADE] += 1
    if w[LOOKS] == 0 and w[bench + ENDED] == 0 and hand_on(w, f, days, samples, bench, piece):
        # Nothing comes before it: what a look at the bench would do first.
        rest(w, f, m, STARVED)
        wake_station(w, station)
        return
    w[bench + ENDED] += 1
    w[m + DOING], f[m + SINCE] = BLOCKED, f[NOW]
    set_moment(w, f, w[m + SLOT], np.inf)
    mark(w, bench)
