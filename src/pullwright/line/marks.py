"""Where everything stands in the text of a line file: the place of each value and key, by path."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

from pullwright.line.faults import Fault, Path, path_words

Style = Literal["plain", "quoted", "text", "flow", "block"]


@dataclass(frozen=True, slots=True)
class Mark:
    """Where something stands: line and column from 1, and the span of characters from 0.

    The span of a value is the value itself: an anchor before it, the comment behind it and empty lines below it are not in it.
    `style`: "plain" or "quoted" words, "text" (a block of text), a list or mapping in "flow" (brackets) or "block" form.
    """

    line: int
    column: int
    start: int
    end: int
    style: Style = "plain"


@dataclass(frozen=True, slots=True)
class Repeat:
    """A value that is taken over from another place with `*name`: where it is written, and the place of `*name`."""

    of: Path
    mark: Mark


@dataclass(slots=True)
class Tree:
    """The plain values of a file, and the marks of values and of keys by path.

    What stands below a repeated value (`*name`) has the marks of the place at which it is written; `sources` are these places. `spoilt` are mappings that hold
    something which was refused already (a repeated key, `<<`), so that what is missing there need not be said again. `empty` are
    the places where nothing is written.
    """

    data: Any = None
    marks: dict[Path, Mark] = field(default_factory=dict)
    key_marks: dict[Path, Mark] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    repeats: dict[Path, Repeat] = field(default_factory=dict)
    sources: set[Path] = field(default_factory=set)
    spoilt: set[Path] = field(default_factory=set)
    empty: set[Path] = field(default_factory=set)

    def mark(self, path: Path) -> Mark:
        """Give the place of a path, or of the nearest thing around it that stands in the file.

        That is the key of a field; of a value that stands in several places the one where it is written.
        """
        for length in range(len(path), -1, -1):
            here = path[:length]
            found = None if here in self.repeats or here in self.sources else self.key_marks.get(here)
            found = found or self.marks.get(here)
            if found is not None:
                return found
        return Mark(1, 1, 0, 0)

    def value_mark(self, path: Path) -> Mark:
        """Give the place of the value at a path (not of its key), or of the nearest thing around it."""
        return self.marks.get(path) or self.mark(path)

    def fault(self, path: Path, read: str, allowed: str, hint: str = "", message: str = "") -> Fault:
        """Make a fault at the place of a path."""
        mark = self.mark(path)
        return Fault(mark.line, mark.column, path_words(path), read, allowed, hint, message)

    def repeat_above(self, path: Path) -> tuple[Path, Repeat] | None:
        """Give the repeated value (`*name`) that a path stands in, if it does, with the path at which it is repeated."""
        for length in range(1, len(path) + 1):
            if path[:length] in self.repeats:
                return path[:length], self.repeats[path[:length]]
        return None

    def repeated_at(self, path: Path) -> Iterator[Path]:
        """Give every other path at which the value of this path is repeated."""
        known, waiting = {path}, [path]
        while waiting:
            here = waiting.pop()
            for place, repeat in self.repeats.items():
                if here[: len(repeat.of)] == repeat.of and (other := (*place, *here[len(repeat.of) :])) not in known:
                    known.add(other)
                    waiting.append(other)
                    yield other
