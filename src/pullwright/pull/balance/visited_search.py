"""The search post by post that remembers the sets of elements it has visited: branch, bound and remember.

Source: Sewell & Jacobson 2012, "A branch, bound, and remember algorithm for the simple assembly line balancing problem"; Morrison, Sewell &
Jacobson 2014, "An application of the branch, bound, and remember algorithm to a new simple assembly line balancing dataset" (both from
memory); the rule about who may take whose place is Jackson's 1956.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.balance import visited_kernel as kernel
from pullwright.pull.balance.feasible_functions import NewTimes
from pullwright.pull.balance.plain import Plain, members
from pullwright.pull.balance.windows import tails_of
from pullwright.pull.balance.work import Element, Work

FIRST_ROOM = 1 << 15
FIRST_LOADS = 100
"""So many loads of one part-plan are made at first; those that have more are looked at again when nothing else is left."""
PATIENCE = 12
"""How many times more loads each time."""


class VisitedSearch:
    """A search for balances with at most so many posts, which goes on where it stopped.

    `plain` is searched from its beginning (`plain.turned` searches from the end). `target`: it looks for at most so many posts, and for fewer
    each time that it finds some. `at_least`: so many are needed anyhow. `most_nodes`: the most part-plans that are kept.
    """

    def __init__(
        self,
        plain: Plain,
        target: int,
        at_least: int,
        functions: tuple[NewTimes, ...] = (),
        most_nodes: int = 6_000_000,
    ) -> None:
        self.plain, self.most_nodes = plain, most_nodes
        self.exhausted = self.full = False
        self._state = np.zeros(kernel.STATE_SIZE, np.int64)
        self._state[[kernel.TARGET, kernel.BEST, kernel.FLOOR, kernel.MOST_LOADS]] = target, -1, at_least, FIRST_LOADS
        tails, posts_after = tails_of(plain, functions)
        sharp = [new for new in functions if new.room != plain.takt or (new.times != plain.whole_times).any()]
        weights = np.array([new.times for new in sharp], np.int64).reshape(len(sharp), len(plain))
        self._problem: tuple[Any, ...] = (
            plain.takt, plain.whole_times, plain.bits(plain.before), plain.bits(plain.after), plain.bits(_rivals(plain)), tails, posts_after,
            np.argsort(-tails, kind="stable"), np.ascontiguousarray(weights.T), np.array([new.room for new in sharp], np.int64),
            *_marks(plain), plain.total,
        )  # fmt: skip
        n, words, deepest = len(plain), plain.words, int(posts_after.max()) + 1
        self._scratch: tuple[Any, ...] = (
            np.zeros((n + 2, words), np.uint64), np.zeros((n + 2, words), np.uint64), np.zeros((n + 2, 4), np.int64), np.zeros((7, words), np.uint64),
            np.zeros((len(sharp), deepest), np.int64), np.zeros((len(sharp), deepest), np.int64),
        )  # fmt: skip
        self._rows: list[NDArray[np.generic]] = [
            np.zeros((FIRST_ROOM, plain.words), np.uint64), np.full(FIRST_ROOM, -1, np.int32), np.zeros(FIRST_ROOM, np.int16), np.zeros(FIRST_ROOM, np.float64),
            np.full(FIRST_ROOM, -1, np.int32), np.full(FIRST_ROOM, -1, np.int32), np.zeros(FIRST_ROOM, np.int8),
        ]  # fmt: skip
        self._roots = np.full(target + 2, -1, np.int32)
        self._table = np.full(2 * FIRST_ROOM, -1, np.int32)
        self._state[kernel.NODES] = 1
        self._roots[0] = 0
        self._state[kernel.PUT_BACK] = 1

    @property
    def target(self) -> int:
        """It looks for at most so many posts."""
        return int(self._state[kernel.TARGET])

    @property
    def steps(self) -> int:
        """So many steps were gone."""
        return int(self._state[kernel.STEPS])

    @property
    def expanded(self) -> int:
        """So many part-plans were gone on from."""
        return int(self._state[kernel.EXPANDED])

    @property
    def kept(self) -> int:
        """So many part-plans were kept."""
        return int(self._state[kernel.NODES])

    @property
    def over(self) -> bool:
        """Is there nothing left to do: proven, nothing left to look at, or no room for more?"""
        return self.exhausted or self.full or self.target < self._state[kernel.FLOOR]

    def lower_target(self, target: int) -> None:
        """Somebody else has found a balance: look for at most so many posts."""
        self._state[kernel.TARGET] = min(self.target, target)

    def go_on(self, steps: int) -> None:
        """Go on for so many steps more, or till it is over."""
        compiled: Any = kernel.search  # The checker of types does not count what stands behind a star.
        until = self.steps + steps
        while not self.over and self.steps < until:
            left = until - self.steps
            compiled(*self._problem, *self._scratch, *self._rows, self._roots, self._table, self._state, left)
            reason = self._state[kernel.REASON]
            if reason == kernel.EXHAUSTED:
                self._look_again()
            elif reason == kernel.NEEDS_ROOM:
                self._grow()

    def _look_again(self) -> None:
        if not self._state[kernel.CUTS]:
            self.exhausted = True
            return
        self._state[kernel.MOST_LOADS] *= PATIENCE
        self._state[kernel.PUT_BACK] = 2

    def _grow(self) -> None:
        room = len(self._rows[0])
        wanted = max(2 * room, room + int(self._state[kernel.MOST_LOADS]) + 1)
        if wanted > self.most_nodes:
            wanted = self.most_nodes
        if wanted < self.kept + self._state[kernel.MOST_LOADS] + 1:
            self.full = True
            return
        for at, rows in enumerate(self._rows):
            grown = np.empty((wanted, *rows.shape[1:]), rows.dtype)
            grown[:room] = rows
            self._rows[at] = grown
        size = len(self._table)
        while size < 2 * wanted:
            size *= 2
        self._table = np.full(size, -1, np.int32)
        self._state[kernel.PUT_BACK] = max(1, int(self._state[kernel.PUT_BACK]))

    def found(self) -> list[list[int]] | None:
        """The best balance that this search found: numbers of elements post by post, in the direction of `plain`; None where it found none."""
        node = int(self._state[kernel.BEST])
        if node < 0:
            return None
        sets, parent = self._rows[0], self._rows[1]
        posts = []
        while (earlier := int(parent[node])) >= 0:
            words = sets[node] & ~sets[earlier]
            posts.append(list(members(int.from_bytes(words.astype("<u8").tobytes(), "little"))))
            node = earlier
        return posts[::-1]


@cache
def made_ready() -> None:
    """Let the compiler make the search, once in a process, so that it does not take from the seconds of whoever asks."""
    VisitedSearch(Plain.of(Work.of([Element("one", 1.0)]), 1.0), 1, 0).go_on(1)


def _rivals(plain: Plain) -> list[int]:
    """For each element those that may take its place: as long or longer, and waited for by all that wait for it, and by no fewer."""
    after = plain.table_after.astype(np.float32)
    times, number = plain.whole_times, np.arange(len(plain))
    shared = after @ after.T
    many = after.sum(axis=1)
    waited_for = shared == many[:, None]  # All that waits for the one waits for the other too.
    as_long = times[None, :] >= times[:, None]
    alike = waited_for & waited_for.T & (times[None, :] == times[:, None])
    may = waited_for & as_long & (~alike | (number[None, :] < number[:, None]))
    return [int.from_bytes(np.packbits(row, bitorder="little").tobytes(), "little") for row in may]


def _marks(plain: Plain) -> tuple[NDArray[np.uint64], NDArray[np.uint64], NDArray[np.int64], NDArray[np.uint64]]:
    """All elements; those that others wait for; times from the shortest on; and the so many shortest elements, from none to all."""
    everything = plain.bits([(1 << len(plain)) - 1])[0]
    leading = plain.bits([sum(1 << i for i, after in enumerate(plain.after) if after)])[0]
    by_time = sorted(range(len(plain)), key=lambda i: plain.times[i])
    shortest = [0]
    for i in by_time:
        shortest.append(shortest[-1] | 1 << i)
    return everything, leading, plain.whole_times[by_time], plain.bits(shortest)
