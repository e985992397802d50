"""From a line file to a Line, or to every fault of it at once."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path as FilePath
from typing import Any, Self

from pydantic import PrivateAttr, ValidationError

from pullwright.line.calendar import WorkCalendar
from pullwright.line.currency import currency_of
from pullwright.line.faults import Fault, LineFileError, Path, shown
from pullwright.line.fields import fields_at
from pullwright.line.marks import Mark, Tree
from pullwright.line.model import LineModel
from pullwright.line.references import check_references
from pullwright.line.route import Route, route_of
from pullwright.line.sense import check_sense
from pullwright.line.shifts import work_calendar
from pullwright.line.size import check_size
from pullwright.line.validation import validation_faults
from pullwright.line.yaml_tree import MOST_BYTES, read_tree, too_large

__all__ = ["Line", "fields_at"]


class Line(LineModel):
    """A line as its file gives it, with the place of every field.

    >>> Line.from_text("line: nothing yet")
    Traceback (most recent call last):
    pullwright.line.faults.LineFileError: the text: 4 faults
      line 1, column 1: calendar: calendar is missing
      line 1, column 1: products: products is missing
      line 1, column 1: stations: stations is missing
      line 1, column 1: steps: steps is missing
    """

    _tree: Tree = PrivateAttr(default_factory=Tree)
    _text: str = PrivateAttr(default="")
    _file: str = PrivateAttr(default="")

    @classmethod
    def read(cls, path: str | FilePath) -> Self:
        """Read a line file (YAML, UTF-8); LineFileError with all faults, OSError where the file cannot be opened."""
        file = FilePath(path)
        with file.open("rb") as stream:
            raw = stream.read(MOST_BYTES + 1)
        if len(raw) > MOST_BYTES:
            raise LineFileError(file.name, [too_large(f"more than {MOST_BYTES:,} bytes")])
        text = _decoded(raw)
        if isinstance(text, Fault):
            raise LineFileError(file.name, [text])
        return cls.from_text(text, name=file.name)

    @classmethod
    def from_text(cls, text: str, name: str = "the text") -> Self:
        """Read the text of a line file; LineFileError with all faults."""
        tree = read_tree(text)
        if not isinstance(tree.data, dict):
            raise LineFileError(name, _not_a_line_file(tree))
        if too_many := list(check_size(tree)):
            raise LineFileError(name, [*tree.faults, *too_many])
        faults, broken = list(tree.faults), {str(path[0]) for path in tree.empty if path}
        currency, slip = currency_of(tree)
        faults += [slip] if slip else []
        context = {"currency": currency}
        line: Self | None = None
        error: ValidationError | None = None
        try:
            line = cls.model_validate(tree.data, context=context)
        except ValidationError as found:
            error = found
            broken |= {str(one["loc"][0]) for one in found.errors(include_url=False) if one["loc"]}
            line = cls._without(broken, tree.data, context)
        faults += validation_faults(error, tree)
        unknown = list(check_references(tree))
        if line is not None:
            names_hold = not unknown and not tree.faults
            faults += check_sense(line, tree, broken=broken, names_hold=names_hold)
        if faults or unknown or line is None:
            raise LineFileError(name, [*faults, *unknown])
        line._tree, line._text, line._file = tree, text, name
        return line

    @classmethod
    def _without(cls, broken: set[str], data: dict[str, Any], context: dict[str, str]) -> Self | None:
        """Read what can be read of a broken file, so that contradictions in its sound parts are said at once with its faults."""
        sound = {key: value for key, value in data.items() if key not in broken}
        try:
            return cls.model_validate(_NEEDED | sound, context=context)
        except ValidationError:
            return None

    @property
    def text(self) -> str:
        """The text of the file, to the letter."""
        return self._text

    @property
    def file(self) -> str:
        """The name of the file that the line was read from."""
        return self._file

    @cached_property
    def route(self) -> Route:
        """The way through the steps."""
        return route_of(self)

    @cached_property
    def work_calendar(self) -> WorkCalendar:
        """The calendar with its arithmetic."""
        return work_calendar(self.calendar)

    def mark(self, path: Path) -> Mark:
        """Give the place in the file of a field, or of the nearest thing around it that is written there."""
        return self._tree.mark(path)

    def typed(self, path: Path) -> Any:
        """Give what was typed at a path: texts, numbers, lists and mappings as they were read; None where nothing was."""
        here: Any = self._tree.data
        for step in path:
            try:
                here = here[step]
            except (KeyError, IndexError, TypeError):
                return None
        return here


_NEEDED: dict[str, Any] = {
    "line": "unread",
    "calendar": {"shifts": [{"name": "unread", "from": "00:00", "to": "01:00"}]},
    "products": [{"name": "unread", "demand": "0 /d"}],
    "stations": [{"name": "unread"}],
    "steps": [{"name": "unread", "station": "unread"}],
}
"""What stands in for the needed parts of a file that are broken; no check looks at it."""


def _decoded(raw: bytes) -> str | Fault:
    """Give the text of a file with its line ends as they are, without the byte order mark; or the fault that it is no text in UTF-8."""
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        column = error.start - (raw.rfind(b"\n", 0, error.start) + 1) + 1
        utf_16 = raw.startswith((b"\xff\xfe", b"\xfe\xff"))
        hint = "it is saved as UTF-16: save it as UTF-8" if utf_16 else "is this a line file, saved as UTF-8?"
        read, said = f"byte 0x{raw[error.start]:02x}", f"byte {error.start + 1:,} of the file is no text in UTF-8"
        return Fault(line, column, "the file", read, "text in UTF-8", hint, said)


def _not_a_line_file(tree: Tree) -> list[Fault]:
    """Say why a text is no line file at all, where it is none."""
    if isinstance(tree.data, dict) or tree.faults:
        return tree.faults
    allowed = "a line file, which begins with `line:` and a name"
    said = "the file is empty" if tree.data is None else f"{shown(tree.data)!r} was read"
    return [Fault(1, 1, "the file", shown(tree.data), allowed, message=f"{said}; wanted: {allowed}")]
