"""What is wrong in a line file: every fault at once, each with its place, what was read, what is allowed, the likely slip."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

PathStep = str | int
Path = tuple[PathStep, ...]

MOST_FAULTS = 200
"""So many faults of one file are listed; more of them help nobody."""

_LONGEST_COMPARED = 80


def path_words(path: Path) -> str:
    """Say a path as a person would look for it.

    >>> path_words(("steps", 3, "elements", 0, "machine"))
    'steps[4].elements[1].machine'
    """
    words = ""
    for step in path:
        word = f"[{step + 1}]" if isinstance(step, int) else shown(step, 40) or "''"
        words += word if isinstance(step, int) or not words else f".{word}"
    return words or "the file"


def likely_slip(read: str, allowed: Iterable[str]) -> str:
    """Name the allowed word that was probably meant, as a hint in words; empty where none is near.

    >>> likely_slip("honning", ["honing", "turning"])
    'did you mean honing?'
    """
    near = nearest(read, allowed)
    return f"did you mean {near}?" if near else ""


def nearest(read: str, allowed: Iterable[str]) -> str:
    """Name the allowed word that was probably meant; empty where none is near.

    >>> nearest("Honing", ["honing", "turning"]), nearest("paint", ["honing", "turning"])
    ('honing', '')
    """
    wanted = read[:_LONGEST_COMPARED].casefold()
    folded = {word.casefold(): word for word in allowed}
    if wanted in folded:
        return folded[wanted]
    # Words of very different length cannot be near; leaving them out keeps long lists quick.
    like = [word for word in folded if 0.4 * len(wanted) <= len(word) <= 2.4 * len(wanted)]
    near = difflib.get_close_matches(wanted, like, n=1, cutoff=0.6)
    return folded[near[0]] if near else ""


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
    """A line file that cannot be read: `faults` holds every fault found, in the order of the file.

    The same fault of a value that is repeated with `*name` stands there once. Of more than MOST_FAULTS faults the first ones are
    listed, and `more` says how many are not.
    """

    def __init__(self, name: str, faults: Iterable[Fault]) -> None:
        self.name = name
        once: dict[tuple[object, ...], Fault] = {}
        for fault in sorted(faults, key=lambda fault: (fault.line, fault.column, fault.field)):
            once.setdefault((fault.line, fault.column, fault.read, fault.allowed), fault)
        found = tuple(once.values())
        self.faults, self.more = found[:MOST_FAULTS], max(0, len(found) - MOST_FAULTS)
        lines = [
            f"{name}: {len(found):,} {'fault' if len(found) == 1 else 'faults'}",
            *(f"  {fault}" for fault in self.faults),
        ]
        if self.more:
            lines.append(f"  and {self.more:,} more that are not listed")
        super().__init__("\n".join(lines))

    def __reduce__(self) -> tuple[type[LineFileError], tuple[str, tuple[Fault, ...]]]:
        return type(self), (self.name, self.faults)


def shown(read: object, most: int = 60) -> str:
    """Show a value that was read, short enough for one line of a message, with nothing in it that a screen would not show.

    >>> shown("hone\\n  bore"), shown(None), shown(["saw", "hone"]), shown("a\\x07b")
    ('hone bore', 'nothing', 'a list of 2', 'a\\\\x07b')
    """
    match read:
        case None:
            return "nothing"
        case bool():
            return "yes" if read else "no"
        case str():
            text = " ".join(read[: 4 * most].split())
        case dict():
            text = "{" + ", ".join(f"{key}: …" for key in list(read)[:4]) + "}"
        case list() | tuple():
            text = f"a list of {len(read)}"
        case _:
            text = str(read)
    text = "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in text[: 4 * most])
    return text if len(text) <= most else text[: most - 1] + "…"
