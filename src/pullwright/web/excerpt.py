"""The lines around each fault in a typed text, so that an error can be linked to its line without any script."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pullwright.web.pieces import TextFault

AROUND = 2
LONGEST_LINE = 160
MOST_FAULTS = 50


@dataclass(frozen=True, slots=True)
class NumberedLine:
    """One line of the text with its number; `faulty` when a fault stands in it, `after_gap` when lines were left out."""

    number: int
    text: str
    faulty: bool
    after_gap: bool


def excerpt(text: str, faults: Sequence[TextFault]) -> tuple[NumberedLine, ...]:
    """Return the lines with faults and the ones around them; long lines are cut.

    >>> [line.number for line in excerpt("a\\nb\\nc\\nd\\ne\\nf", [TextFault(line=1), TextFault(line=6)])]
    [1, 2, 3, 4, 5, 6]
    """
    lines = text.split("\n")
    faulty = {fault.line for fault in faults[:MOST_FAULTS] if 1 <= fault.line <= len(lines)}
    near = sorted({number for at in faulty for number in range(max(1, at - AROUND), min(len(lines), at + AROUND) + 1)})
    return tuple(
        NumberedLine(number, _cut(lines[number - 1]), number in faulty, index > 0 and near[index - 1] != number - 1)
        for index, number in enumerate(near)
    )


def _cut(line: str) -> str:
    return line if len(line) <= LONGEST_LINE else line[: LONGEST_LINE - 1] + "…"
