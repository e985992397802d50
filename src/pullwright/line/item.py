"""What all pieces of the model of a line have in common."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import core_schema

from pullwright.line.kinds import ELEMENT_KINDS, ElementKind
from pullwright.line.words import choice


def _alias(name: str) -> str:
    return name.rstrip("_")


class LineItem(BaseModel):
    """Frozen, no unknown fields; `from_` and `for_` are "from" and "for" in the file.

    The text below a field says what it means; the JSON Schema and docs/line_file.md are made from it (see `fields`).
    """

    model_config = ConfigDict(
        frozen=True, extra="forbid", alias_generator=_alias, populate_by_name=False, arbitrary_types_allowed=True
    )


ElementKindWord = Annotated[ElementKind, choice(*ELEMENT_KINDS)]


@dataclass(frozen=True, slots=True)
class Alone:
    """Marks a mapping that may be written as one of its fields alone: `weld` for `{step: weld}`."""

    field: str

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        def whole(read: Any) -> Any:
            return read if isinstance(read, dict | source) else {self.field: read}

        return core_schema.no_info_before_validator_function(whole, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        mapping = handler(schema)
        alone = handler.resolve_ref_schema(mapping)["properties"][self.field]
        return {"anyOf": [alone, mapping]}
