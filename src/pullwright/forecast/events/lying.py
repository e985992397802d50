"""What lies at a bench: is all that goes together there, and how often."""

from __future__ import annotations

from pullwright.forecast.events.compiled import kernel
from pullwright.forecast.events.handing_on import back_queue, queue_of
from pullwright.forecast.events.pulling import leg_of
from pullwright.forecast.events.rows import (
    BACK_LONG,
    FIRST,
    HEAD,
    INPUT_ALIKE,
    INPUT_ROWS,
    INPUT_WIDE,
    INPUTS,
    JOINS,
    LONG,
    LOTS,
    NEEDS,
    NONE,
    PLENTY,
    PRODUCT_WIDE,
    PRODUCTS,
    PRODUCTS_END,
    QUEUES,
    Words,
)


@kernel
def complete(w: Words, bench: int, step: int, product: int) -> int:
    """The piece that comes first of a product for which all that goes together lies there; NONE where something is missing."""
    first, needs = NONE, w[leg_of(w, step, product) + NEEDS]
    if needs == NONE:
        return NONE  # it does not come here
    for k in range(w[step + INPUTS]):
        wanted = w[needs + 2 * k]
        if wanted > 0:
            queue = queue_of(w, bench, step, k, product)
            if w[queue + LONG] < wanted:
                return NONE
            if first == NONE and not w[w[step + INPUT_ROWS] + k * INPUT_WIDE + INPUT_ALIKE]:
                first = w[queue + HEAD]
    if first == NONE and w[leg_of(w, step, product) + FIRST] > 0:
        return w[queue_of(w, bench, step, 0, product) + HEAD]
    return first


@kernel
def sets_there(w: Words, bench: int, step: int, product: int) -> int:
    """How many pieces of a product could be begun at a bench, going by what lies there; at a first step, its jobs."""
    needs, least = w[leg_of(w, step, product) + NEEDS], PLENTY
    if needs == NONE:
        return 0
    for k in range(w[step + INPUTS]):
        if w[needs + 2 * k] > 0:
            sets = w[queue_of(w, bench, step, k, product) + LONG] // w[needs + 2 * k]
            least = sets if sets < least else least
    if least == PLENTY:
        return w[queue_of(w, bench, step, 0, product) + LONG] if w[leg_of(w, step, product) + FIRST] > 0 else 0
    return least


@kernel
def lie_there(w: Words, bench: int, step: int) -> int:
    """How many pieces could be begun at a bench, going by what lies there?"""
    many = w[bench + BACK_LONG]
    if not w[step + JOINS]:
        return many + w[w[bench + QUEUES] + LONG]
    for product in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
        many += sets_there(w, bench, step, product)
        if w[step + LOTS]:
            many += w[back_queue(w, bench, step, product) + LONG]
    return many
