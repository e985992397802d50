"""Windows: before which post an element cannot be done, and after which one it is too late."""

from __future__ import annotations

import numpy as np

from pullwright.pull.balance.feasible_functions import NewTimes
from pullwright.pull.balance.plain import Plain, Whole, members


def tails_of(plain: Plain, functions: tuple[NewTimes, ...] = ()) -> tuple[Whole, Whole]:
    """What is needed after each element at least: ticks, and posts after its own.

    All that follows an element is done one after the other, longest tail first (one machine with tails: Jackson 1955), no element is cut by the
    end of a post (Johnson 1988; Scholl 1999, chapter 2.2.2.1), and it needs as many posts as its `functions` say.
    """
    n, takt = len(plain), plain.takt
    tails = [0] * n
    posts = [0] * n
    table = plain.table_after
    in_posts = np.zeros(n, np.int64)
    with_self = table | np.eye(n, dtype=bool)
    for new in functions:
        needed = -(-(with_self @ new.times) // new.room)
        in_posts = np.maximum(in_posts, needed)
    for i in range(n - 1, -1, -1):
        following = sorted(members(plain.after[i]), key=lambda j: -tails[j])
        done = tail = 0
        for j in following:
            done += plain.times[j]
            tail = max(tail, done + tails[j])
        later = max(-(-(tail + plain.times[i]) // takt) - 1, int(in_posts[i]) - 1, 0)
        tails[i], posts[i] = max(tail, later * takt), later
    return np.array(tails, np.int64), np.array(posts, np.int64)
