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
    for i, step in enumerate(of.line.steps):
        shared, own = shared_cards(of, i), own_loops(of, i)
        begins = all(through.giver[p, i, k] == NEVER for p, k in np.ndindex(products, through.giver.shape[2]))
        on_card[:, i] = 1 if shared is None else shared[1]
        for p in range(products) if own else ():
            permits[p, i] = PLENTY if begins else 0
            if p not in own:
                continue
            loop = own[p]
            free = loop.cards - -(-behind(through, before, finished, i, p) // loop.per_card)
            whole = max(free, 0) // loop.signal * loop.signal
            on_card[p, i], signal[p, i], gathered[p, i] = loop.per_card, loop.signal, free - whole
            (jobs if begins else permits)[p, i] = whole * loop.per_card
        if step.set_up is not None:
            lot[:, i] = [step.lot_of(name) or 0 for name in of.product_names]
    return {
        "own_permits": permits,
        "own_jobs": jobs,
        "own_gathered": gathered,
        "own_on_card": on_card,
        "own_signal": signal,
        "own_lot": lot,
    }


def any_product(of: Source, i: int) -> bool:
    """May what lies on a card of a step be of any product, because nothing has told them apart there?"""
    mine = pulled_at(of, i)
    return (
        shared_cards(of, i) is not None
        and len(mine) > 1
        and any(set(mine) <= set(group.products) for group in of.alike.get(i, ()))
    )


def apart(of: Source) -> dict[str, np.ndarray]:
    """At which steps products have cards or lots of their own, at which of them lots, and at which a card is for any of them."""
    lots = np.array([int(bool(step.lots)) for step in of.line.steps])
    cards = np.array([int(bool(own_loops(of, i))) for i in range(len(of.line.steps))])
    mixed = np.array([int(any_product(of, i)) for i in range(len(of.line.steps))])
    return {"step_apart": lots | cards, "step_lots": lots, "step_any": mixed}


def full_at(through: Through, capacity: np.ndarray, transfer: np.ndarray) -> np.ndarray:
    """With how many pieces is a place before a step too full for what is handed on to it at a time, (I,)? PLENTY where nothing limits them."""
    handed = [
        max((int(transfer[j]) for j in set(through.giver[:, i].flat) - {NEVER}), default=1)
        for i in range(capacity.size)
    ]
    return np.where(capacity >= PLENTY, PLENTY, np.maximum(1, capacity - np.array(handed) + 1))


def enough(of: Source, through: Through, begun: np.ndarray, transfer: np.ndarray) -> np.ndarray:
    """With how many pieces of a product is its lot begun at a step, (P, I)? With the whole of it, or as many as are sure to come together there.

    `begun` (P, I): of the pieces on the cards that products share at a first step, how many are of each from the beginning; `transfer` (I,): pieces
    handed on together.
    """
    found = np.ones((len(of.product_names), len(of.line.steps)), np.int64)
    sure = _Sure(of, through, begun, transfer)
    for i, step in enumerate(of.line.steps):
        for p in pulled_at(of, i) if step.lots else ():
            found[p, i] = max(1, min(step.lot_of(of.product_names[p]) or 1, sure.pieces(i, p)))
    return found


class _Sure:
    """How many pieces are sure to come together, whatever lies elsewhere: each loop and cap by itself, always counting against it."""

    def __init__(self, of: Source, through: Through, begun: np.ndarray, transfer: np.ndarray) -> None:
        self.of, self.through, self.begun = of, through, begun
        self.benches = [1 + len(step.also_at) for step in of.line.steps]
        # A transfer lot may want one piece yet, at each of its benches.
        self.held = [(int(transfer[i]) - 1) * many for i, many in enumerate(self.benches)]

    def pieces(self, i: int, p: int) -> int:
        """Of a product before a step, with leave to begin them."""
        through = self.through
        found = [self._let_begin(i, p)]
        for k in range(through.giver.shape[2]):
            j = int(through.giver[p, i, k])
            if j != NEVER:
                found.append(self._behind(j, p) // int(through.need[p, i, k]))
        found += self._below_caps(i)
        return 1 + (min(found) - 1) // self.benches[i]

    def _let_begin(self, i: int, p: int) -> int:
        """By the cards or the cap of the step itself."""
        shared, release = self._shared(i), self.of.line.steps[i].release
        if shared is not None:
            if self._first(i):
                return int(self.begun[p, i]) - (shared[1] - 1)
            return self._together(i, *shared)
        return (release.limit or 1) if release is not None and release.by == "cap" else PLENTY

    def _behind(self, j: int, p: int) -> int:
        """Behind the step before, by its cards: all but those that may lie elsewhere."""
        loop, shared = loops_said(self.of, j).get(p), self._shared(j)
        if loop is not None:
            n = loop.per_card
            return loop.cards * n - (loop.signal - 1) * n - (n - 1) - self.held[j] - (self._lot(j, p) - 1)
        if shared is None:
            return PLENTY
        n = shared[1]
        if self._first(j):
            asked = min(self._lot(j, p), max(1, self._let_begin(j, p)))
            return int(self.begun[p, j]) - (n - 1) - self.held[j] - (asked - 1)
        mine = pulled_at(self.of, j)
        asked = max(min(self._lot(j, q), max(1, self._together(j, *shared))) for q in mine)
        return 1 + (self._together(j, *shared) - asked) // len(mine)

    def _shared(self, i: int) -> tuple[int, int] | None:
        return None if loops_said(self.of, i) else shared_cards(self.of, i)

    def _together(self, i: int, cards: int, each: int) -> int:
        return cards * each - len(pulled_at(self.of, i)) * (each - 1) - self.held[i]

    def _below_caps(self, i: int) -> list[int]:
        found, line, comes = [], self.of.line, self.of.line.route.comes_before
        for a, step in enumerate(line.steps):
            if step.release is None or step.release.by != "cap" or a == i:
                continue
            until = a if step.release.until is None else self.of.step_index[step.release.until]
            inside = [j for j in range(len(line.steps)) if comes(a, j) and comes(j, until)]
            if i in inside:
                mine = pulled_at(self.of, a)
                shares = len(mine) * sum(bool(line.steps[j].lots) for j in inside if j != a)
                left = (
                    (step.release.limit or 1) - sum(self.held[j] for j in inside) - max(self._lot(a, p) for p in mine)
                )
                found.append(1 + left // shares)
        return found

    def _lot(self, i: int, p: int) -> int:
        """Pieces that may wait for leave for a whole lot; 1 where none is waited for."""
        step = self.of.line.steps[i]
        return (step.lot_of(self.of.product_names[p]) or 1) if step.lots else 1

    def _first(self, i: int) -> bool:
        return bool((self.through.giver[:, i, :] == NEVER).all())


def begun_of_products(of: Source, first: np.ndarray, lie: np.ndarray, free: np.ndarray) -> np.ndarray:
    """How many of the pieces on the cards that products share at a first step are of each from the beginning, (P, I)?

    `lie` (P, I): cards that lie behind the step at the start; `free` (I,): the others, given to whichever product is furthest behind its share.
    """
    found, shares = np.zeros_like(lie), mix(of)
    for i in range(free.size):
        mine, shared = [p for p in range(shares.size) if first[p, i] > 0], shared_cards(of, i)
        if shared is None or not mine:
            continue
        found[:, i] = lie[:, i] * shared[1]
        owed = np.zeros(shares.size)
        for _ in range(int(free[i])):
            owed[mine] += shares[mine]
            best = max(mine, key=lambda p: (owed[p], -p))
            owed[best] -= shares[mine].sum()
            found[best, i] += shared[1]
    return found


def parted_jobs(of: Source, i: int, there: np.ndarray, pieces: int) -> np.ndarray:
    """So many pieces of a card for any product, (P,): each to the product that is furthest behind its share, but one at least of each.

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
