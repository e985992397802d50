"""From a line file to a Line, or to every fault of it at once."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from pathlib import Path as FilePath
from typing import Any, get_args

from pydantic import BaseModel, PrivateAttr, ValidationError

from pullwright.line.calendar import WorkCalendar
from pullwright.line.faults import Fault, LineFileError, Path, likely_slip, listed, shown
from pullwright.line.model import LineModel
from pullwright.line.references import check_references
from pullwright.line.route import Route, route_of
from pullwright.line.sense import check_sense, work_calendar
from pullwright.line.yaml_tree import MOST_BYTES, Mark, Tree, read_tree


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
    def read(cls, path: str | FilePath) -> Line:
        """Read a line file (YAML, UTF-8); LineFileError with all faults, OSError where the file cannot be opened."""
        file = FilePath(path)
        with file.open("rb") as stream:
            raw = stream.read(MOST_BYTES + 1)
        if len(raw) > MOST_BYTES:
            said = f"the file is larger than {MOST_BYTES:,} bytes, the most a line file may have"
            raise LineFileError(
                file.name,
                [
                    Fault(
                        0,
                        0,
                        "the file",
                        f"more than {MOST_BYTES:,} bytes",
                        f"at most {MOST_BYTES:,} bytes",
                        "readings in bulk belong in a study file",
                        said,
                    )
                ],
            )
        try:
            text = raw.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = raw[: error.start].count(b"\n") + 1
            said = f"byte {error.start + 1} of the file is no text in UTF-8"
            raise LineFileError(
                file.name,
                [
                    Fault(
                        line,
                        1,
                        "the file",
                        f"byte 0x{raw[error.start]:02x}",
                        "text in UTF-8",
                        "is this a line file, saved as UTF-8?",
                        said,
                    )
                ],
            ) from None
        return cls.from_text(text, name=file.name)

    @classmethod
    def from_text(cls, text: str, name: str = "the text") -> Line:
        """Read the text of a line file; LineFileError with all faults."""
        tree = read_tree(text)
        if tree.data is None and not tree.faults:
            tree.faults.append(
                Fault(
                    1,
                    1,
                    "the file",
                    "nothing",
                    "a line file",
                    message="the file is empty; a line file begins with `line:`",
                )
            )
        elif tree.data is not None and not isinstance(tree.data, dict):
            tree.faults.append(
                Fault(
                    1,
                    1,
                    "the file",
                    shown(tree.data),
                    "a mapping",
                    message=f"read {shown(tree.data)!r}; a line file is a mapping that begins with `line:`",
                )
            )
        if not isinstance(tree.data, dict):
            raise LineFileError(name, tree.faults)
        faults = list(tree.faults)
        line: Line | None = None
        try:
            line = cls.model_validate(tree.data, context={"currency": _currency(tree.data)})
        except ValidationError as error:
            faults += _from_validation(error, tree)
        faults += check_references(tree)
        if line is not None:
            line._tree, line._text, line._file = tree, text, name
            if not faults:
                faults += check_sense(line, tree)
        if faults or line is None:
            raise LineFileError(name, faults)
        return line

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


def _currency(data: dict[str, Any]) -> str:
    code = data.get("currency", "EUR")
    return code.strip() if isinstance(code, str) and len(code.strip()) == 3 else "EUR"


def _from_validation(error: ValidationError, tree: Tree) -> Iterator[Fault]:
    errors = error.errors(include_url=False)
    for found in errors:
        path: Path = found["loc"]
        kind, context, read = found["type"], found.get("ctx", {}), found["input"]
        field = str(path[-1]) if path else "the file"
        if "faults" in context:
            for inner, was, allowed, hint, message in context["faults"]:
                yield tree.fault((*path, *inner), was, allowed, hint, message)
        elif kind == "missing":
            yield tree.fault(
                path, "nothing", f"a value for {field}", _renamed(field, path, tree), f"{field} is missing"
            )
        elif kind == "extra_forbidden":
            allowed = fields_at(path[:-1])
            yield tree.fault(
                path,
                field,
                listed(allowed, 40),
                likely_slip(field, allowed),
                f"{field!r} is no field here; allowed: {listed(allowed, 40)}",
            )
        elif kind == "too_short" and any(
            len(other["loc"]) > len(path) and other["loc"][: len(path)] == path for other in errors
        ):
            continue  # its entries are there, each with a fault of its own
        elif kind == "too_short":
            yield tree.fault(
                path,
                "an empty list",
                "at least one entry",
                message=f"{field} is an empty list; at least one entry is needed",
            )
        elif kind in ("tuple_type", "list_type"):
            yield tree.fault(
                path,
                shown(read),
                "a list",
                "put `- ` before each entry, or brackets round them",
                f"read {shown(read)!r}; a list is wanted",
            )
        else:
            yield tree.fault(
                path,
                shown(read),
                "a mapping",
                "write `name: value` lines below it",
                f"read {shown(read)!r}; a mapping of {listed(fields_at(path), 40)} is wanted",
            )


def _renamed(field: str, path: Path, tree: Tree) -> str:
    """Where a needed field is missing and an unknown one stands beside it, that one was probably meant."""
    around: Any = tree.data
    for step in path[:-1]:
        around = around[step]
    unknown = [key for key in around if key not in fields_at(path[:-1])] if isinstance(around, dict) else []
    near = likely_slip(field, unknown)
    return f"is {near[13:-1]!r} meant for it?" if near else ""


def fields_at(path: Path) -> list[str]:
    """Give the fields that may stand at a path of a line file.

    >>> fields_at(("steps", 0, "rework"))
    ['share', 'to', 'time', 'people']
    """
    model: type[BaseModel] = LineModel
    for step in path:
        if isinstance(step, int):
            continue
        field = next((info for name, info in model.model_fields.items() if (info.alias or name) == step), None)
        inner = _model_in(field.annotation) if field else None
        if inner is None:
            return []
        model = inner
    return [info.alias or name for name, info in model.model_fields.items()]


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for inner in get_args(annotation) if (found := _model_in(inner))), None)
