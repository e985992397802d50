"""Lines in which nothing would ever come out: refused by name before they are run."""

from __future__ import annotations

import numpy as np

from pullwright.forecast.errors import CannotRun
from pullwright.forecast.laying.own import any_product, own_loops, pulled_at, shared_cards
from pullwright.forecast.laying.route import Through
from pullwright.forecast.laying.source import Source
from pullwright.forecast.plant import NEVER


def check_alive(of: Source, through: Through, transfer: np.ndarray, capacity: np.ndarray) -> None:
    """Refuse lots that caps, cards or room can never hold; CannotRun.

    `transfer`, `capacity` (I,): pieces that are handed on together, and that fit before a step.
    """
    line, comes = of.line, of.line.route.comes_before
    for i, step in enumerate(line.steps):
        release = step.release
        if release is not None and release.by == "cap":
            until = i if release.until is None else of.step_index[release.until]
            inside = [j for j in range(len(line.steps)) if j != until and comes(i, j) and comes(j, until)]
            lot, limit = max((int(transfer[j]) for j in inside), default=1), release.limit or 1
            if lot > limit:
                raise CannotRun(
                    f"the cap of {step.name} lets {limit} pieces in, and a lot of {lot} is handed on within it: nothing would ever "
                    "come out; raise the cap, or hand on fewer at a time"
                )
        if release is not None and release.by == "cards":
            shared = shared_cards(of, i)
            if shared is not None:
                _check_cards(of, through, i, int(transfer[i]), *shared)
            _check_loops(of, through, i, int(transfer[i]))
        if release is not None and release.by == "cap" and step.lots:
            _check_lot(
                of, i, pulled_at(of, i), release.limit or 1, "its cap lets {} in; raise the cap, or make smaller lots"
            )
        for p, k in np.ndindex(len(of.product_names), through.giver.shape[2]):
            need, giver = int(through.need[p, i, k]), int(through.giver[p, i, k])
            if giver == NEVER or need <= max(int(capacity[i]), int(transfer[giver]), 1):
                continue
            raise CannotRun(
                f"{step.name} takes {need} of {line.steps[giver].name} at a time, and only {capacity[i]} fit before it: it would never "
                "begin; give it more room"
            )


def _check_lot(of: Source, i: int, products: list[int], pieces: int, instead: str) -> None:
    """Refuse lots of products for which there is never leave."""
    step = of.line.steps[i]
    for p in products if step.lots else ():
        lot = step.lot_of(of.product_names[p]) or 1
        if lot > pieces:
            raise CannotRun(
                f"{step.name} makes {of.product_names[p]} in lots of {lot}, and {instead.format(pieces)}: there would never be leave for a whole lot"
            )


def _check_loops(of: Source, through: Through, i: int, transfer: int) -> None:
    step, loops = of.line.steps[i], own_loops(of, i)
    pieces = sum(loop.cards * loop.per_card for loop in loops.values())
    if loops and transfer > pieces:
        raise CannotRun(
            f"{step.name} hands on {transfer} pieces together and has cards for {pieces}: nothing would ever come out; "
            "give it more cards, or let it hand on fewer at a time"
        )
    for p, loop in loops.items():
        at_once = loop.cards // loop.signal * loop.signal * loop.per_card
        words = f"its cards let at most {{}} begin before any of them is made (signals of {loop.signal} out of {loop.cards} cards); give it more cards, or make smaller lots"
        _check_lot(of, i, [p], at_once, words)
        _check_taker(of, through, i, p, loop.cards * loop.per_card)


def _check_cards(of: Source, through: Through, i: int, transfer: int, cards: int, each: int) -> None:
    step, pieces = of.line.steps[i], cards * each
    if transfer > pieces:
        raise CannotRun(
            f"{step.name} hands on {transfer} pieces together and has cards for {pieces}: nothing would ever come out; "
            "give it more cards, or let it hand on fewer at a time"
        )
    mine = pulled_at(of, i)
    _check_lot(of, i, mine, pieces, "it has cards for {}; give it more cards, or make smaller lots")
    begins = all(through.giver[p, i, k] == NEVER for p in mine for k in range(through.giver.shape[2]))
    if begins and any_product(of, i) and pieces < len(mine):
        raise CannotRun(
            f"{step.name} has cards for {pieces} pieces of {len(mine)} products: some would never be made; give it more cards"
        )
    if begins and not any_product(of, i) and cards < len(mine):
        raise CannotRun(
            f"{step.name} has {cards} cards for {len(mine)} products, and a card goes back for the product that was taken: some would never be "
            "made; give each product a card at least"
        )
    for p in mine:
        _check_taker(of, through, i, p, pieces)


def _check_taker(of: Source, through: Through, i: int, p: int, pieces: int) -> None:
    to, k = int(through.next_step[p, i]), int(through.next_input[p, i])
    if to != NEVER and through.need[p, to, k] > pieces:
        raise CannotRun(
            f"{of.line.steps[to].name} takes {through.need[p, to, k]} of {of.line.steps[i].name} at a time, which has cards for {pieces}: it would never "
            "begin; give it more cards"
        )
