"""Why not a shorter takt with so many posts? What adds up to it, which posts are full, and which wish makes it longer."""

from __future__ import annotations

from pullwright.pull.balance.at_a_glance import ruled_out
from pullwright.pull.balance.can_be import can_be
from pullwright.pull.balance.counted import counted
from pullwright.pull.balance.effort import Effort
from pullwright.pull.balance.hands import least_ticks, work_of_crews
from pullwright.pull.balance.rounds import Rounds, up
from pullwright.pull.balance.rounds_at_posts import WishedBalance
from pullwright.pull.balance.wishes import Wish, named, people, percent, posts
from pullwright.pull.balance.work import TICK

SEARCHED = "a search over all plans that keep the wishes found none"
"""What rules out a shorter takt where nothing adds up to it."""
SHORTER = 0.01
"""A wish makes the takt longer where without it one shorter by this share would do."""
_MOST_WISHES = 12
_NAMED = 3
"""So many elements of a post are named, the longest first."""


def why_so_long(balance: WishedBalance, effort: Effort) -> tuple[str, ...]:
    """Why does so many posts' takt have to be so long? For a balance of the shortest takt; sentence by sentence, the first says what is proven.

    >>> from pullwright.pull.balance.wishes import Conditions
    >>> from pullwright.pull.balance.with_conditions import shortest_takt
    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 20.0), Element("glue", 30.0, after=("cut",)), Element("pack", 10.0, after=("glue",))])
    >>> for sentence in shortest_takt(work, 3).reasons:
    ...     print(sentence)
    No takt below 30 s can be kept with 3 posts: 'glue' alone takes 30 s.
    The fullest is post 2: 'glue' (30 s).
    """
    rounds = Rounds(balance.work, balance.conditions)
    costs = longer_by_wishes(balance, rounds, effort) if balance.takt_proven else ()
    return (binding(balance, rounds), *fullest_posts(balance), *costs)


def binding(balance: WishedBalance, rounds: Rounds) -> str:
    """What is proven of the shortest takt, and what that rests on, in one sentence."""
    count = rounds.conditions.most or len(balance.posts)
    found, least = up(balance.takt), up(balance.takt_at_least or 0.0)
    said = f"No takt below {_s(least)} can be kept with {posts(count)}: {because(rounds, count, least)}."
    if least >= found:
        return said
    gap = 100 * (found - least) / found
    return f"{said} Between that and {_s(found)} the search did not come to an end: a gap of {gap:.2g} %."


def because(rounds: Rounds, count: int, least: int) -> str:
    """What rules out a takt (ticks) below this one with so many posts: by adding up where that does, else the search."""
    has, room = rounds.conditions, rounds.room(least)
    weights = least_ticks(rounds)
    full = "" if has.load is None else f", and no post is loaded above {percent(has.load)} of the takt"
    longest = max(range(len(weights)), key=weights.__getitem__)
    if weights[longest] >= room:
        return f"'{rounds.work.names[longest]}' alone takes {_s(weights[longest])}{full}"
    for work, number, crews in work_of_crews(rounds):
        if number and -(-work // number) >= room:
            who = named((has.crews[c].name for c in crews), "or")
            return f"{people(number)} of {who} have {_s(work)} of work that only they can do{full}"
    hands = count * has.people_at_a_post
    if -(-sum(weights) // hands) >= room:
        each = "" if has.people_at_a_post == 1 else f" with {people(has.people_at_a_post)} at each"
        return f"the work of a piece is {_s(sum(weights))}, to be shared among {posts(count)}{each}{full}"
    shorter = least - 1
    if shorter > 0:
        needed = [(bound, words) for bound, words in counted(rounds, shorter) if bound > count]
        if needed:
            bound, words = max(needed, key=lambda one: one[0])
            return f"with less, {posts(bound)} are needed: {words}"
    if ruled_out(rounds, shorter, count):
        return "with less, what has to be at one post does not fit there"
    return SEARCHED


def fullest_posts(balance: WishedBalance) -> tuple[str, ...]:
    """Which posts have no time left at the shortest takt, and what fills them? The sentence names one of them in full."""
    if not balance.rounds:
        return ()
    first = longest_post(balance)
    full = sum(one.length >= balance.rounds[first].length * (1 - 1e-6) for one in balance.rounds)
    others = f", and {full - 1} more as full" if full > 1 else ""
    return (f"The fullest is post {first + 1}: {filled_with(balance)}{others}.",)


def longest_post(balance: WishedBalance) -> int:
    """Which post (from 0) has the longest round? Of equals the first."""
    return max(range(len(balance.rounds)), key=lambda k: balance.rounds[k].length)


def filled_with(balance: WishedBalance) -> str:
    """What fills the first of the fullest posts: its longest elements, with their times."""
    one = balance.rounds[longest_post(balance)]
    times = {element.name: element.time for element in balance.work.elements}
    by_time = sorted(one.elements, key=lambda name: -times[name])
    filled = [f"'{name}' ({times[name]:.4g} s)" for name in by_time[:_NAMED]]
    if len(by_time) > _NAMED:
        filled.append(f"{len(by_time) - _NAMED} more ({sum(times[name] for name in by_time[_NAMED:]):.4g} s)")
    filled += [
        f"{words} ({time:.4g} s)"
        for words, time in (("walking", one.walking), ("kept free", one.kept_free))
        if time > TICK
    ]
    return ", ".join(filled)


def longer_by_wishes(balance: WishedBalance, rounds: Rounds, effort: Effort) -> tuple[str, ...]:
    """Without which wish would a takt do that is shorter by a hundredth or more?"""
    has, work = rounds.conditions, rounds.work
    count = has.most or len(balance.posts)
    shorter = int(up(balance.takt) * (1 - SHORTER))
    wishes = [wish for wish in has.wishes(work) if wish.kind != "most"]
    if shorter < 1 or not wishes or len(wishes) > _MOST_WISHES:
        return ()

    def would_do(dropped: list[Wish]) -> bool:
        return can_be(Rounds(work, has.without(dropped)), shorter, count, effort) is True

    if not would_do(wishes):
        return ()
    alone = [wish for wish in wishes if would_do([wish])]
    if not alone:
        return ()
    one_of = "the wish that" if len(alone) == 1 else f"any one of these {len(alone)} wishes, that"
    takt = f"a takt of {shorter * TICK:.4g} s or less would do"
    return (f"Without {one_of} {'; that '.join(wish.words for wish in alone)}, {takt}.",)


def _s(ticks: int) -> str:
    return f"{ticks * TICK:.6g} s"
