"""The one check that every balance passes, whichever way it was made."""

from __future__ import annotations

from collections import Counter
from math import ceil, floor

from pullwright.pull.balance.balance import Balance
from pullwright.pull.balance.plain import SLACK
from pullwright.pull.balance.work import TICK


class WrongBalance(AssertionError):  # noqa: N818  (says what it is)
    """A balance that is none: a fault of the way it was made, never of what was asked."""


def checked(balance: Balance) -> Balance:
    """The same balance, when it is one.

    Every element stands at one post; nothing is done before what it comes after; no post has more work than the takt; no post is empty; the
    number that is said to be needed at least is not above those that there are. WrongBalance says what is wrong.
    """
    work = balance.work
    posts_of = Counter(name for post in balance.posts for name in post)
    for name in work.names:
        if posts_of[name] != 1:
            raise WrongBalance(f"element {name!r} stands {posts_of[name]} times, and must stand once")
    for name in posts_of:
        if name not in work.index:
            raise WrongBalance(f"there is no element {name!r}")
    order = {name: at for at, name in enumerate(name for post in balance.posts for name in post)}
    for element in work.elements:
        for before in element.after:
            if order[before] > order[element.name]:
                raise WrongBalance(f"{element.name!r} is done before {before!r}, which it comes after")
    ticks = {element.name: ceil(element.time / TICK - SLACK) for element in work.elements}
    takt = floor(balance.takt / TICK + SLACK)
    for at, post in enumerate(balance.posts, 1):
        if not post:
            raise WrongBalance(f"post {at} has nothing to do")
        if (load := sum(ticks[name] for name in post)) > takt:
            raise WrongBalance(f"post {at} has {load * TICK:g} s of work in a takt of {balance.takt:g} s")
    if balance.at_least > len(balance.posts):
        raise WrongBalance(
            f"{balance.at_least} posts are said to be needed at least, and here are {len(balance.posts)}"
        )
    return balance
