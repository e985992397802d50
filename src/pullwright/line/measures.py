"""The kinds of quantities that a line file knows, as types of fields: times, shares, money and the rest, with what each may be given as."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import core_schema

from pullwright.line import units
from pullwright.line.distributions import DISTRIBUTIONS
from pullwright.line.quantity import Quantity, read_quantity


@dataclass(frozen=True, slots=True)
class QuantityField:
    """Marks a field of the line file as a quantity of a dimension, for reading and for the JSON Schema.

    `varies`: from piece to piece, with a cv. `counted`: may be a count of so many. `plain`: only a number with its unit.
    """

    dimension: str
    varies: bool = False
    counted: bool = False
    plain: bool = False

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.with_info_plain_validator_function(self.validate)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return self.json_schema()

    def validate(self, read: Any, info: core_schema.ValidationInfo) -> Quantity:
        """Read the field; a quantity that was read already is taken as it is."""
        if isinstance(read, Quantity):
            return read
        currency = (info.context or {}).get("currency")
        return read_quantity(
            read, self.dimension, varies=self.varies, counted=self.counted, currency=currency, plain=self.plain
        )

    def json_schema(self) -> dict[str, Any]:
        """Describe what may stand in the field: a text with a unit, or a mapping with what is known of the value."""
        text = _text_schema(self.dimension)
        if self.plain:
            return text
        forms: dict[str, Any] = {
            "low": text,
            "likely": text,
            "high": text,
            "readings": {"type": "array", "items": text, "minItems": 1},
        }
        needed: list[list[str]] = [["low", "likely", "high"], ["readings"]]
        if self.dimension == "duration":
            forms["study"] = {"type": ["string", "number"], "description": "The name of a study of this file."}
            needed.append(["study"])
        if self.counted:
            forms |= {"count": _COUNT, "of": _COUNT}
            needed.append(["count", "of"])
        inner = _mapping(forms, needed)
        outer = forms | {"mean": {"anyOf": [text, inner]}}
        if self.varies:
            outer["cv"] = QuantityField("factor").json_schema() | {"description": _CV}
            outer["distribution"] = {"enum": list(DISTRIBUTIONS), "description": "Its shape, where it is known."}
        return {"anyOf": [text, _mapping(outer, [*needed, ["mean"]])]}


_CV = "Standard deviation / mean from piece to piece."
_COUNT = {"type": ["integer", "string"], "minimum": 0}


def _mapping(properties: dict[str, Any], needed: list[list[str]]) -> dict[str, Any]:
    return {
        "type": "object",
        "additionalProperties": False,
        "properties": properties,
        "oneOf": [{"required": names} for names in needed],
    }


def _text_schema(dimension: str) -> dict[str, Any]:
    """A number without a unit is allowed only where it can mean one thing."""
    row = units.DIMENSIONS[dimension]
    bare = "" in row.spellings
    examples = [row.example.replace(units.MONEY, "EUR")]
    schema: dict[str, Any] = {"type": ["string", "number"] if bare else "string", "pattern": "[0-9]"}
    if bare:
        schema |= {"minimum": row.least, "maximum": row.most[row.spellings[""].key]}
    return schema | {"description": units.allowed(dimension).capitalize() + ".", "examples": examples}


Time = Annotated[Quantity, QuantityField("duration", varies=True)]
Duration = Annotated[Quantity, QuantityField("duration")]
Measured = Annotated[Quantity, QuantityField("duration", plain=True)]
Span = Annotated[Quantity, QuantityField("span")]
VaryingSpan = Annotated[Quantity, QuantityField("span", varies=True)]
Share = Annotated[Quantity, QuantityField("share", counted=True)]
Factor = Annotated[Quantity, QuantityField("factor")]
Ratio = Annotated[Quantity, QuantityField("factor")]
Pieces = Annotated[Quantity, QuantityField("pieces")]
Demand = Annotated[Quantity, QuantityField("per day", varies=True)]
Length = Annotated[Quantity, QuantityField("length")]
Area = Annotated[Quantity, QuantityField("area")]
Mass = Annotated[Quantity, QuantityField("mass")]
Speed = Annotated[Quantity, QuantityField("speed")]
Money = Annotated[Quantity, QuantityField("money")]
Cash = Annotated[Quantity, QuantityField("cash")]
Wage = Annotated[Quantity, QuantityField("money per hour")]
MoneyPerYear = Annotated[Quantity, QuantityField("money per year")]
Rent = Annotated[Quantity, QuantityField("money per area per month")]
YearlyShare = Annotated[Quantity, QuantityField("rate of carrying")]
