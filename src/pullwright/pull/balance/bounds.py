"""How many posts are needed at least, and which elements force it: arithmetic that needs no search."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.balance.feasible_functions import NewTimes, all_new_times, in_shares
from pullwright.pull.balance.plain import Plain
from pullwright.pull.balance.windows import Overfull, TooLong, tails_of, windows_of


@dataclass(frozen=True)
class Bound:
    """So many posts are needed at least; `says` in a sentence why fewer are not enough."""

    posts: int
    says: str


MOST_NAMES = 6
MOST_FUNCTIONS = 8
LONGEST_TAKT = 5_000_000
"""Up to so many ticks it is worked out how full a post can be at best."""


def fullest(plain: Plain) -> int:
    """The most ticks up to the takt that any elements add up to: no post can ever be fuller."""
    if plain.takt > LONGEST_TAKT or plain.total <= plain.takt:
        return max(1, min(plain.takt, plain.total))
    sums, mask = 1, (1 << plain.takt + 1) - 1
    for time in plain.times:
        sums |= sums << time & mask
    return sums.bit_length() - 1


def best_bound(plain: Plain, real: Plain) -> Bound:
    """The bound that asks for the most posts; among equals the one that is the easiest to say.

    `plain` is `real` with its takt lowered to what a post can be filled with at best. The bounds: all work over the takt; elements above half a
    post; above thirds (Johnson 1988); dual feasible functions (Fekete & Schepers 2001); windows, posts added till they do not clash.
    """
    functions = sharpest(plain)
    best = max(simple_bounds(plain, real), key=lambda bound: bound.posts)
    for bound in (best, _of_new_times(plain)):
        best = max(best, bound, key=lambda one: one.posts)
        while (clash := windows_of(plain, best.posts, functions).clash) is not None:
            best = Bound(best.posts + 1, _clash_said(plain, real, best.posts, clash))
    return best


def simple_bounds(plain: Plain, real: Plain) -> Iterator[Bound]:
    """Bounds that ask for the sizes of the elements alone; what is true of the takt is said of it, before what a post can be filled with at best."""
    total = plain.total
    yield Bound(1, "there is something to do")
    least = -(-total // real.takt)
    yield Bound(least, f"the work of one piece is {_s(real, total)}, and {_posts_have(least - 1, real.given)}")
    for one in (real, plain):
        room = "the takt" if one is real else f"the {_s(real, plain.takt)} that a post can be filled with at best"
        times = one.whole_times
        large, half = 2 * times > one.takt, 2 * times == one.takt
        said = f"{_these(plain, large)} more than half of {room} each, so no two of them share a post"
        if half.any():
            said += f"; {_these(plain, half)} half of it each, so no more than two of them share a post"
        yield Bound(in_shares(times, one.takt, 1).posts(), said)
        thirds = in_shares(times, one.takt, 2)
        yield Bound(
            thirds.posts(),
            f"{_these(plain, thirds.times > 0)} a third of {room} or more each: "
            "no three of those above a third share a post, and nothing of them fits beside one above two thirds",
        )
    full = -(-total // plain.takt)
    yield Bound(
        full,
        f"no elements add up to more than {_s(real, plain.takt)} within a takt of {_said(real.given)}; "
        f"the work of one piece is {_s(real, total)}, and {_posts_have(full - 1, plain.takt * real.unit)} of it",
    )


def _of_new_times(plain: Plain) -> Bound:
    best = max(all_new_times(plain.whole_times, plain.takt), key=lambda new: new.times.sum() / new.room)
    many = f"{_some_posts(best.posts() - 1)} of {_s(plain, plain.takt)}"
    return Bound(best.posts(), f"{_these(plain, best.times > 0)} too much room for {many}, {best.says}")


def sharpest(plain: Plain, most: int = MOST_FUNCTIONS) -> tuple[NewTimes, ...]:
    """The dual feasible functions that tell the most: of all elements, and of those that are left when the work nears its end or its beginning."""
    times = plain.whole_times
    every = list(all_new_times(times, plain.takt))
    posts_after = tails_of(plain)[1]
    groups = np.unique(
        [posts_after >= later for later in range(int(posts_after.max(initial=0)) + 1)]
        + [~(plain.table_after[i] | (np.arange(len(plain)) == i)) for i in range(len(plain))],
        axis=0,
    )
    shares = np.array([new.times / new.room for new in every]) @ groups.T.astype(np.float64)
    whole = np.ceil(shares - 1e-9)
    chosen = [0]
    while len(chosen) < most:
        gain = np.maximum(whole - whole[chosen].max(axis=0), 0).sum(axis=1)
        gain += 1e-3 * np.maximum(shares - shares[chosen].max(axis=0), 0).sum(axis=1)
        if gain.max() <= 1e-6:
            break
        chosen.append(int(gain.argmax()))
    return tuple(every[at] for at in chosen)


def _clash_said(plain: Plain, real: Plain, posts: int, clash: Overfull | TooLong) -> str:
    if isinstance(clash, TooLong):
        return _too_long_said(plain, clash)
    where = (
        f"post {clash.first + 1}" if clash.first == clash.last else f"the posts {clash.first + 1} to {clash.last + 1}"
    )
    number = clash.last - clash.first + 1
    within = np.zeros(len(plain), bool)
    within[clash.elements] = True
    start = f"with {_some_posts(posts)}, what comes before and after leaves only {where} to {_names(plain, within)}"
    if clash.new.room == plain.takt and (clash.new.times == plain.whole_times).all():
        needed = int(plain.whole_times[clash.elements].sum())
        return f"{start}: {_s(real, needed)} of work, short by {_s(real, needed - number * plain.takt)}"
    return (
        f"{start}: {len(clash.elements)} elements that need {clash.new.posts(clash.elements)} posts, {clash.new.says}"
    )


def _too_long_said(plain: Plain, clash: TooLong) -> str:
    name = plain.work.names[plain.places[clash.element]]
    after = plain.table_after[clash.element]
    before = plain.table_after[:, clash.element]
    parts = []
    if clash.before:
        parts.append(f"after {_names(plain, before)}, which need {_some_posts(clash.before)} in front of its own")
    if clash.after:
        parts.append(f"before {_names(plain, after)}, which need {_some_posts(clash.after)} behind its own")
    return f"{name} comes {', and '.join(parts)}, so {_some_posts(clash.before + 1 + clash.after)} in all"


def _these(plain: Plain, chosen: NDArray[np.bool_]) -> str:
    many = int(chosen.sum())
    return f"{_names(plain, chosen)} ({many} elements) take" if many != 1 else f"{_names(plain, chosen)} takes"


def _names(plain: Plain, chosen: Iterable[bool]) -> str:
    names = sorted((place, plain.work.names[place]) for place, one in zip(plain.places, chosen, strict=True) if one)
    said = [name for _, name in names]
    if len(said) > MOST_NAMES:
        return ", ".join(said[: MOST_NAMES - 1]) + f" and {len(said) - MOST_NAMES + 1} more"
    return ", ".join(said[:-1]) + (" and " if len(said) > 1 else "") + (said[-1] if said else "nothing")


def _some_posts(posts: int) -> str:
    return "1 post" if posts == 1 else f"{posts} posts"


def _posts_have(posts: int, takt: float) -> str:
    verb = "has" if posts == 1 else "have"
    return f"{_some_posts(posts)} of {_said(takt)} {verb} {_said(posts * takt)}"


def _s(real: Plain, ticks: int) -> str:
    return _said(ticks * real.unit)


def _said(seconds: float) -> str:
    return f"{round(seconds, 3):.12g} s"
