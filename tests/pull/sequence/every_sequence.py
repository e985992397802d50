"""All sequences of a small mix, one by one: what every quicker way is held against."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction


def every_sequence(counts: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Every order in which these counts can be made, each once."""
    if not any(counts):
        yield ()
    for i, left in enumerate(counts):
        if left:
            for rest in every_sequence([n - (k == i) for k, n in enumerate(counts)]):
                yield (i, *rest)


def unevenness(
    order: Sequence[int], uses: Sequence[Sequence[int]], ahead: Sequence[Fraction] | None = None
) -> Fraction:
    """The sum of the squared deviations, straight from its definition, in fractions."""
    items = range(len(uses[0]))
    start = ahead or [Fraction(0)] * len(uses[0])
    total = Fraction(0)
    for k in range(1, len(order) + 1):
        for j in items:
            come = start[j] + sum(uses[i][j] for i in order[:k])
            whole = start[j] + sum(uses[i][j] for i in order)
            total += (come - Fraction(k, len(order)) * whole) ** 2
    return total


def each_by_itself(products: int) -> list[list[int]]:
    """Uses that make every product an item of its own."""
    return [[int(i == j) for j in range(products)] for i in range(products)]
