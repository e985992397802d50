"""Lots of each product: which machine goes on with its lot, or begins one, of which product."""

from __future__ import annotations

from pullwright.forecast.events.coming import being_made, nothing_comes
from pullwright.forecast.events.compiled import kernel
from pullwright.forecast.events.handing_on import back_queue
from pullwright.forecast.events.lying import complete, sets_there
from pullwright.forecast.events.pulling import leg_of
from pullwright.forecast.events.rows import (
    BENCH_STATION,
    CAME,
    DOING,
    ENOUGH,
    FULL_AT,
    HEAD,
    HERE,
    IDLE,
    INPUT_ROWS,
    INPUT_WIDE,
    INPUTS,
    LEAVE,
    LONG,
    LOT_LEFT,
    LOT_OF,
    MACHINE_WIDE,
    NEEDS,
    NONE,
    OWN_PERMITS,
    PERMITS,
    PRODUCT_WIDE,
    PRODUCTS,
    PRODUCTS_END,
    SET_FOR,
    STATION_MACHINES,
    STATION_MACHINES_END,
    Words,
)


@kernel
def _first_of(w: Words, bench: int, step: int, product: int) -> int:
    """The piece of a product that came first of those that may be begun."""
    fresh, again = NONE, w[back_queue(w, bench, step, product) + HEAD]
    if w[step + PERMITS] > 0 and w[leg_of(w, step, product) + OWN_PERMITS] > 0:
        fresh = complete(w, bench, step, product)
    if again != NONE and (fresh == NONE or w[again + CAME] < w[fresh + CAME]):
        return again
    return fresh


@kernel
def _full(w: Words, step: int, product: int) -> bool:
    """Is a place before the step, from which the product takes, so full that no more is handed on to it?"""
    needs = w[leg_of(w, step, product) + NEEDS]
    if needs != NONE:
        for k in range(w[step + INPUTS]):
            if w[needs + 2 * k] > 0 and w[w[step + INPUT_ROWS] + k * INPUT_WIDE + HERE] >= w[step + FULL_AT]:
                return True
    return False


@kernel
def _enough(w: Words, bench: int, step: int, product: int) -> bool:
    """May a lot of a product be begun, with leave for the whole of it, and with all of it or as much as comes?"""
    leg = leg_of(w, step, product)
    if w[leg + NEEDS] == NONE:
        return False
    again = w[back_queue(w, bench, step, product) + LONG] - being_made(w, bench, step, product)
    leave = w[leg + OWN_PERMITS] if w[leg + OWN_PERMITS] < w[step + PERMITS] else w[step + PERMITS]
    if leave + again < w[leg + LEAVE]:
        return False
    pieces = sets_there(w, bench, step, product) + again
    if pieces >= w[leg + ENOUGH]:
        return True
    return pieces > 0 and (_full(w, step, product) or nothing_comes(w, step, product))


@kernel
def next_in_lots(w: Words, bench: int, step: int) -> tuple[int, int]:
    """The idle machine that works next at a bench, and on which piece; NONE, NONE where no lot is gone on with or begun.

    A machine goes on with the lot that it is set up for as long as a piece of it may be begun. Otherwise a lot is begun of the product whose piece
    came first of those of which there are enough beyond the lots under way; where no more of it comes, or the place
    before the step is full, one is enough.
    """
    station, machine, best = w[bench + BENCH_STATION], NONE, NONE
    for m in range(w[station + STATION_MACHINES], w[station + STATION_MACHINES_END], MACHINE_WIDE):
        if w[m + DOING] == IDLE and w[m + SET_FOR] == step and w[m + LOT_LEFT] > 0:
            piece = _first_of(w, bench, step, w[m + LOT_OF])
            if piece != NONE and (best == NONE or w[piece + CAME] < w[best + CAME]):
                machine, best = m, piece
    if best != NONE:
        return machine, best
    for m in range(w[station + STATION_MACHINES], w[station + STATION_MACHINES_END], MACHINE_WIDE):
        if w[m + DOING] == IDLE:
            if w[m + SET_FOR] != step or w[m + LOT_LEFT] <= 0:
                machine = m
                break
            if machine == NONE:
                machine = m
    for product in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
        if _enough(w, bench, step, product):
            piece = _first_of(w, bench, step, product)
            if piece != NONE and (best == NONE or w[piece + CAME] < w[best + CAME]):
                best = piece
    return (machine, best) if best != NONE else (NONE, NONE)
