"""Cards and lots that products have of their own at a step: what they let begin at the start, and with how many pieces a lot is begun."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.events.rows import PLENTY
from pullwright.forecast.laying.demand import mix
from pullwright.forecast.laying.route import Through
from pullwright.forecast.laying.source import Source
from pullwright.forecast.plant import NEVER
from pullwright.line.model import CardLoop


def own_loops(of: Source, i: int) -> dict[int, CardLoop]:
    """The loops of a step by product; empty where one number of cards is for all, and where the line has one product whose cards come back one by one."""
    loops = loops_said(of, i)
    return {} if len(of.product_names) == 1 and all(loop.signal == 1 for loop in loops.values()) else loops


def loops_said(of: Source, i: int) -> dict[int, CardLoop]:
    """The loops of a step by product, as the file says them."""
    release = of.line.steps[i].release
    return {of.product_names.index(loop.product): loop for loop in (() if release is None else release.loops)}


def shared_cards(of: Source, i: int) -> tuple[int, int] | None:
    """Cards of a step, and pieces on each, where one number is for all products; None elsewhere."""
    release = of.line.steps[i].release
    if release is None or release.by != "cards" or own_loops(of, i):
        return None
    if release.loops:
        return release.loops[0].cards, release.loops[0].per_card
    return release.cards or 0, release.per_card or 1


def pulled_at(of: Source, i: int) -> list[int]:
    """The products that go through a step and are pulled."""
    return [p for p in range(len(of.product_names)) if i in of.through[p] and of.per_day(p) > 0]


def behind(through: Through, before: np.ndarray, finished: np.ndarray, i: int, p: int) -> int:
    """Pieces of a product that a step has made and nobody has taken."""
    if through.next_step[p, i] != NEVER:
        return int(before[through.next_step[p, i], through.next_input[p, i], p])
    return int(finished[p]) if through.last[p] == i else 0


def own_starts(of: Source, through: Through, before: np.ndarray, finished: np.ndarray) -> dict[str, np.ndarray]:
    """What lies behind a step of a product lies on that product's cards; of the others whole signals let begin at once, and the rest are gathered."""
    products, steps = through.next_step.shape
    shape = (products, steps)
    permits, jobs, gathered = np.full(shape, PLENTY), np.zeros(shape, np.int64), np.zeros(shape, np.int64)
    on_card, signal, lot = np.ones(shape, np.int64), np.ones(shape, np.int64), np.zeros(shape, np.int64)
    cards = np.zeros(shape, np.int64)
    for i, step in enumerate(of.line.steps):
        shared, own = shared_cards(of, i), own_loops(of, i)
        begins = all(through.giver[p, i, k] == NEVER for p, k in np.ndindex(products, through.giver.shape[2]))
        cards[:, i], on_card[:, i] = (0, 1) if shared is None else shared
        for p in range(products) if own else ():
            permits[p, i] = PLENTY if begins else 0
            if p not in own:
                continue
            loop = own[p]
            free = loop.cards - -(-behind(through, before, finished, i, p) // loop.per_card)
            whole = max(free, 0) // loop.signal * loop.signal
            on_card[p, i], signal[p, i], gathered[p, i] = loop.per_card, loop.signal, free - whole
            cards[p, i] = loop.cards
            (jobs if begins else permits)[p, i] = whole * loop.per_card
        if step.set_up is not None:
            lot[:, i] = [step.lot_of(name) or 0 for name in of.product_names]
    return {
        "own_permits": permits,
        "own_jobs": jobs,
        "own_gathered": gathered,
        "own_on_card": on_card,
        "own_cards": cards,
        "own_signal": signal,
        "own_lot": lot,
    }


def any_product(of: Source, i: int) -> bool:
    """May what lies on a card of a step be of any product, because nothing has told them apart there?"""
    if shared_cards(of, i) is None or len(of.product_names) == 1:
        return False
    mine = pulled_at(of, i)
    return len(mine) > 1 and any(set(mine) <= set(group.products) for group in of.alike.get(i, ()))


def apart(of: Source, through: Through) -> dict[str, np.ndarray]:
    """At which steps products have cards or lots of their own; where cards for all go with products that part behind them; and where a card is for any of them."""
    lots = np.array([int(bool(step.lots)) for step in of.line.steps])
    cards = np.array([int(bool(own_loops(of, i))) for i in range(len(of.line.steps))])
    spreads = [
        int(
            shared_cards(of, i) is not None
            and bool(lots.any())
            and len({int(through.next_step[p, i]) for p in pulled_at(of, i)}) > 1
        )
        for i in range(lots.size)
    ]
    mixed = np.array([int(any_product(of, i)) for i in range(lots.size)])
    return {
        "step_spreads": np.array(spreads), "step_apart": lots | cards, "step_lots": lots, "step_own_cards": cards, "step_any": mixed
    }  # fmt: skip


def full_at(through: Through, capacity: np.ndarray, transfer: np.ndarray) -> np.ndarray:
    """With how many pieces is a place before a step too full for what is handed on to it at a time, (I,)? PLENTY where nothing limits them."""
    handed = [
        max((int(transfer[j]) for j in set(through.giver[:, i].flat) - {NEVER}), default=1)
        for i in range(capacity.size)
    ]
    return np.where(capacity >= PLENTY, PLENTY, np.maximum(1, capacity - np.array(handed) + 1))


def enough(of: Source, through: Through, cards: np.ndarray, transfer: np.ndarray) -> dict[str, np.ndarray]:
    """With how many pieces of a product, and leave for how many, is its lot begun at a step, (P, I)? With the whole of it, or as many as its own cards and
    the caps around it are sure to let come together.

    `cards` (P, I): of the cards that products share at a first step, how many each has from the beginning; `transfer` (I,): pieces handed on together.
    """
    shape = (len(of.product_names), len(of.line.steps))
    pieces, leave = np.ones(shape, np.int64), np.ones(shape, np.int64)
    benches = [1 + len(step.also_at) for step in of.line.steps]
    # A transfer lot may want one piece yet, at each of the benches of its step.
    held = [(int(transfer[i]) - 1) * many for i, many in enumerate(benches)]
    for i, step in enumerate(of.line.steps):
        begins = bool((through.giver[:, i, :] == NEVER).all())
        for p in pulled_at(of, i) if step.lots else ():
            lot = step.lot_of(of.product_names[p]) or 1
            let = max(1, min(lot, _let_begin(of, i, int(cards[p, i]) if begins else None, held[i])))
            capped = min([lot, *_below_caps(of, i, held)])
            pieces[p, i] = max(1, 1 + (min(let if begins else lot, capped) - 1) // benches[i])
            leave[p, i] = 1 if begins else let
    return {"own_enough": pieces, "own_leave": leave}


def _let_begin(of: Source, i: int, dealt: int | None, held: int) -> int:
    """How many pieces are a step's own cards or cap sure to let begin? `dealt`: cards of the product, where it keeps those that it has at a first step."""
    shared, release = shared_cards(of, i), of.line.steps[i].release
    if shared is not None and not loops_said(of, i):
        cards, each = shared
        if dealt is not None:
            return (dealt - 1) * each + 1
        return cards * each - len(pulled_at(of, i)) * (each - 1) - held
    return (release.limit or 1) if release is not None and release.by == "cap" else PLENTY


def _below_caps(of: Source, i: int, held: list[int]) -> list[int]:
    """How many pieces of each product are caps around a step sure to have room for there? Its steps with lots of each product share it."""
    found, line, comes = [], of.line, of.line.route.comes_before
    for a, step in enumerate(line.steps):
        if step.release is None or step.release.by != "cap" or a == i:
            continue
        until = a if step.release.until is None else of.step_index[step.release.until]
        inside = [j for j in range(len(line.steps)) if comes(a, j) and comes(j, until)]
        if i in inside:
            mine = pulled_at(of, a)
            shares = len(mine) * sum(bool(line.steps[j].lots) for j in inside if j != a)
            lots = [step.lot_of(of.product_names[p]) or 1 for p in mine] if step.lots else [1]
            found.append(1 + ((step.release.limit or 1) - sum(held[j] for j in inside) - max(lots)) // shares)
    return found


def cards_of_products(of: Source, first: np.ndarray, lie: np.ndarray, free: np.ndarray) -> np.ndarray:
    """How many of the cards that products share at a first step does each have from the beginning, (P, I)?

    `lie` (P, I): cards that lie behind the step at the start; `free` (I,): the others, given to whichever product is furthest behind its share.
    """
    found, shares = lie.copy(), mix(of)
    for i in range(free.size):
        mine = [p for p in range(shares.size) if first[p, i] > 0]
        owed = np.zeros(shares.size)
        for _ in range(int(free[i]) if mine else 0):
            owed[mine] += shares[mine]
            best = max(mine, key=lambda p: (owed[p], -p))
            owed[best] -= shares[mine].sum()
            found[best, i] += 1
    return found


def parted_jobs(of: Source, i: int, there: np.ndarray, pieces: int) -> np.ndarray:
    """So many pieces on cards for any product, (P,): each of the product that is furthest behind its share, but one at least of each.

    `there` (P,): what is there of each product already.
    """
    found, shares = np.zeros(there.size, np.int64), mix(of)
    mine = pulled_at(of, i)
    whole = max(int(there.sum()) + pieces, len(mine))
    wanted = {p: max(1.0, whole * shares[p] / shares[mine].sum()) for p in mine}
    for _ in range(pieces):
        best = max(mine, key=lambda p: (there[p] + found[p] == 0, wanted[p] - there[p] - found[p], -p))
        found[best] += 1
    return found
