"""The kinds of quantities that a line file knows, as types of fields: times, shares, money and the rest, with what each may be given as."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import core_schema

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
        return {MARKER: [self.dimension, self.varies, self.counted, self.plain]}

    def validate(self, read: Any, info: core_schema.ValidationInfo) -> Quantity:
        """Read the field; a quantity that was read already is taken as it is."""
        if isinstance(read, Quantity):
            return read
        currency = (info.context or {}).get("currency")
        return read_quantity(
            read, self.dimension, varies=self.varies, counted=self.counted, currency=currency, plain=self.plain
        )


MARKER = "x-quantity"
"""Stands in a schema in place of a quantity, until `schema` puts in what it allows: there are few kinds and many fields."""

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
