"""The smallest set of wishes that cannot hold together, and the fewest wishes without which a plan exists.

A set of wishes that cannot hold together has one wish at least in common with every set that has to be dropped for a plan
to exist, and the other way round. So the least set that meets all sets found so far is tried; where it is not the answer, it leads to one
more of those sets (implicit hitting sets: Ignatiev, Previti, Liffiton & Marques-Silva 2015).
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence

from pullwright.pull.balance.wishes import Wish

CanHold = Callable[[Iterable[Wish]], bool | None]
"""Can these wishes hold together? True, False, or None where it is not known."""
_TRIES = 64
"""So many sets of wishes are dropped to see whether a plan exists without them."""


def smallest_conflict(possible: CanHold, wishes: Sequence[Wish]) -> tuple[Wish, ...]:
    """The smallest set of wishes that cannot hold together, where all of them cannot.

    First a set from which no wish can be left out (wish by wish), then the smallest of all. What is not known counts as if it could be.
    """
    few = _shrunk(possible, wishes)
    dropped: list[frozenset[Wish]] = []
    while True:
        core = _least_that_meets(dropped, wishes, len(few) - 1)
        if core is None:
            break
        if possible(core) is False:
            return tuple(core)
        kept = list(core)
        for wish in wishes:
            if wish not in kept and possible([*kept, wish]) is not False:
                kept.append(wish)
        gone = frozenset(wish for wish in wishes if wish not in kept)
        if not gone or gone in dropped:
            break
        dropped.append(gone)
    return tuple(few)


def smallest_correction(
    possible: CanHold, wishes: Sequence[Wish], known: Iterable[Iterable[Wish]] = ()
) -> tuple[Wish, ...]:
    """The fewest wishes without which the others can hold; of as few the ones that stand first. Empty where nothing is known to help.

    `known`: sets of wishes that are known not to hold together.
    """
    conflicts = [frozenset(one) for one in known]
    for alone in wishes:
        # One wish is asked about before more is learnt, which takes many questions.
        if conflicts and all(alone in one for one in conflicts) and possible([w for w in wishes if w is not alone]):
            return (alone,)
    for _ in range(_TRIES):
        chosen = _least_that_meets(conflicts, wishes, len(wishes))
        if chosen is None or len(chosen) == len(wishes):
            break
        rest = [wish for wish in wishes if wish not in chosen]
        state = possible(rest)
        if state:
            return tuple(chosen)
        # What is not known is not told either: then another one is looked for, and fewer may do.
        conflicts.append(frozenset(rest if state is None else _shrunk(possible, rest)))
    return ()


def without_few(possible: CanHold, wishes: Sequence[Wish]) -> tuple[Wish, ...]:
    """Some wishes without which the others can hold, quickly: they are kept one by one, the last first, while it is known that they can be."""
    kept: list[Wish] = []
    for wish in reversed(wishes):
        if possible([wish, *kept]):
            kept.append(wish)
    return tuple(wish for wish in wishes if wish not in kept) if kept or possible(()) else ()


def _shrunk(possible: CanHold, wishes: Sequence[Wish]) -> list[Wish]:
    """Of wishes that cannot hold together, some from which none can be left out."""
    few = list(wishes)
    for wish in wishes:
        fewer = [one for one in few if one is not wish]
        if possible(fewer) is False:
            few = fewer
    return few


def _least_that_meets(sets: Sequence[frozenset[Wish]], wishes: Sequence[Wish], most: int) -> list[Wish] | None:
    """The smallest set of wishes that has one in common with each of these sets; None where none of up to `most` wishes does."""
    useful = [wish for wish in wishes if any(wish in one for one in sets)]
    for size in range(most + 1):
        for chosen in itertools.islice(itertools.combinations(useful, size), 20_000):
            if all(one & set(chosen) for one in sets):
                return list(chosen)
    return None
