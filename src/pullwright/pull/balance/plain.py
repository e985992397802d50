"""The plain problem: elements in whole ticks, and sets of them as bits, ready to be searched from either end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil, floor, gcd

import numpy as np
from numpy.typing import NDArray

from pullwright.pull.balance.work import TICK, Work

Whole = NDArray[np.int64]
Bits = NDArray[np.uint64]

SLACK = 1e-6
"""Of a tick: what the sum of a few floats may be off by without being taken for more time."""


@dataclass(frozen=True)
class Plain:
    """Elements as numbers, in an order of work by falling positional weight (an element's time and that of all that comes after it).

    `takt` and `times` are whole ticks of `unit` seconds; `places` says where each element stands in `work.elements`. `before` and `after` hold
    for each element all that comes before and after it, as bits of a whole number. `given` (s): the takt that was asked
    for. `backward`: the work is looked at from its end.

    >>> from pullwright.pull.balance.work import Element, Work
    >>> plain = Plain.of(Work.of([Element("cut", 20.0), Element("glue", 30.0, after=("cut",))]), 50.0)
    >>> plain.takt, plain.times, plain.unit
    (5, (2, 3), 10.0)
    """

    work: Work
    takt: int
    unit: float
    times: tuple[int, ...]
    places: tuple[int, ...]
    before: tuple[int, ...]
    after: tuple[int, ...]
    given: float
    backward: bool = False

    @classmethod
    def of(cls, work: Work, takt: float) -> Plain:
        """Times are rounded up to whole ticks and the takt down, and both are counted in the greatest tick that all times share."""
        ticks = [ceil(element.time / TICK - SLACK) for element in work.elements]
        shared = gcd(*ticks) or 1
        times = [tick // shared for tick in ticks]
        return _numbered(
            work, floor(takt / TICK + SLACK) // shared, shared * TICK, times, work.arcs, takt, backward=False
        )

    def at(self, takt: int) -> Plain:
        """The same work with another takt (ticks)."""
        return self if takt == self.takt else replace(self, takt=takt, given=takt * self.unit)

    @cached_property
    def turned(self) -> Plain:
        """The same work seen from its other end: what came before comes after."""
        order = sorted(range(len(self)), key=lambda i: self.places[i])
        times = [self.times[i] for i in order]
        arcs = self.work.arcs if self.backward else [(after, before) for before, after in self.work.arcs]
        return _numbered(self.work, self.takt, self.unit, times, arcs, self.given, backward=not self.backward)

    def __len__(self) -> int:
        return len(self.times)

    @property
    def total(self) -> int:
        """All work of one piece (ticks)."""
        return sum(self.times)

    @cached_property
    def followers(self) -> tuple[tuple[int, ...], ...]:
        """For each element those that come right after it: without what follows by way of others."""
        return tuple(tuple(members(self._next(i))) for i in range(len(self)))

    def _next(self, i: int) -> int:
        rest = self.after[i]
        for j in members(self.after[i]):
            rest &= ~self.after[j]
        return rest

    @property
    def words(self) -> int:
        """How many words of 64 bits hold one bit for each element."""
        return max(1, -(-len(self) // 64))

    def bits(self, sets: Sequence[int]) -> Bits:
        """Sets as rows of words of 64 bits, as kernels take them."""
        data = b"".join(one.to_bytes(8 * self.words, "little") for one in sets)
        return np.frombuffer(data, np.dtype("<u8")).reshape(len(sets), self.words).astype(np.uint64)

    @cached_property
    def whole_times(self) -> Whole:
        """The times as an array."""
        return np.array(self.times, np.int64)

    @cached_property
    def table_after(self) -> NDArray[np.bool_]:
        """Who comes after whom: true at (i, j) where j comes after i."""
        rows = self.bits(self.after).view(np.uint8)
        return np.unpackbits(rows, axis=1, bitorder="little")[:, : len(self)].astype(bool)

    @cached_property
    def place_number(self) -> dict[int, int]:
        """The number of the element that stands at each place of the work."""
        return {place: i for i, place in enumerate(self.places)}

    def seen_from_here(self, other: Plain, posts: Sequence[Sequence[int]]) -> list[list[int]]:
        """Posts of numbers of `other` (the same work, perhaps from its other end) as posts of numbers of this one."""
        ordered = posts if other.backward == self.backward else posts[::-1]
        return [[self.place_number[other.places[i]] for i in post] for post in ordered]

    def names(self, posts: Sequence[Sequence[int]]) -> tuple[tuple[str, ...], ...]:
        """Posts of element numbers as posts of names, from where the work begins, each post in an order of work."""
        ordered = reversed(posts) if self.backward else posts
        return tuple(
            tuple(self.work.names[place] for place in sorted(self.places[i] for i in post)) for post in ordered
        )

    def numbers(self, posts: Sequence[Sequence[str]]) -> list[list[int]]:
        """Posts of names, from where the work begins, as posts of element numbers."""
        ordered = posts[::-1] if self.backward else posts
        return [[self.place_number[self.work.index[name]] for name in post] for post in ordered]


def members(bits: int) -> Iterator[int]:
    """The elements of a set, from the lowest number on."""
    while bits:
        low = bits & -bits
        yield low.bit_length() - 1
        bits ^= low


def _numbered(
    work: Work, takt: int, unit: float, times: Sequence[int], arcs: Sequence[tuple[int, int]], given: float, *, backward: bool
) -> Plain:  # fmt: skip
    n = len(times)
    following: list[list[int]] = [[] for _ in range(n)]
    for i, j in arcs:
        following[i].append(j)
    along = range(n) if backward else range(n - 1, -1, -1)  # Work stands in an order of work: from its last one on.
    after_at = [0] * n
    for i in along:
        for j in following[i]:
            after_at[i] |= 1 << j | after_at[j]
    weight = [times[i] + sum(times[j] for j in members(after_at[i])) for i in range(n)]
    places = sorted(range(n), key=lambda i: (-weight[i], -i if backward else i))
    number = {place: i for i, place in enumerate(places)}
    after = [sum(1 << number[j] for j in members(after_at[place])) for place in places]
    before_at = [0] * n
    for i in range(n):
        for j in members(after[i]):
            before_at[j] |= 1 << i
    return Plain(
        work,
        takt,
        unit,
        tuple(times[i] for i in places),
        tuple(places),
        tuple(before_at),
        tuple(after),
        given,
        backward,
    )
