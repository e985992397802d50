"""The fields of a line file: which may stand where, what each one means and what is allowed in it, read off the model."""

from __future__ import annotations

import ast
import inspect
import re
import types
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pullwright.line.dimensions import DIMENSIONS, MONEY
from pullwright.line.faults import Path
from pullwright.line.item import Alone
from pullwright.line.measures import QuantityField
from pullwright.line.model import LineModel
from pullwright.line.words import WordField


@dataclass(frozen=True, slots=True)
class FieldRow:
    """One field as the documentation shows it. `otherwise` is what holds where nothing is said; empty where the field is needed."""

    name: str
    means: str
    may_be: str
    needed: bool
    otherwise: str


def fields_at(path: Path) -> list[str]:
    """Give the fields that may stand at a path of a line file.

    >>> fields_at(("steps", 0, "rework"))
    ['share', 'to', 'time', 'people']
    """
    model: type[BaseModel] | None = LineModel
    for step in path:
        if isinstance(step, int):
            continue
        field = next((info for name, info in _fields(model) if name == step), None)
        model = model_in(field.annotation) if field else None
        if model is None:
            return []
    return [name for name, _ in _fields(model)]


def _fields(model: type[BaseModel] | None) -> Iterator[tuple[str, FieldInfo]]:
    if model is not None:
        for name, info in model.model_fields.items():
            yield info.alias or name, info


def model_in(annotation: Any) -> type[BaseModel] | None:
    """Give the mapping that a field holds, alone or in a list; None where it holds none."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for inner in get_args(annotation) if (found := model_in(inner))), None)


def mappings() -> list[type[BaseModel]]:
    """Give every kind of mapping that a line file may hold, in the order in which it comes up."""
    found: list[type[BaseModel]] = [LineModel]
    for model in found:
        for info in model.model_fields.values():
            inner = model_in(info.annotation)
            if inner is not None and inner not in found:
                found.append(inner)
    return found


def title(model: type[BaseModel]) -> str:
    """Call a kind of mapping by its name in words.

    >>> from pullwright.line.steps import SetUpPair
    >>> title(SetUpPair), title(LineModel)
    ('set up pair', 'line')
    """
    return re.sub(r"(?<!^)([A-Z])", r" \1", model.__name__.removesuffix("Model")).lower()


def rows(model: type[BaseModel]) -> list[FieldRow]:
    """Describe the fields of one kind of mapping.

    >>> from pullwright.line.goods import Container
    >>> [row.name for row in rows(Container)], rows(Container)[0].otherwise
    (['holds', 'floor', 'stack'], '1')
    """
    meanings = means(model)
    return [
        FieldRow(
            info.alias or name,
            meanings[name],
            _may_be(info.annotation, info.metadata),
            info.is_required(),
            _otherwise(info),
        )
        for name, info in model.model_fields.items()
    ]


@cache
def means(model: type[BaseModel]) -> dict[str, str]:
    """Give what each field means: the text below it in the source of the model."""
    source = ast.parse(inspect.cleandoc("\n" + inspect.getsource(model)))
    described: dict[str, str] = {}
    body = source.body[0].body if isinstance(source.body[0], ast.ClassDef) else []
    for one, following in pairwise(body):
        match one, following:
            case (
                ast.AnnAssign(target=ast.Name(id=name)),
                ast.Expr(value=ast.Constant(value=str(text))),
            ):
                described[name] = " ".join(text.split())
    return described


def _otherwise(info: FieldInfo) -> str:
    if info.is_required() or info.default in (None, (), ""):
        return ""
    if isinstance(info.default, bool):
        return "yes" if info.default else "no"
    return "mon to fri" if isinstance(info.default, tuple) else str(info.default)


def _may_be(annotation: Any, metadata: list[Any]) -> str:
    """Say in a few words what may stand in a field."""
    for mark in metadata:
        if isinstance(mark, QuantityField):
            return _quantity(mark)
        if isinstance(mark, WordField):
            return mark.words
        if isinstance(mark, Alone):
            alone = annotation.model_fields[mark.field]
            return f"{_may_be(annotation, [])}; or in short {_may_be(alone.annotation, alone.metadata)}"
    inner, arguments = get_origin(annotation), get_args(annotation)
    if inner is Annotated:
        return _may_be(arguments[0], list(arguments[1:]))
    if inner in (Union, types.UnionType):
        return _may_be(next(one for one in arguments if one is not type(None)), [])
    if inner is tuple:
        one = _may_be(arguments[0], [])
        return (
            f"a list: {one.removeprefix('a ').removeprefix('an ')}" if not one.startswith("[") else f"a list of {one}"
        )
    assert isinstance(annotation, type), annotation
    return f"[{title(annotation)}](#{title(annotation).replace(' ', '-')})"


def _quantity(field: QuantityField) -> str:
    """Name the dimension, which docs/units.md explains, with an example."""
    row = DIMENSIONS[field.dimension]
    example = row.example.replace(MONEY, "EUR")
    more = [word for word, there in (("may vary", field.varies), ("may be a count", field.counted)) if there]
    named = f"[{row.noun}](units.md), such as `{example}`"
    return f"{named}, as it is read" if field.plain else "; ".join([named, *more])
