"""What is wrong in a line file: every fault at once, each with its place, what was read, what is allowed, the likely slip."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

PathStep = str | int
Path = tuple[PathStep, ...]


def path_words(path: Path) -> str:
    """Say a path as a person would look for it.

    >>> path_words(("steps", 3, "elements", 0, "machine"))
    'steps[4].elements[1].machine'
    """
    words = ""
    for step in path:
        words += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if words else step
    return words or "the file"


def likely_slip(read: str, allowed: Iterable[str]) -> str:
    """Name the allowed word that was probably meant, as a hint in words; empty where none is near.

    >>> likely_slip("honning", ["honing", "turning"])
    'did you mean honing?'
    """
    words = list(allowed)
    folded = {word.casefold(): word for word in words}
    near = difflib.get_close_matches(read.casefold(), list(folded), n=1, cutoff=0.6)
    return f"did you mean {folded[near[0]]}?" if near else ""


def listed(names: Iterable[str], most: int = 12) -> str:
    """Put names into one readable list, cut where it grows long.

    >>> listed(["saw", "turn", "hone"])
    'saw, turn, hone'
    """
    all_names = list(names)
    shown = ", ".join(all_names[:most])
    return f"{shown} and {len(all_names) - most} more" if len(all_names) > most else shown


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a line file.

    `line` and `column` count from 1 (0 where the whole file is meant); `field` is the path in words.
    """

    line: int
    column: int
    field: str
    read: str
    allowed: str
    hint: str = ""
    message: str = ""

    def __str__(self) -> str:
        said = self.message or f"read {self.read!r}; allowed: {self.allowed}"
        place = f"line {self.line}, column {self.column}: " if self.line else ""
        return f"{place}{self.field}: {said}" + (f" ({self.hint})" if self.hint and self.hint not in said else "")

    def as_dict(self) -> dict[str, str | int]:
        """Give the fault as plain values for JSON."""
        return {
            "line": self.line,
            "column": self.column,
            "field": self.field,
            "read": self.read,
            "allowed": self.allowed,
            "hint": self.hint,
            "message": self.message,
        }


class LineFileError(ValueError):
    """A line file that cannot be read: `faults` holds every fault found, in the order of the file."""

    def __init__(self, name: str, faults: Iterable[Fault]) -> None:
        self.name = name
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.line, fault.column, fault.field)))
        count = len(self.faults)
        lines = "\n".join(f"  {fault}" for fault in self.faults)
        super().__init__(f"{name}: {count} {'fault' if count == 1 else 'faults'}\n{lines}")


def shown(read: object, most: int = 60) -> str:
    """Show a value that was read, short enough for one line of a message."""
    match read:
        case None:
            return "nothing"
        case bool():
            return "yes" if read else "no"
        case str():
            text = " ".join(read.split())
        case dict():
            text = "{" + ", ".join(f"{key}: …" for key in list(read)[:4]) + "}"
        case list() | tuple():
            text = f"a list of {len(read)}"
        case _:
            text = str(read)
    return text if len(text) <= most else text[: most - 1] + "…"
