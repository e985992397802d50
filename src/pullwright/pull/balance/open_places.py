"""At which places along the way can each element be? What order, takt and fixed posts leave open, and what is impossible at once.

The way of the piece has places 1 to K at K posts in a straight line, and 1 to 2 K in a bent one: place p is at post p on the way
there and at post 2 K + 1 - p on the way back. Every law of order is then the same for both.
"""

from __future__ import annotations

from collections.abc import Sequence

from pullwright.pull.balance.rounds import Rounds


def post_of(place: int, posts: int) -> int:
    """At which post is a place of the way?

    >>> [post_of(place, 3) for place in range(1, 7)]
    [1, 2, 3, 3, 2, 1]
    """
    return min(place, 2 * posts + 1 - place)


def strict_arcs(rounds: Rounds) -> tuple[tuple[int, int], ...]:
    """Pairs (left, right) of elements of which the first is at an earlier place."""
    index = rounds.work.index
    return tuple((index[left], index[right]) for left, right in rounds.conditions.left_of)


def open_places(rounds: Rounds, posts: int, room: int, weights: Sequence[int]) -> list[list[int]] | None:
    """The places that each element can have; None where one of them has none.

    `room`: ticks that a post has at most, for all its people; `weights`: ticks that each element takes at least. An element with W ticks
    of work before and in it is not done before post W / room, counted from either end of the way.
    """
    count, bent = len(weights), rounds.conditions.u_shaped
    places = 2 * posts if bent else posts
    first, last = [1] * count, [places] * count
    index = rounds.work.index
    fixed: dict[int, set[int]] = {}
    for name, post in rounds.conditions.fixed:
        fixed.setdefault(index[name], set()).add(post)
    for i in range(count):
        need = _posts_for(weights[i] + sum(weights[k] for k in rounds.before[i]), room)
        first[i] = max(first[i], need)
        need = _posts_for(weights[i] + sum(weights[k] for k in rounds.after[i]), room)
        last[i] = min(last[i], places + 1 - need)
    for i, wanted in fixed.items():
        if not bent:
            first[i], last[i] = max(first[i], *wanted), min(last[i], *wanted)
    arcs = [(a, b, 0) for a, b in rounds.work.arcs] + [(a, b, 1) for a, b in strict_arcs(rounds)]
    moving = True
    while moving:
        moving = False
        for a, b, step in arcs:
            if first[a] + step > first[b]:
                first[b], moving = first[a] + step, True
            if last[b] - step < last[a]:
                last[a], moving = last[b] - step, True
        if any(low > high for low, high in zip(first, last, strict=True)):
            return None
    found = []
    for i in range(count):
        own = [
            place
            for place in range(first[i], last[i] + 1)
            if all(post_of(place, posts) == post for post in fixed.get(i, ()))
        ]
        if not own:
            return None
        found.append(own)
    return found


def _posts_for(ticks: int, room: int) -> int:
    return max(1, -(-ticks // room)) if room > 0 else 1
