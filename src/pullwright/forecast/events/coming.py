"""What still comes to a step that makes lots of each product: does the step before bring any more of a product by its cards?"""

from __future__ import annotations

from pullwright.forecast.events.compiled import kernel
from pullwright.forecast.events.handing_on import queue_of
from pullwright.forecast.events.pulling import leg_of
from pullwright.forecast.events.rows import (
    BENCH,
    BENCH_STATION,
    BENCH_WIDE,
    CARDED,
    CARDS,
    DEBT,
    DOING,
    ENOUGH,
    FINISHED,
    FIRST_STEP,
    GATHERED,
    HEAD,
    INPUTS,
    LEAVE,
    LONG,
    LOT_LEFT,
    LOT_OF,
    LOTS,
    MACHINE_WIDE,
    NEEDS,
    NEXT,
    NEXT_INPUT,
    NEXT_STEP,
    NONE,
    ON_CARD,
    OUT,
    OWN_CARDS,
    OWN_LOT,
    OWN_PERMITS,
    PERMITS,
    PRODUCT,
    PRODUCT_INDEX,
    PRODUCT_WIDE,
    PRODUCTS,
    PRODUCTS_END,
    RELEASE,
    SET_FOR,
    SETTING,
    STATION_MACHINES,
    STATION_MACHINES_END,
    STEP_BENCHES,
    STEP_BENCHES_END,
    STORE,
    TAKEN,
    Words,
)


@kernel
def being_made(w: Words, bench: int, step: int, product: int) -> int:
    """Pieces of a product that lots under way at a bench have still to begin."""
    station, many = w[bench + BENCH_STATION], 0
    for m in range(w[station + STATION_MACHINES], w[station + STATION_MACHINES_END], MACHINE_WIDE):
        if w[m + LOT_OF] == product:
            if w[m + DOING] == SETTING:
                many += w[leg_of(w, step, product) + OWN_LOT] if w[m + BENCH] == bench else 0
            elif w[m + SET_FOR] == step:
                many += w[m + LOT_LEFT]
    return many


@kernel
def _in(w: Words, queue: int, product: int) -> int:
    """Pieces of a product in a queue."""
    many, one = 0, w[queue + HEAD] if w[queue + LONG] > 0 else NONE
    while one != NONE:
        many += 1 if w[one + PRODUCT] == product else 0
        one = w[one + NEXT]
    return many


@kernel
def _there(w: Words, step: int, product: int) -> int:
    """Pieces of a product that a step has made and that do not come any further by themselves: taken from their card, behind the step, or at its benches for the rest of
    a transfer lot."""
    leg = leg_of(w, step, product)
    to, many = w[leg + NEXT_STEP], w[w[step + TAKEN] + w[product + PRODUCT_INDEX]]
    if to == w[STORE]:
        many += w[product + FINISHED]
    elif to != NONE:
        for bench in range(w[to + STEP_BENCHES], w[to + STEP_BENCHES_END], BENCH_WIDE):
            many += _in(w, queue_of(w, bench, to, w[leg + NEXT_INPUT], product), product)
    for bench in range(w[step + STEP_BENCHES], w[step + STEP_BENCHES_END], BENCH_WIDE):
        many += _in(w, bench + OUT, product)
    return many


@kernel
def _waits_for_leave(w: Words, step: int, product: int) -> int:
    """Of a product that a step makes in lots of its own: jobs or permits that wait until there are enough for a lot."""
    leg, many, made = leg_of(w, step, product), 0, 0
    if not w[step + LOTS]:
        return 0
    for bench in range(w[step + STEP_BENCHES], w[step + STEP_BENCHES_END], BENCH_WIDE):
        here = being_made(w, bench, step, product)
        jobs = w[queue_of(w, bench, step, 0, product) + LONG]
        many += jobs if here == 0 and jobs < w[leg + ENOUGH] else 0
        made += here
    if w[step + FIRST_STEP]:
        return many
    leave = w[leg + OWN_PERMITS] if w[step + OWN_CARDS] else w[step + PERMITS]
    return leave if made == 0 and leave < w[leg + LEAVE] else 0


@kernel
def nothing_comes(w: Words, step: int, product: int) -> bool:
    """Do all the cards that bring a product to a step lie there with their pieces, or wait elsewhere for what is not begun before some of those are taken?"""
    needs = w[leg_of(w, step, product) + NEEDS]
    for k in range(w[step + INPUTS]):
        giver = w[needs + 2 * k + 1]
        if w[needs + 2 * k] == 0 or giver == NONE or w[giver + RELEASE] != CARDED:
            continue
        leg = leg_of(w, giver, product)
        coming = (w[leg + CARDS] - w[leg + GATHERED] + w[giver + DEBT]) * w[leg + ON_CARD]
        if w[giver + OWN_CARDS]:
            coming -= _there(w, giver, product) + _waits_for_leave(w, giver, product)
        else:
            waits = 0
            for other in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
                if w[leg_of(w, giver, other) + NEEDS] != NONE:
                    coming -= _there(w, giver, other)
                    leave = _waits_for_leave(w, giver, other)
                    # At a first step each product has jobs of its own; at a later one all share the permits.
                    waits = waits + leave if w[giver + FIRST_STEP] else leave if leave > waits else waits
            coming -= waits
        if coming <= 0:
            return True
    return False
