"""What lies there at the start, and what may be begun then."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pullwright.forecast.events.rows import PLENTY
from pullwright.forecast.laying.caps import below_cap
from pullwright.forecast.laying.demand import mix
from pullwright.forecast.laying.own import (
    any_product,
    behind,
    cards_of_products,
    enough,
    own_starts,
    parted_jobs,
    pulled_at,
    shared_cards,
)
from pullwright.forecast.laying.route import Through
from pullwright.forecast.laying.source import Source
from pullwright.forecast.plant import NEVER


def starts(of: Source, through: Through, first: np.ndarray, transfer: np.ndarray) -> dict[str, np.ndarray]:
    """The counted stock, parted among products as they are pulled, and the cards, permits and jobs that are free beside it."""
    products, steps, most = through.giver.shape
    before = np.zeros((steps, most, products), np.int64)
    finished = np.zeros(products, np.int64)
    for s, store in enumerate(of.line.stores):
        pieces = of.counted(s)
        if store.before is not None:
            i = of.step_index[store.before]
            for k in range(most):
                mine = [p for p in range(products) if through.giver[p, i, k] != NEVER]
                if mine:
                    before[i, k] = _parted(of, pieces, mine)
        elif store.after is not None:
            i = of.step_index[store.after]
            mine = [p for p in range(products) if i in of.through[p] and through.next_step[p, i] == NEVER]
            if mine:
                finished += _parted(of, pieces, mine)
    permits = np.full(steps, PLENTY)
    jobs, debt = np.zeros(steps, np.int64), np.zeros(steps, np.int64)
    taken = np.zeros((steps, products), np.int64)
    own = own_starts(of, through, before, finished)
    lies, free_cards = np.zeros((products, steps), np.int64), np.zeros(steps, np.int64)
    for i, step in enumerate(of.line.steps):
        if step.release is None:
            continue
        by, begins, shared = step.release.by, first[:, i].max() > 0, shared_cards(of, i)
        if by == "cards":
            on_card = own["own_on_card"][:, i]
            lying = np.array([behind(through, before, finished, i, p) for p in range(products)])
            lie = -(-lying // on_card)
            taken[i] = lie * on_card - lying
            mixed = any_product(of, i)
            if mixed:
                whole, mine = int(lying.sum()), pulled_at(of, i)
                lie = _parted(of, -(-whole // int(on_card[0])), mine)
                taken[i] = _parted(of, int(lie.sum() * on_card[0]) - whole, mine)
            if shared is None:
                continue  # each product has cards of its own
            each = shared[1]
            free = shared[0] - int(lie.sum())
            lies[:, i], free_cards[i] = lie, max(free, 0)
            debt[i] = max(-free, 0)
            if begins and mixed:
                own["own_jobs"][:, i] = parted_jobs(of, i, lying + taken[i], max(free, 0) * each)
            elif begins:
                jobs[i] = max(free, 0) * each
            else:
                permits[i] = max(free, 0) * each
        elif by == "cap":
            permits[i] = below_cap(of, i, step, before, through)
        elif not begins:
            permits[i] = 0
    return {
        "stock_before": before,
        "stock_finished": finished,
        "step_permits": permits,
        "step_jobs": jobs,
        "step_taken": taken,
        "step_debt": debt,
        **own,
        **enough(of, through, cards_of_products(of, first, lies, free_cards), transfer),
    }


def _parted(of: Source, pieces: int, products: Sequence[int]) -> np.ndarray:
    """So many pieces parted among products as they are pulled, the largest rests first."""
    shares = np.zeros(len(of.product_names))
    shares[list(products)] = mix(of)[list(products)]
    whole = shares.sum()
    exact = pieces * (shares / whole if whole > 0 else np.isin(np.arange(shares.size), products) / len(products))
    found = np.floor(exact).astype(np.int64)
    for p in np.argsort(-(exact - found), kind="stable")[: pieces - found.sum()]:
        found[p] += 1
    return found
