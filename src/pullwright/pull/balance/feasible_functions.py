"""Dual feasible functions: other times for the elements, such that whatever fits into a post still fits into it.

If the new times of all elements need so many posts, so do the real ones; and since a large element may count for more than its own time, the
new times often need more posts. Sources: Lueker 1983 for the idea; Fekete & Schepers 2001, "New classes of fast lower bounds for bin packing
problems", for the classes; Martello & Toth 1990, chapter 8, for the bound that `large_only` stands for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from pullwright.pull.balance.plain import Whole


@dataclass(frozen=True, eq=False)
class NewTimes:
    """Times of the elements (whole numbers) in a post of `room`; `says`: how they were made, in words that end a sentence."""

    times: Whole
    room: int
    says: str

    def posts(self, chosen: Whole | slice = slice(None)) -> int:
        """How many posts the chosen elements need at least."""
        return -(-int(self.times[chosen].sum()) // self.room)


def as_they_are(times: Whole, takt: int) -> NewTimes:
    """The times themselves."""
    return NewTimes(times, takt, "counted with their times")


def in_shares(times: Whole, takt: int, k: int) -> NewTimes:
    """How many k + 1-ths of a post each element takes more than, in k-ths: with k = 1 the elements above half a post, with k = 2 thirds."""
    parts = (k + 1) * times
    new = np.where(parts % takt == 0, k * times, parts // takt * takt)
    return NewTimes(new, k * takt, f"counted in parts of 1/{k + 1} of a post")


def large_only(times: Whole, takt: int, small: int) -> NewTimes:
    """Elements below `small` are left out, and those that leave less than `small` have a post for themselves."""
    return NewTimes(_large(times, takt, small), takt, "without the small ones that fit beside them")


def _large(times: Whole, takt: int, small: int) -> Whole:
    return np.where(times > takt - small, takt, np.where(times >= small, times, 0))


def by_what_fits_beside(times: Whole, takt: int, small: int) -> NewTimes:
    """A large element counts for all of the post but for the elements of `small` that fit beside it."""
    whole = takt // small
    new = np.where(2 * times > takt, whole - (takt - times) // small, np.where(times >= small, 1, 0))
    return NewTimes(new.astype(np.int64), whole, "each large one counted with what cannot fit beside it")


def all_new_times(times: Whole, takt: int) -> Iterator[NewTimes]:
    """Every function of the table for every size at which it changes."""
    yield as_they_are(times, takt)
    for k in range(1, MOST_PARTS):
        yield in_shares(times, takt, k)
    sizes = sorted({int(t) for t in times if 0 < 2 * t <= takt})
    for small in sizes:
        for kind in BY_SIZE:
            yield kind(times, takt, small)
        cleared = _large(times, takt, small)
        for k in range(1, MOST_PARTS_OF_LARGE):
            yield in_shares(cleared, takt, k)


MOST_PARTS = 12
MOST_PARTS_OF_LARGE = 6
BY_SIZE: tuple[Callable[[Whole, int, int], NewTimes], ...] = (large_only, by_what_fits_beside)
