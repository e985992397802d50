"""The fields of a line file as a form shows them: read off the model, so that a form never knows more or less than a file."""

from __future__ import annotations

import types
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from pullwright.line.dimensions import DIMENSIONS, MONEY
from pullwright.line.faults import Path
from pullwright.line.fields import model_in, rows, title
from pullwright.line.item import Alone
from pullwright.line.measures import QuantityField
from pullwright.line.model import LineModel
from pullwright.line.words import WordField

Shape = Literal["value", "choice", "list", "mapping", "entries"]
"""One typed value, one of a few words, values with commas between them, fields of its own, or a list of such."""
WAYS = (
    ("judged", "{low: 40 s, likely: 45 s, high: 60 s}"),
    ("from readings", "{readings: [44 s, 47 s, 45 s]}"),
    ("from a study", "{study: T-014}"),
    ("counted", "{count: 11, of: 420}"),
    ("different from piece to piece", "{mean: 45 s, cv: 0.2}"),
)
"""The ways in which a quantity may be given instead of as one number, for whoever fills in a form."""


@dataclass(frozen=True, slots=True)
class LineField:
    """One field of a mapping: its name in the file, what it means, what may be typed, and what holds when it is empty."""

    name: str
    means: str
    may_be: str
    otherwise: str
    needed: bool
    shape: Shape
    choices: tuple[str, ...] = ()
    model: type[BaseModel] | None = None

    @property
    def label(self) -> str:
        """The name as it is read."""
        return self.name.replace("_", " ")


@cache
def fields_of(model: type[BaseModel]) -> tuple[LineField, ...]:
    """Return the fields of one kind of mapping, in the order of the model.

    >>> [(field.name, field.shape) for field in fields_of(model_at(("steps", 0, "rework")))]
    [('share', 'value'), ('to', 'value'), ('time', 'value'), ('people', 'value')]
    """
    described = {row.name: row for row in rows(model)}
    found = []
    for name, info in model.model_fields.items():
        row = described[info.alias or name]
        shape, mark = _shape(info.annotation, list(info.metadata))
        choices = tuple(str(word) for word in _enum(mark))
        found.append(
            LineField(
                name=row.name,
                means=row.means,
                may_be=_allowed(mark, shape),
                otherwise=row.otherwise,
                needed=row.needed,
                shape="choice" if choices and shape == "value" else shape,
                choices=choices,
                model=model_in(info.annotation) if shape in ("mapping", "entries") else None,
            )
        )
    return tuple(found)


def model_at(path: Path) -> type[BaseModel] | None:
    """Return the kind of mapping at a path of a line file; None when no mapping can stand there.

    >>> title(model_at(("steps", 2, "elements", 0))), model_at(("steps", 2, "name")), model_at(("line",))
    ('element', None, None)
    """
    model: type[BaseModel] | None = LineModel
    listed = False
    for step in path:
        if isinstance(step, int):
            if not listed:
                return None
            listed = False
            continue
        if model is None or listed:
            return None
        field = next((one for one in fields_of(model) if one.name == step), None)
        if field is None or field.model is None:
            return None
        model, listed = field.model, field.shape == "entries"
    return None if listed else model


def called(model: type[BaseModel]) -> str:
    """Return what one mapping of a kind is called: "a station", "an element"."""
    words = title(model)
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def _shape(annotation: Any, metadata: list[Any]) -> tuple[Shape, Any]:
    for mark in metadata:
        if isinstance(mark, QuantityField | WordField):
            return "value", mark
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _shape(arguments[0], [*arguments[1:], *metadata])
    if origin in (Union, types.UnionType):
        return _shape(next(one for one in arguments if one is not type(None)), metadata)
    if origin is tuple:
        inner, mark = _shape(arguments[0], [])
        return ("entries" if inner == "mapping" else "list"), mark
    for mark in metadata:
        if isinstance(mark, Alone):
            field = annotation.model_fields[mark.field]
            return "value", next((one for one in field.metadata if isinstance(one, QuantityField | WordField)), None)
    return "mapping", None


def _enum(mark: Any) -> list[Any]:
    if not isinstance(mark, WordField):
        return []
    schema = dict(mark.schema)
    return list(schema.get("enum", ())) or (["yes", "no"] if schema.get("type") == ["boolean", "string"] else [])


def _allowed(mark: Any, shape: Shape) -> str:
    """Say what may be typed; the ways to give a quantity with what is known of it are said once for all fields.

    >>> [field.may_be for field in fields_of(model_at(("steps", 0))) if field.name in ("manual", "for")]
    ['several, with commas between them: a name each', 'a duration, such as 45 s']
    """
    words = ""
    if isinstance(mark, QuantityField):
        row = DIMENSIONS[mark.dimension]
        words = f"{row.noun}, such as {row.example.replace(MONEY, 'EUR')}"
    elif isinstance(mark, WordField):
        words = mark.words.replace("`", "")
    if shape != "list":
        return words
    first, comma, example = words.partition(", such as")
    return f"several, with commas between them: {first} each{comma}{example}"
