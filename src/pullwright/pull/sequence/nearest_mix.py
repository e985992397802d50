"""What no sequence can undercut: after each place by itself, the mix of products whose parts come nearest to their even course."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pullwright.pull.sequence.aim import Aim, Floats

_MOST_ROWS = 20_000
"""So many mixes are looked at together, over all places; what is left out for that counts with what it costs at least."""
_FLAT = 0.2
"""Below this share of the usual step, products hardly differ in their parts: too many mixes come equally near to look at them."""


def least_squares_after(aim: Aim, known: Sequence[int]) -> Floats:
    """What is the least that the squares after each place can be (in parts of the aim's `scale`, squared)? Shape (places,).

    `known`: a sequence; its own mixes tell how far away it is worth looking. Their sum is a bound for every sequence, since a sequence may do no
    better at any place than the best mix for that place alone.
    """
    single = _item_by_item(aim)
    return np.maximum(single, _jointly(aim, known)) if aim.places else single


def _item_by_item(aim: Aim) -> Floats:
    """Each item by itself, as near to its course as what k pieces can use of it."""
    counts = np.array(aim.counts)
    k = np.arange(1, aim.places + 1)
    found = np.zeros(aim.places)
    for j, weight in enumerate(aim.weights):
        each = np.repeat(aim.steps[:, j], counts)
        if not each.size:
            continue
        # What k pieces use differs from k times what one of them uses by multiples of the grain.
        grain = float(np.gcd.reduce(np.rint(each - each[0]).astype(np.int64)))
        rising = np.sort(each)
        low, high = np.cumsum(rising), np.cumsum(rising[::-1])
        wanted = k * aim.slope[j] - aim.start[j]
        down = low if grain <= 0 else low + np.floor((np.clip(wanted, low, high) - low) / grain) * grain
        up = np.minimum(down + max(grain, 0.0), high)
        found += weight * np.minimum((wanted - down) ** 2, (wanted - up) ** 2)
    return found


def _jointly(aim: Aim, known: Sequence[int]) -> Floats:
    """All items together: the nearest point of a lattice for every place at once, product by product within what the known sequence reaches.

    After the product that is asked for most is left out (it makes up the number), the squares are a sum over the products, one after another
    (a triangular form), so that a mix that is begun is given up when it is too far already.
    """
    present = [i for i in sorted(range(len(aim.counts)), key=lambda i: aim.counts[i]) if aim.counts[i]]
    if len(present) < 2:
        return np.zeros(aim.places)
    weighed = aim.steps[present] * np.sqrt(aim.weighing)
    counts = np.array(aim.counts)[present]
    directions = (weighed[:-1] - weighed[-1]).T
    if directions.shape[0] < directions.shape[1]:
        return np.zeros(aim.places)
    turned, steps = np.linalg.qr(directions)
    sizes = np.abs(np.diag(steps))
    if sizes.min() <= _FLAT * sizes.max():
        return np.zeros(aim.places)
    have = np.cumsum(np.eye(len(aim.counts))[list(known)], axis=0)[:, present]
    off = aim.scaled(known) * np.sqrt(aim.weighing)
    away = np.sum(off**2, axis=1)
    aimed = -off @ turned
    most = away * (1 + 1e-9) + 1e-6
    place = np.arange(aim.places)
    cost = np.maximum(away - np.sum(aimed**2, axis=1), 0.0)
    moved = np.zeros((aim.places, len(present) - 1))
    lost = np.full(aim.places, np.inf)
    for p in range(len(present) - 2, -1, -1):
        wanted = aimed[place, p] - moved[:, p + 1 :] @ steps[p, p + 1 :]
        centre, reach = wanted / steps[p, p], np.sqrt(np.maximum(most[place] - cost, 0.0)) / sizes[p]
        low = np.maximum(np.ceil(centre - reach - 1e-9), -have[place, p])
        high = np.minimum(np.floor(centre + reach + 1e-9), counts[p] - have[place, p])
        number = np.maximum(high - low + 1, 0).astype(np.intp)
        which = np.repeat(np.arange(place.size), number)
        step = low[which] + np.arange(which.size) - np.repeat(np.cumsum(number) - number, number)
        cost = cost[which] + (wanted[which] - steps[p, p] * step) ** 2
        place, moved = place[which], moved[which]
        moved[:, p] = step
        if place.size > _MOST_ROWS:
            nearest = np.argsort(cost / most[place], kind="stable")
            keep, drop = nearest[:_MOST_ROWS], nearest[_MOST_ROWS:]
            np.minimum.at(lost, place[drop], cost[drop])
            place, cost, moved = place[keep], cost[keep], moved[keep]
    last = have[place, -1] - moved.sum(axis=1)
    sound = (last >= 0) & (last <= counts[-1])
    found = lost
    np.minimum.at(found, place[sound], cost[sound])
    # The mix of the known sequence is always within reach, so that something is found; rounding must not lift the bound.
    least: Floats = np.maximum(np.minimum(found, away) * (1 - 1e-9) - 1e-6, 0.0)
    return least
