"""What cannot be a time study: one error for one thing said, and one for a file with all its faults at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

MOST_FAULTS = 200
"""So many faults of one file are listed; more of them help nobody."""


class StudyError(ValueError):
    """Something that was said of a study cannot be understood.

    `read` is what was read, `problem` what is wrong with it, `allowed` what may stand there, `todo` what to do about it.

    >>> print(StudyError("rating 7", "is no rating", "0.2 to 2, or 20 to 200", "write 70 for slow work"))
    rating 7 is no rating (allowed: 0.2 to 2, or 20 to 200); write 70 for slow work
    """

    def __init__(self, read: str, problem: str, allowed: str, todo: str = "") -> None:
        self.read, self.problem, self.allowed, self.todo = read, problem, allowed, todo
        said = f"{read} {problem} (allowed: {allowed})"
        super().__init__(f"{said}; {todo}" if todo else said)

    def __reduce__(self) -> tuple[type[StudyError], tuple[str, ...]]:
        return type(self), (self.read, self.problem, self.allowed, self.todo)


@dataclass(frozen=True, slots=True)
class FileFault:
    """One thing wrong in a study's file; `row` and `column` count from 1, `column` 0 where the whole row is meant."""

    row: int
    column: int
    name: str
    read: str
    problem: str
    allowed: str
    todo: str = ""

    def __str__(self) -> str:
        column = f", column {self.column}" if self.column else ""
        name = f" ({self.name})" if self.name else ""
        todo = f"; {self.todo}" if self.todo else ""
        return f"row {self.row}{column}{name}: {self.read} {self.problem} (allowed: {self.allowed}){todo}"

    def as_dict(self) -> dict[str, str | int]:
        """The fault as plain values for JSON."""
        return {
            "row": self.row,
            "column": self.column,
            "name": self.name,
            "read": self.read,
            "problem": self.problem,
            "allowed": self.allowed,
            "todo": self.todo,
        }


class StudyFileError(StudyError):
    """A study's file that cannot be read: `faults` holds every fault, in the order of the file."""

    def __init__(self, name: str, faults: Iterable[FileFault]) -> None:
        found = sorted(faults, key=lambda fault: (fault.row, fault.column))
        self.name = name
        self.faults, self.more = tuple(found[:MOST_FAULTS]), max(0, len(found) - MOST_FAULTS)
        first = found[0]
        super().__init__(first.read, first.problem, first.allowed, first.todo)
        lines = [
            f"{name}: {len(found):,} {'fault' if len(found) == 1 else 'faults'}",
            *(f"  {fault}" for fault in self.faults),
        ]
        if self.more:
            lines.append(f"  and {self.more:,} more that are not listed")
        self.args = ("\n".join(lines),)

    def __reduce__(self) -> tuple[type[StudyFileError], tuple[str, tuple[FileFault, ...]]]:  # type: ignore[override]
        return type(self), (self.name, self.faults)
