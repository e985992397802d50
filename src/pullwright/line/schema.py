"""The JSON Schema of a line file (draft 2020-12), for editors that help while one types, made from the model and its comments."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Any

from pydantic import BaseModel

from pullwright.line import units
from pullwright.line.dimensions import DIMENSIONS, MONEY
from pullwright.line.distributions import DISTRIBUTIONS
from pullwright.line.fields import mappings, means, title
from pullwright.line.measures import MARKER
from pullwright.line.model import LineModel
from pullwright.line.words import WEEKDAYS, WHOLE_PATTERN

DIALECT = "https://json-schema.org/draft/2020-12/schema"
IDENTIFIER = "urn:pullwright:line-file"


def line_schema() -> dict[str, Any]:
    """What may stand in a line file, as a JSON Schema?

    An editor that is given it completes the names of fields, says what they mean and marks what cannot be. It knows the shape of a
    file and not its sense: names that refer to nothing, units and contradictions are found by `Line.read`. Whatever `Line.read`
    takes, the schema allows.

    >>> schema = line_schema()
    >>> schema["required"], schema["properties"]["steps"]["description"]
    (['line', 'calendar', 'products', 'stations', 'steps'], 'The way through, in the order of the work.')
    """
    made = LineModel.model_json_schema(by_alias=True)
    definitions = made.pop("$defs")
    for model in mappings():
        _describe(made if model is LineModel else definitions[model.__name__], model)
    made["title"] = "Line file"
    quantities: dict[str, Any] = {}
    filled: dict[str, Any] = _filled({**made, "$defs": definitions}, quantities)
    filled["$defs"] |= quantities
    return {"$schema": DIALECT, "$id": IDENTIFIER, **filled}


def _describe(schema: dict[str, Any], model: type[BaseModel]) -> None:
    """Put the names and meanings of a mapping and its fields where editors show them, and take out what YAML never holds."""
    schema["title"] = title(model).capitalize()
    schema["description"] = " ".join(inspect.cleandoc(model.__doc__ or "").split())
    meanings = means(model)
    for name, info in model.model_fields.items():
        field = schema["properties"][info.alias or name]
        if "anyOf" in field:
            allowed = [one for one in field.pop("anyOf") if one != {"type": "null"}]
            field |= allowed[0] if len(allowed) == 1 else {"anyOf": allowed}
        field["title"] = (info.alias or name).replace("_", " ").capitalize()
        field["description"] = meanings[name]
        if (default := field.pop("default", None)) not in (None, "", [], ()):
            field["default"] = [WEEKDAYS[day][:3] for day in default] if name == "days" else default


def _filled(schema: Any, quantities: dict[str, Any]) -> Any:
    """Put a reference in place of every quantity, and each kind of quantity once among the definitions."""
    if isinstance(schema, list):
        return [_filled(one, quantities) for one in schema]
    if not isinstance(schema, dict):
        return schema
    filled = {key: _filled(value, quantities) for key, value in schema.items() if key != MARKER}
    if isinstance(kind := schema.get(MARKER), list):
        filled["$ref"] = _quantity(quantities, *kind)
    return filled


def _quantity(
    known: dict[str, Any], dimension: str, varies: bool, counted: bool, plain: bool, meant: bool = True
) -> str:
    """Describe what may stand for a quantity: a text with a unit, or a mapping with what is known of the value."""
    text = _define(known, dimension, (), lambda: _text(dimension))
    if plain:
        return text
    words = [word for word, there in (("varying", varies), ("counted", counted), ("inside", not meant)) if there]

    def form() -> dict[str, Any]:
        value = {"$ref": text}
        forms: dict[str, Any] = dict.fromkeys(("low", "likely", "high"), value)
        forms["readings"] = {"type": "array", "items": value, "minItems": 1}
        needed = [["low", "likely", "high"], ["readings"]]
        if dimension == "duration":
            forms["study"] = {"type": ["string", "number"], "description": "The name of a study of this file."}
            needed.append(["study"])
        if counted:
            forms |= {"count": _COUNT, "of": _COUNT}
            needed.append(["count", "of"])
        if meant:
            forms["from"] = {"type": ["string", "number"], "description": _FROM}
            forms["mean"] = {"$ref": _quantity(known, dimension, False, counted, False, meant=False)}
            needed.append(["mean"])
        if varies:
            forms["cv"] = {"$ref": _quantity(known, "factor", False, False, False), "description": _CV}
            forms["distribution"] = {"enum": list(DISTRIBUTIONS), "description": "Its shape, where it is known."}
        mapping = {
            "type": "object",
            "additionalProperties": False,
            "properties": forms,
            "oneOf": [{"required": names} for names in needed],
        }
        return {"anyOf": [value, mapping]}

    return _define(known, dimension, ("known", *words), form)


_CV = "Standard deviation / mean from piece to piece."
_FROM = "What it was written down from: the rows of a file, a count sheet."
_COUNT = {"type": ["integer", "string"], "minimum": 0, "pattern": WHOLE_PATTERN}


def _define(known: dict[str, Any], dimension: str, words: tuple[str, ...], form: Callable[[], dict[str, Any]]) -> str:
    name = "-".join([*dimension.split(), *words])
    if name not in known:
        known[name] = form()
    return f"#/$defs/{name}"


def _text(dimension: str) -> dict[str, Any]:
    """A number without a unit is allowed only where it can mean one thing."""
    row = DIMENSIONS[dimension]
    schema: dict[str, Any] = {"type": "string", "pattern": "[0-9]"}
    if (bare := row.spellings.get("")) is not None:
        schema |= {"type": ["string", "number"], "minimum": row.least, "maximum": row.most[bare.key]}
    words = units.allowed(dimension, "EUR")
    example = row.example.replace(MONEY, "EUR")
    return schema | {
        "title": dimension.capitalize(),
        "description": f"{words[0].upper()}{words[1:]}.",
        "examples": [example],
    }
