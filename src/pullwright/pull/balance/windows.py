"""Windows: before which post an element cannot be done, and after which one it is too late."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pullwright.pull.balance.feasible_functions import NewTimes
from pullwright.pull.balance.plain import Plain, Whole, members


def tails_of(
    plain: Plain, functions: tuple[NewTimes, ...] = (), posts_at_least: Whole | None = None
) -> tuple[Whole, Whole]:
    """What is needed after each element at least: ticks, and posts after its own.

    All that follows an element is done one after the other, longest tail first (one machine with tails: Jackson 1955), no element is cut by the
    end of a post (Johnson 1988; Scholl 1999, chapter 2.2.2.1), and it needs as many posts as its `functions` say. `posts_at_least`: posts after
    each element's own that are known to be needed.
    """
    n, takt = len(plain), plain.takt
    tails = [0] * n
    posts = [0] * n
    in_posts = np.ones(n, np.int64) if posts_at_least is None else posts_at_least + 1
    with_self = plain.table_after | np.eye(n, dtype=bool)
    for new in functions:
        in_posts = np.maximum(in_posts, -(-(with_self @ new.times) // new.room))
    for i in range(n - 1, -1, -1):
        done = tail = 0
        for j in sorted(members(plain.after[i]), key=lambda j: -tails[j]):
            done += plain.times[j]
            tail = max(tail, done + tails[j])
        later = max(-(-(tail + plain.times[i]) // takt) - 1, int(in_posts[i]) - 1, 0)
        tails[i], posts[i] = max(tail, later * takt), later
    return np.array(tails, np.int64), np.array(posts, np.int64)


@dataclass(frozen=True, eq=False)
class Overfull:
    """Elements that can only be done at the posts from `first` to `last` (from 0 on) and do not fit there, counted as `new` says."""

    elements: Whole
    first: int
    last: int
    new: NewTimes


@dataclass(frozen=True)
class TooLong:
    """An element with so many posts needed before and after its own that there are not enough."""

    element: int
    before: int
    after: int


@dataclass(frozen=True, eq=False)
class Windows:
    """The first and the last post (from 0 on) of each element; `clash`: what shows that there are too few posts, None where nothing does."""

    first: Whole
    last: Whole
    clash: Overfull | TooLong | None = None


def windows_of(plain: Plain, posts: int, functions: tuple[NewTimes, ...]) -> Windows:
    """Where each element can be done if there are at most so many posts, or why they are too few (destructive improvement: Klein & Scholl 1999).

    From both ends: what comes before and after needs room. Then, again and again: elements that have to be done within some posts fill them,
    and push others out of these.
    """
    turned = plain.turned
    there = np.array([turned.place_number[place] for place in plain.places], np.int64)
    back = np.argsort(there)
    turned_functions = tuple(NewTimes(new.times[back], new.room, new.says) for new in functions)
    heads = tails_of(turned, turned_functions)[1][there]
    after = tails_of(plain, functions)[1]
    while True:
        first, last = heads, posts - 1 - after
        if (late := np.nonzero(first > last)[0]).size:
            i = int(late[0])
            return Windows(first, last, TooLong(i, int(heads[i]), int(after[i])))
        for new in functions:
            first, last, overfull = _pushed(posts, new, first, last)
            if overfull is not None:
                return Windows(first, last, overfull)
        later = np.maximum(first, tails_of(turned, turned_functions, first[back])[1][there])
        sooner = np.maximum(posts - 1 - last, tails_of(plain, functions, posts - 1 - last)[1])
        if (later == heads).all() and (sooner == after).all():
            return Windows(first, last)
        heads, after = later, sooner


def _pushed(posts: int, new: NewTimes, first: Whole, last: Whole) -> tuple[Whole, Whole, Overfull | None]:
    """Windows after each element has been pushed out of posts that others fill."""
    inside = np.zeros((posts, posts), np.int64)
    np.add.at(inside, (first, last), new.times)
    inside = np.cumsum(
        np.cumsum(inside[::-1], axis=0)[::-1], axis=1
    )  # Of those that cannot leave the posts from a to b.
    at = np.arange(posts)
    length = at[None, :] - at[:, None] + 1
    free = np.where(length > 0, length * new.room - inside, np.iinfo(np.int64).max)
    if (free < 0).any():
        a, b = min(np.argwhere(free < 0).tolist(), key=lambda ends: ends[1] - ends[0])
        within = (first >= a) & (last <= b) & (new.times > 0)
        return first, last, Overfull(np.nonzero(within)[0], a, b, new)
    times = new.times[:, None]
    full_up_to = np.minimum.accumulate(free, axis=0)[first] < times
    full_up_to &= (at >= first[:, None]) & (at < last[:, None])
    full_from = np.minimum.accumulate(free[:, ::-1], axis=1)[:, ::-1].T[last] < times
    full_from &= (at > first[:, None]) & (at <= last[:, None])
    later = np.where(full_up_to.any(axis=1), posts - np.argmax(full_up_to[:, ::-1], axis=1), first)
    sooner = np.where(full_from.any(axis=1), np.argmax(full_from, axis=1) - 1, last)
    return later, sooner, None
