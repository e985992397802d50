"""The fewest posts for a takt, with the work shared among them as evenly as can be."""

from __future__ import annotations

from dataclasses import replace
from time import monotonic

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.checked import checked
from pullwright.pull.balance.fewest import fewest_posts
from pullwright.pull.balance.plain import Plain, members
from pullwright.pull.balance.rules import Posts
from pullwright.pull.balance.shortest import Between
from pullwright.pull.balance.work import Work


def most_even(work: Work, takt: float, *, seconds: float = 60.0) -> Balance:
    """With the fewest posts that keep the takt, how is the work shared most evenly?

    `takt` (s), `seconds` of the clock. First the fewest posts; then, with so many, the shortest longest round (`takt_at_least` says how short it
    could be at best, `takt_proven` whether it is); then elements are moved and changed for one another as long as the squares of the rounds
    get less: the last of these is good, not proven. Errors as in `fewest_posts`.

    >>> from pullwright.pull.balance.work import Element, Work
    >>> work = Work.of([Element("cut", 30.0), Element("drill", 10.0), Element("glue", 20.0), Element("pack", 20.0)])
    >>> balance = most_even(work, 60.0)
    >>> balance.loads, balance.takt, balance.takt_at_least
    ((40.0, 40.0), 60.0, 40.0)
    """
    until = monotonic() + seconds
    fewest = fewest_posts(work, takt, seconds=seconds / 2)
    if len(fewest.posts) < 2:
        return replace(fewest, takt_at_least=fewest.longest)
    plain = Plain.of(work, takt)
    between = Between(plain, len(fewest.posts), plain.numbers(fewest.posts), fewest.by, until)
    between.close(until)
    posts = smoothed(plain.at(between.high), between.found)
    short = between.balance()
    evenly = tuple(f"As to the longest round: {reason}" for reason in short.reasons)
    names = plain.names([post for post in posts if post])
    return checked(
        replace(fewest, posts=names, reasons=(*fewest.reasons, *evenly), by=short.by, takt_at_least=short.takt_at_least)
    )


def smoothed(plain: Plain, posts: Posts) -> Posts:
    """Move elements, and change them for one another, as long as the sum of the squares of the rounds falls and no round is longer than the takt."""
    at = [0] * len(plain)
    for p, post in enumerate(posts):
        for i in post:
            at[i] = p
    loads = [sum(plain.times[i] for i in post) for post in posts]
    while _moved(plain, at, loads) or _changed(plain, at, loads):
        pass
    return [[i for i in range(len(plain)) if at[i] == p] for p in range(len(posts))]


def _moved(plain: Plain, at: list[int], loads: list[int]) -> bool:
    """Move one element to a post with less to do, where that makes the squares fall; was there one?"""
    for i, time in enumerate(plain.times):
        low, high = _reach(plain, at, i, len(loads))
        p = min(range(low, high + 1), key=lambda p: (loads[p], p))
        if time and loads[p] + time < loads[at[i]]:
            loads[at[i]] -= time
            loads[p] += time
            at[i] = p
            return True
    return False


def _changed(plain: Plain, at: list[int], loads: list[int]) -> bool:
    """Change two elements of two posts for one another, where that makes the squares fall; was there a pair?"""
    reach = [_reach(plain, at, i, len(loads)) for i in range(len(plain))]
    for i, time in enumerate(plain.times):
        for j, other in enumerate(plain.times):
            p, q = at[i], at[j]
            if other >= time or p == q or time - other >= loads[p] - loads[q]:
                continue
            tied = (plain.after[i] | plain.before[i]) >> j & 1
            if tied or not reach[i][0] <= q <= reach[i][1] or not reach[j][0] <= p <= reach[j][1]:
                continue
            loads[p] += other - time
            loads[q] += time - other
            at[i], at[j] = q, p
            return True
    return False


def _reach(plain: Plain, at: list[int], i: int, posts: int) -> tuple[int, int]:
    """The first and the last post where an element can be while all others stay."""
    low = max((at[j] for j in members(plain.before[i])), default=0)
    high = min((at[j] for j in members(plain.after[i])), default=posts - 1)
    return low, high
