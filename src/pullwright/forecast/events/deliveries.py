"""Bought parts: what a piece takes when it is begun, the order for the next delivery, and its coming."""

from __future__ import annotations

import math

import numpy as np

from pullwright.forecast.events.compiled import kernel, put_in
from pullwright.forecast.events.moves import draw, drop, new_piece, pull, put, set_moment, wake
from pullwright.forecast.events.rows import (
    DAY_WIDE,
    DAYS,
    HEAD,
    LONG,
    NEXT,
    NONE,
    NOW,
    ORDER_AT,
    PART_BENCHES,
    PART_BENCHES_END,
    PART_INDEX,
    PART_LEAD,
    PART_LOT,
    PART_SLOT,
    PART_STOCK,
    PART_WIDE,
    PARTS,
    PARTS_END,
    POSITION,
    PRODUCT,
    PRODUCT_WIDE,
    PRODUCTS,
    PRODUCTS_END,
    READY,
    STEP_WIDE,
    STEPS,
    STEPS_END,
    TAIL,
    TODAY,
    UNDER_WAY,
    USES,
    USES_END,
    Days,
    Floats,
    Words,
)


@kernel
def _note(w: Words, days: Days, part: int, kind: int, units: float) -> None:
    """So many units of a part more today: used (0), received (1), or deliveries (2); the columns behind those of products, steps and places."""
    if w[TODAY] < w[DAYS]:
        parts = (w[PARTS_END] - w[PARTS]) // PART_WIDE
        column = (
            3 * ((w[PRODUCTS_END] - w[PRODUCTS]) // PRODUCT_WIDE) + 2 * ((w[STEPS_END] - w[STEPS]) // STEP_WIDE) + 2
        )
        days[w[TODAY] * w[DAY_WIDE] + column + kind * parts + w[part + PART_INDEX]] += units


@put_in
def parts_there(w: Words, f: Floats, leg: int) -> bool:
    """Are all parts there that go into a piece of this leg?"""
    use = w[leg + USES]
    while use < w[leg + USES_END]:
        part = w[use]
        if f[part + PART_LOT] > 0.0 and f[part + PART_STOCK] < f[use + 1]:
            return False
        use += 2
    return True


@put_in
def take_parts(w: Words, f: Floats, days: Days, leg: int) -> None:
    """Take the parts of a piece that is begun."""
    use = w[leg + USES]
    while use < w[leg + USES_END]:
        part, units = w[use], f[use + 1]
        use += 2
        _note(w, days, part, 0, units)
        if f[part + PART_LOT] > 0.0:
            f[part + PART_STOCK] -= units
            f[part + POSITION] -= units
            order_parts(w, f, days, part)
        elif f[part + PART_STOCK] >= units:
            f[part + PART_STOCK] -= units
        else:
            _note(w, days, part, 1, units - f[part + PART_STOCK])
            f[part + PART_STOCK] = 0.0


@kernel
def order_parts(w: Words, f: Floats, days: Days, part: int) -> None:
    """Order as many lots as lift what is in stock and under way above the order point, if it has fallen to it."""
    if f[part + POSITION] > f[part + ORDER_AT]:
        return
    lots = math.floor((f[part + ORDER_AT] - f[part + POSITION]) / f[part + PART_LOT]) + 1
    f[part + POSITION] += lots * f[part + PART_LOT]
    lead = draw(w, f, w[part + PART_LEAD]) if w[part + PART_LEAD] != NONE else 0.0
    if lead <= 0.0:
        _arrive(w, f, days, part, lots)
        return
    delivery = new_piece(w, lots)
    f[delivery + READY] = f[NOW] + lead
    _put_by_time(w, f, part + UNDER_WAY, delivery)
    set_moment(w, f, w[part + PART_SLOT], f[w[part + UNDER_WAY + HEAD] + READY])


@kernel
def _put_by_time(w: Words, f: Floats, queue: int, delivery: int) -> None:
    """Into the queue of deliveries, behind those that come before it."""
    head = w[queue + HEAD]
    if head == NONE or f[w[queue + TAIL] + READY] <= f[delivery + READY]:
        put(w, queue, delivery)
        return
    w[queue + LONG] += 1
    if f[head + READY] > f[delivery + READY]:
        w[delivery + NEXT], w[queue + HEAD] = head, delivery
        return
    before = head
    while f[w[before + NEXT] + READY] <= f[delivery + READY]:
        before = w[before + NEXT]
    w[delivery + NEXT], w[before + NEXT] = w[before + NEXT], delivery


@kernel
def _arrive(w: Words, f: Floats, days: Days, part: int, lots: int) -> None:
    units = lots * f[part + PART_LOT]
    f[part + PART_STOCK] += units
    _note(w, days, part, 1, units)
    _note(w, days, part, 2, 1.0)
    for x in range(w[part + PART_BENCHES], w[part + PART_BENCHES_END]):
        wake(w, w[x])


@kernel
def end_of_delivery(w: Words, f: Floats, days: Days, n: int) -> None:
    """What was ordered of part `n` has come."""
    part = w[PARTS] + n * PART_WIDE
    delivery = pull(w, part + UNDER_WAY)
    _arrive(w, f, days, part, w[delivery + PRODUCT])
    drop(w, delivery)
    first = w[part + UNDER_WAY + HEAD]
    set_moment(w, f, w[part + PART_SLOT], f[first + READY] if first != NONE else np.inf)
