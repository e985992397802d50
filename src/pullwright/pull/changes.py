"""What a plan changes in the line file, so that it can be tried as an option."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pullwright.line.faults import Path


@dataclass(frozen=True, slots=True)
class Change:
    """One field of the line file with the value that the plan gives it.

    `path`: where it stands, such as `("steps", 3, "lot")`; an index one above the last adds an entry. `written`: the value as a person would
    type it ("45 s", 12, `{by: cards, ...}` as a dict); None takes the field out. `because`: why, in one sentence.
    """

    path: Path
    written: Any
    because: str
