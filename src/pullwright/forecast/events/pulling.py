"""What customers pull, and what that lets begin: orders, jobs at the first steps, cards that come back, caps, schedules."""

from __future__ import annotations

from pullwright.forecast.events.compiled import kernel, put_in
from pullwright.forecast.events.moves import (
    draw,
    drop,
    less,
    more,
    new_piece,
    note,
    pull,
    put,
    room_again,
    turn,
    wake_step,
)
from pullwright.forecast.events.rows import (
    ANY,
    BENCH_WIDE,
    BORN,
    CAME,
    CAPS_ENDED,
    CAPS_ENDED_END,
    CAPS_OVER,
    CAPS_OVER_END,
    CARDED,
    CREDITS,
    DAY_WIDE,
    DAYS,
    DEBT,
    FEEDERS,
    FEEDERS_END,
    FINISHED,
    FINISHED_UNIT,
    FIRST,
    GATHERED,
    HEAD,
    HERE,
    INPUT_ROWS,
    INSTEAD,
    INSTEAD_END,
    JOB,
    JOINS,
    LEADS,
    LEG_WIDE,
    LEGS,
    LOTS,
    MIX,
    NEXT_STEP,
    NONE,
    NOW,
    ON_CARD,
    ORDERED,
    OWN_PERMITS,
    PER_CARD,
    PERMITS,
    PLACE,
    PLENTY,
    PRODUCT,
    PRODUCT_INDEX,
    PRODUCT_WIDE,
    PRODUCTS,
    PRODUCTS_END,
    PUSHED,
    QUEUE_WIDE,
    QUEUES,
    REACHED,
    RELEASE,
    RESPONSES,
    ROUTE,
    SAMPLES,
    SHARE,
    SIGNAL,
    SPREADS,
    STEP_BENCHES,
    STEP_BENCHES_END,
    STEP_INDEX,
    STEP_WIDE,
    STEPS,
    STEPS_END,
    STORE,
    TAKEN,
    TAKEN_OF_ANY,
    THROWN_AWAY,
    TODAY,
    WAITING,
    WARM,
    WHERE,
    WHOLE,
    Days,
    Floats,
    Words,
)


@put_in
def leg_of(w: Words, step: int, product: int) -> int:
    """The way of a product through a step."""
    return w[step + LEGS] + w[product + PRODUCT_INDEX] * LEG_WIDE


@put_in
def bench_for(w: Words, f: Floats, step: int) -> int:
    """At which of its benches a step does the next piece."""
    bench, last = w[step + STEP_BENCHES], w[step + STEP_BENCHES_END] - BENCH_WIDE
    if bench < last:
        chance = draw(w, f, w[step + WHERE])
        while bench < last and chance > f[bench + SHARE]:
            bench += BENCH_WIDE
    return bench


@put_in
def wake_taker(w: Words, step: int, product: int) -> None:
    """Less of a product is on its way from a step: if the next one makes lots of each product, it may begin with what it has."""
    to = w[leg_of(w, step, product) + NEXT_STEP]
    if to != NONE and w[to + LOTS]:
        wake_step(w, to)
    if w[step + SPREADS]:
        wake_all_takers(w, step)


@kernel
def wake_all_takers(w: Words, step: int) -> None:
    """Say it of all steps that take from one whose cards are for all products, wherever those go."""
    for product in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
        to = w[leg_of(w, step, product) + NEXT_STEP]
        if to != NONE and w[to + LOTS]:
            wake_step(w, to)


@kernel
def job(w: Words, f: Floats, step: int, product: int) -> None:
    """Leave to begin one piece of this product at a first step."""
    piece = new_piece(w, product)
    w[piece + REACHED] = JOB
    queue = w[bench_for(w, f, step) + QUEUES]
    if w[step + JOINS]:
        queue += w[product + PRODUCT_INDEX] * QUEUE_WIDE
    w[piece + CAME] = turn(w)
    put(w, queue, piece)
    wake_step(w, step)


