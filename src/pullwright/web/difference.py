"""What is different between two texts, line by line, with a few lines around each place; bounded for texts of any size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from typing import Literal

from pullwright.web.pieces import Piece

AROUND = 3
MOST_COMPARED = 4_000
"""Lines that are compared one with another; of longer stretches only the ends that are alike are found."""
MOST_SHOWN = 1_000
LONGEST_LINE = 400

LineKind = Literal["same", "gone", "new"]


class DifferenceLine(Piece):
    """One line: in both texts, in the first one only (gone), or in the second one only (new), with its numbers there."""

    kind: LineKind
    before: int = 0
    after: int = 0
    text: str
    after_gap: bool = False


class TextDifference(Piece):
    """All differences: how many lines are gone and new, and the lines; `cut` when not all of them are shown."""

    gone: int
    new: int
    lines: tuple[DifferenceLine, ...]
    cut: bool = False


def difference_of(before: str, after: str) -> TextDifference:
    """Which lines are gone, and which are new?

    >>> found = difference_of("a\\nb\\nc\\n", "a\\nB\\nc\\n")
    >>> found.gone, found.new, [(line.kind, line.before, line.after, line.text) for line in found.lines]
    (1, 1, [('same', 1, 1, 'a'), ('gone', 2, 0, 'b'), ('new', 0, 2, 'B'), ('same', 3, 3, 'c')])
    """
    old, new = before.splitlines(), after.splitlines()
    found: list[DifferenceLine] = []
    gone = added = end = shift = 0
    for start, next_end, new_start, new_end in _changes(old, new):
        gone, added = gone + next_end - start, added + new_end - new_start
        if len(found) <= MOST_SHOWN:
            found += _between(old, end, start, new_start - start, first=not found)
            found += [_line("gone", old, number, before=number + 1) for number in range(start, next_end)]
            found += [_line("new", new, number, after=number + 1) for number in range(new_start, new_end)]
            end, shift = next_end, new_end - next_end
    if found:
        found += _same(old, shift, end, min(end + AROUND, len(old)))
    return TextDifference(gone=gone, new=added, lines=tuple(found[:MOST_SHOWN]), cut=len(found) > MOST_SHOWN)


def _between(old: Sequence[str], end: int, start: int, shift: int, *, first: bool) -> list[DifferenceLine]:
    """Give the lines between two changes, or the few after the one and before the other."""
    if not first and start - end <= 2 * AROUND:
        return _same(old, shift, end, start)
    behind = [] if first else _same(old, shift, end, end + AROUND)
    return behind + _same(old, shift, max(end, start - AROUND), start, gap=not first)


def _line(kind: LineKind, lines: Sequence[str], number: int, *, before: int = 0, after: int = 0) -> DifferenceLine:
    return DifferenceLine(kind=kind, before=before, after=after, text=_cut(lines[number]))


def _same(old: Sequence[str], shift: int, start: int, end: int, *, gap: bool = False) -> list[DifferenceLine]:
    return [
        DifferenceLine(
            kind="same",
            before=number + 1,
            after=number + 1 + shift,
            text=_cut(old[number]),
            after_gap=gap and number == start,
        )
        for number in range(start, end)
    ]


def _changes(old: Sequence[str], new: Sequence[str]) -> Iterator[tuple[int, int, int, int]]:
    """Give every stretch of the first text that is another one in the second, in order."""
    head = 0
    while head < min(len(old), len(new)) and old[head] == new[head]:
        head += 1
    tail = 0
    while tail < min(len(old), len(new)) - head and old[-1 - tail] == new[-1 - tail]:
        tail += 1
    inner, other = old[head : len(old) - tail], new[head : len(new) - tail]
    if not inner and not other:
        return
    if max(len(inner), len(other)) > MOST_COMPARED:
        yield head, head + len(inner), head, head + len(other)
        return
    for kind, start, end, new_start, new_end in SequenceMatcher(None, inner, other).get_opcodes():
        if kind != "equal":
            yield head + start, head + end, head + new_start, head + new_end


def _cut(line: str) -> str:
    return line if len(line) <= LONGEST_LINE else line[: LONGEST_LINE - 1] + "…"
