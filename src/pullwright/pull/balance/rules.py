"""Simple rules of priority: post by post, of what can be done next and still fits, the element that the rule puts first.

They take milliseconds, and the search never answers with more posts than the best of them. Sources: Helgeson & Birnie 1961 (positional
weight); Moodie & Young 1965 (longest first); Tonge 1961 (followers); Talbot, Patterson & Gehrlein 1986 compare the rules of the table below;
Hoffmann 1963 (the fullest load at each post).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from pullwright.pull.balance.plain import Plain, members

Posts = list[list[int]]
Rank = Callable[[Plain], Sequence[float]]


def _positional_weight(plain: Plain) -> list[float]:
    return [plain.times[i] + sum(plain.times[j] for j in members(plain.after[i])) for i in range(len(plain))]


def _followers(plain: Plain) -> list[float]:
    return [after.bit_count() for after in plain.after]


def _latest(plain: Plain) -> list[float]:
    """How early the last post is that an element can be done at, as the work after it says (the higher the more pressing)."""
    return [-(-weight // plain.takt) for weight in _positional_weight(plain)]


def _slack(plain: Plain) -> list[float]:
    """How many posts there are to choose from (the fewer the more pressing)."""
    latest = _latest(plain)
    earliest = [
        -(-(plain.times[i] + sum(plain.times[j] for j in members(plain.before[i]))) // plain.takt)
        for i in range(len(plain))
    ]
    most = -(-plain.total // plain.takt) + 1
    return [(most - late + 1) - early for early, late in zip(earliest, latest, strict=True)]


RULES: dict[str, Rank] = {
    "positional weight": _positional_weight,
    "longest time": lambda plain: plain.times,
    "most followers": _followers,
    "most followers that come right after": lambda plain: [len(after) for after in plain.followers],
    "soonest too late": _latest,
    "fewest posts to choose from": lambda plain: [-slack for slack in _slack(plain)],
    "average positional weight": lambda plain: [
        w / (f + 1) for w, f in zip(_positional_weight(plain), _followers(plain), strict=True)
    ],
    "longest time for how late it may be": lambda plain: [
        t * late for t, late in zip(plain.times, _latest(plain), strict=True)
    ],
    "most followers for the posts to choose from": lambda plain: [
        f / (max(0, s) + 1) for f, s in zip(_followers(plain), _slack(plain), strict=True)
    ],
}
"""The rules: for each element a number, the highest goes first."""


def by_rule(plain: Plain, rule: str) -> Posts:
    """Fill post after post: of the elements that can be done next and fit, take the one that the rule puts first; a tie goes to positional weight."""
    rank = RULES[rule](plain)
    order = sorted(range(len(plain)), key=lambda i: (-rank[i], i))
    posts: Posts = []
    done = 0
    waiting = order
    while waiting:
        room = plain.takt
        post: list[int] = []
        at = 0
        while at < len(waiting):
            i = waiting[at]
            if plain.times[i] <= room and not plain.before[i] & ~done:
                post.append(i)
                done |= 1 << i
                room -= plain.times[i]
                waiting = waiting[:at] + waiting[at + 1 :]
                at = 0
            else:
                at += 1
        posts.append(post)
    return posts


STEPS_AT_A_POST = 2000
"""After so many steps a post takes the fullest load that was found."""


def by_fullest_loads(plain: Plain) -> Posts:
    """Fill post after post with the load that leaves the least of it idle (Hoffmann 1963), found by going through the loads."""
    posts: Posts = []
    done, everything = 0, (1 << len(plain)) - 1
    while done != everything:
        load = _fullest(plain, done, everything & ~done)
        posts.append(list(members(load)))
        done |= load
    return posts


def _fullest(plain: Plain, done: int, left: int) -> int:
    best_room, best = plain.takt + 1, 0
    stack = [(0, plain.takt, left)]
    steps = 0
    while stack and best_room and steps < STEPS_AT_A_POST:
        load, room, free = stack.pop()
        while free:
            steps += 1
            low = free & -free
            i = low.bit_length() - 1
            free ^= low
            if plain.times[i] > room or plain.before[i] & ~(done | load):
                free &= ~plain.after[i]
                continue
            if plain.times[i]:
                stack.append((load, room, free & ~plain.after[i]))
            load |= low
            room -= plain.times[i]
        if room < best_room:
            best_room, best = room, load
    return best


def best_by_rules(plain: Plain, enough: int) -> tuple[Posts, str]:
    """The balance with the fewest posts of all rules from both ends, in the direction of `plain`, and in words which rule it is.

    Stops at `enough` posts. Takes well below a second for 300 elements.
    """
    best: Posts = []
    by = ""
    ways: dict[str, Callable[[Plain], Posts]] = {f"the rule of {rule}": partial(by_rule, rule=rule) for rule in RULES}
    ways["the fullest load at each post"] = by_fullest_loads
    for said, way in ways.items():
        for one in (plain, plain.turned):
            posts = way(one)
            if not best or len(posts) < len(best):
                best = plain.seen_from_here(one, posts)
                by = said + (" from the end of the work" if one.backward else "")
            if len(best) <= enough:
                return best, by
    return best, by
