"""What all pieces of the model of a line have in common."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict

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
