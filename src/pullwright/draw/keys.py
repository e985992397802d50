"""Numbered keys along a bar or ribbon whose pieces are too narrow for words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.draw.ink import PENCIL, SMALL
from pullwright.draw.lettering import Row, Run
from pullwright.draw.letters import width_of

_GAP = 5.0


@dataclass(frozen=True, slots=True)
class Key:
    """Numbers `first` to `last` written around `middle`, for pieces that lie between `left` and `right`."""

    first: int
    last: int
    left: float
    right: float
    middle: float

    @property
    def text(self) -> str:
        """ "4" or "4–9"."""
        return str(self.first) if self.first == self.last else f"{self.first}–{self.last}"

    @property
    def row(self) -> Row:
        """The key as a line of text."""
        return Row((Run(self.text, PENCIL),), SMALL)


def place_keys(pieces: Sequence[tuple[int, float, float]], left: float, right: float) -> tuple[Key, ...]:
    """Where do the keys stand so that none overlaps another?

    Parameters: pieces (number, left edge, right edge) from left to right; left and right edge of the room for keys.
    Result: the keys from left to right; neighbours that would overlap are written as a range.

    >>> [key.text for key in place_keys([(1, 0, 40), (2, 40, 41), (3, 41, 42), (4, 90, 100)], 0, 100)]
    ['1', '2–3', '4']
    """
    placed: list[Key] = []
    for number, begin, end in pieces:
        key = _key(number, number, begin, end, left, right)
        while placed and _right(placed[-1]) + _GAP > _left(key):
            before = placed.pop()
            key = _key(before.first, key.last, before.left, key.right, left, right)
        placed.append(key)
    return tuple(placed)


def _key(first: int, last: int, begin: float, end: float, left: float, right: float) -> Key:
    half = width_of(str(first) if first == last else f"{first}–{last}", SMALL) / 2
    middle = min(max((begin + end) / 2, left + half), right - half)
    return Key(first, last, begin, end, middle)


def _left(key: Key) -> float:
    return key.middle - key.row.width / 2


def _right(key: Key) -> float:
    return key.middle + key.row.width / 2
