"""Lettered keys along a bar or ribbon whose pieces are too narrow for words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.draw.axis import branch_letter
from pullwright.draw.ink import PENCIL, SMALL
from pullwright.draw.lettering import Row, Run

_GAP = 5.0


@dataclass(frozen=True, slots=True)
class Key:
    """Letters `first` to `last` written around `middle`, for pieces that lie between `left` and `right`."""

    first: int
    last: int
    left: float
    right: float
    middle: float
    marked: bool = False

    @property
    def text(self) -> str:
        """ "d" or "d–i"."""
        return _written(self.first, self.last)

    @property
    def row(self) -> Row:
        """The key as a line of text."""
        return _row(self.first, self.last, self.marked)


def place_keys(
    pieces: Sequence[tuple[int, float, float]], left: float, right: float, marked: frozenset[int] = frozenset()
) -> tuple[Key, ...]:
    """Where do the keys stand so that none overlaps another?

    Parameters: pieces (number, left edge, right edge) from left to right; left and right edge of the room for keys; numbers of
    the pieces that get the look-here mark.
    Result: the keys from left to right; neighbours that would overlap are written as a range.

    >>> [key.text for key in place_keys([(1, 0, 40), (2, 40, 41), (3, 41, 42), (4, 90, 100)], 0, 100)]
    ['a', 'b–c', 'd']
    """
    placed: list[Key] = []
    for number, begin, end in pieces:
        key = _key(number, number, begin, end, (left, right), number in marked)
        while placed and _right(placed[-1]) + _GAP > _left(key):
            before = placed.pop()
            key = _key(before.first, key.last, before.left, key.right, (left, right), before.marked or key.marked)
        placed.append(key)
    return tuple(placed)


def _key(first: int, last: int, begin: float, end: float, room: tuple[float, float], marked: bool) -> Key:
    half = _row(first, last, marked).width / 2
    middle = min(max((begin + end) / 2, room[0] + half), room[1] - half)
    return Key(first, last, begin, end, middle, marked)


def _row(first: int, last: int, marked: bool) -> Row:
    return Row((Run(_written(first, last), PENCIL),), SMALL, indent=marked, mark=marked)


def letters_for(number: int) -> str:
    """The letters of the n-th key: a to z, aa, ab ... Letters, because stations have the numbers.

    >>> letters_for(1), letters_for(26), letters_for(27)
    ('a', 'z', 'aa')
    """
    return branch_letter(number).lower()


def _written(first: int, last: int) -> str:
    return letters_for(first) if first == last else f"{letters_for(first)}–{letters_for(last)}"


def _left(key: Key) -> float:
    return key.middle - key.row.width / 2


def _right(key: Key) -> float:
    return key.middle + key.row.width / 2