@kernel
def jobs_by_mix(w: Words, f: Floats, step: int, many: int) -> None:
    """Leave to begin so many pieces of the product that is furthest behind its share of what customers pull."""
    best, owed, whole = NONE, 0.0, 0.0
    for p in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
        if w[leg_of(w, step, p) + FIRST] > 0:
            credit = w[step + CREDITS] + w[p + PRODUCT_INDEX]
            f[credit] += f[p + MIX]
            whole += f[p + MIX]
            if best == NONE or f[credit] > owed:
                best, owed = p, f[credit]
    if best != NONE:
        f[w[step + CREDITS] + w[best + PRODUCT_INDEX]] -= whole
        for _ in range(many):
            job(w, f, step, best)


@kernel
def one_more_permit(w: Words, step: int) -> None:
    """A step may begin one more piece."""
    if w[step + PERMITS] < PLENTY:
        w[step + PERMITS] += 1
    wake_step(w, step)


@kernel
def _products(w: Words) -> int:
    return (w[PRODUCTS_END] - w[PRODUCTS]) // PRODUCT_WIDE


@kernel
def note_day(w: Words, days: Days, column: int) -> None:
    """One more of this today."""
    if w[TODAY] < w[DAYS]:
        days[w[TODAY] * w[DAY_WIDE] + column] += 1.0


@kernel
def note_sample(w: Words, samples: Floats, at: int, long: float, moment: float, product: int) -> None:
    """How long it took, when it ended, and of which product."""
    samples[at], samples[at + w[SAMPLES]], samples[at + 2 * w[SAMPLES]] = long, moment, w[product + PRODUCT_INDEX]


@kernel
def order(w: Words, f: Floats, days: Days, samples: Floats, product: int) -> None:
    """A customer orders one: it is shipped at once if one is there, and lets begin what is begun to order."""
    note_day(w, days, _products(w) + w[product + PRODUCT_INDEX])
    entry = new_piece(w, product)
    f[entry + BORN] = f[NOW]
    put(w, product + WAITING, entry)
    for step in range(w[STEPS], w[STEPS_END], STEP_WIDE):
        leg = leg_of(w, step, product)
        if w[leg + FIRST] > 0:
            if w[step + RELEASE] != PUSHED and w[step + RELEASE] != CARDED:
                for _ in range(w[leg + FIRST]):
                    job(w, f, step, product)
        elif w[step + RELEASE] == ORDERED and w[leg + NEXT_STEP] != NONE:
            for _ in range(-w[leg + FIRST]):
                one_more_permit(w, step)
    if w[product + FINISHED] > 0:
        ship(w, f, days, samples, product)
    else:
        room_again(w, w[STORE])


@kernel
def ship(w: Words, f: Floats, days: Days, samples: Floats, product: int) -> None:
    """The order that waited longest gets one out of the finished store."""
    entry, now, store = pull(w, product + WAITING), f[NOW], w[STORE]
    note_day(w, days, 2 * _products(w) + w[product + PRODUCT_INDEX])
    if now >= f[WARM] and w[RESPONSES] < w[SAMPLES]:
        note_sample(w, samples, 3 * w[SAMPLES] + w[RESPONSES], now - f[entry + BORN], now, product)
        w[RESPONSES] += 1
    drop(w, entry)
    w[product + FINISHED] -= 1
    w[w[store + INPUT_ROWS] + HERE] -= 1
    less(w, f, store)
    room_again(w, store)
    for x in range(w[store + FEEDERS], w[store + FEEDERS_END]):
        if w[leg_of(w, w[x], product) + NEXT_STEP] == store:
            card_back(w, f, w[x], product)


@kernel
def _any_card_back(w: Words, f: Floats, step: int, product: int) -> None:
    """The same where a card has pieces of any product: as many of each are begun anew as were taken."""
    w[w[step + TAKEN] + w[product + PRODUCT_INDEX]] += 1
    w[step + TAKEN_OF_ANY] += 1
    if w[step + TAKEN_OF_ANY] < w[step + PER_CARD]:
        return
    w[step + TAKEN_OF_ANY] = 0
    surplus = w[step + DEBT] > 0
    if surplus:
        w[step + DEBT] -= 1
    for p in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
        taken = w[step + TAKEN] + w[p + PRODUCT_INDEX]
        for _ in range(0 if surplus else w[taken]):
            if w[leg_of(w, step, p) + FIRST] > 0:
                job(w, f, step, p)
            else:
                one_more_permit(w, step)
        w[taken] = 0


@kernel
def card_back(w: Words, f: Floats, step: int, product: int) -> None:
    """A piece of a step was taken: with the last one of a card, the card goes back; with the last card of a signal, as many pieces may begin."""
    if w[step + RELEASE] != CARDED:
        return
    if w[step + ANY]:
        _any_card_back(w, f, step, product)
        return
    taken = w[step + TAKEN] + w[product + PRODUCT_INDEX]
    leg = leg_of(w, step, product)
    w[taken] += 1
    if w[taken] < w[leg + ON_CARD]:
        return
    w[taken] = 0
    if w[step + DEBT] > 0:
        w[step + DEBT] -= 1
        return
    w[leg + GATHERED] += 1
    if w[leg + GATHERED] < w[leg + SIGNAL]:
        return
    w[leg + GATHERED] = 0
    for _ in range(w[leg + SIGNAL] * w[leg + ON_CARD]):
        if w[leg + FIRST] > 0:
            job(w, f, step, product)
        elif w[leg + OWN_PERMITS] < PLENTY:
            w[leg + OWN_PERMITS] += 1
            wake_step(w, step)
        else:
            one_more_permit(w, step)


@put_in
def end_of_caps(w: Words, step: int) -> None:
    """A piece has ended this step: there is room below the caps that end here."""
    for x in range(w[step + CAPS_ENDED], w[step + CAPS_ENDED_END]):
        one_more_permit(w, w[x])


@kernel
def scrap(w: Words, f: Floats, days: Days, piece: int, step: int) -> None:
    """A piece is thrown away at a step: its card and its room below a cap are free, and what was made to order is begun anew."""
    product = w[piece + PRODUCT]
    note_day(w, days, 3 * _products(w) + w[step + STEP_INDEX])
    less(w, f, WHOLE)
    note(w, f, THROWN_AWAY, piece, step)
    reached = w[piece + REACHED]
    drop(w, piece)
    for x in range(w[step + CAPS_OVER], w[step + CAPS_OVER_END], 2):
        if reached < w[x + 1]:
            one_more_permit(w, w[x])
    # Where it goes through again, it is the step that it had come to before that made it last.
    furthest = w[w[ROUTE] + reached] if reached > w[step + PLACE] else step
    card_back(w, f, furthest, product)
    wake_taker(w, furthest, product)
    leg = leg_of(w, furthest, product)
    for x in range(w[leg + INSTEAD], w[leg + INSTEAD_END], 2):
        first, jobs = w[x], w[x + 1]
        for _ in range(-jobs):
            one_more_permit(w, first)
        for _ in range(jobs):
            job(w, f, first, product)


@kernel
def tick(w: Words, f: Floats, step: int) -> None:
    """The schedule of a step lets it begin one more."""
    for p in range(w[PRODUCTS], w[PRODUCTS_END], PRODUCT_WIDE):
        if w[leg_of(w, step, p) + FIRST] > 0:
            jobs_by_mix(w, f, step, 1)
            return
    one_more_permit(w, step)


@kernel
def finish(w: Words, f: Floats, days: Days, samples: Floats, piece: int) -> None:
    """A unit lies in the finished store: it is noted how long it took, and an order that waits gets one."""
    product, now = w[piece + PRODUCT], f[NOW]
    note_day(w, days, w[product + PRODUCT_INDEX])
    if now >= f[WARM] and w[LEADS] < w[SAMPLES]:
        note_sample(w, samples, w[LEADS], now - f[piece + BORN], now, product)
        w[LEADS] += 1
    less(w, f, WHOLE)
    note(w, f, FINISHED_UNIT, piece, w[STORE])
    drop(w, piece)
    w[product + FINISHED] += 1
    more(w, f, w[STORE])
    if w[product + WAITING + HEAD] != NONE:
        ship(w, f, days, samples, product)
