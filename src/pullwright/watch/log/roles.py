"""What a column of an event log may be for: the one table that guessing, confirming, screens and docs share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Role = Literal[
    "case", "activity", "station", "start", "end", "moment", "lifecycle", "span", "kind", "product", "person",
    "asked", "good", "scrap", "held", "rework",
]  # fmt: skip
Shape = Literal["words", "time", "duration", "number", "flag"]


@dataclass(frozen=True, slots=True)
class RoleRow:
    """One role: its key, its words, the question that helps to recognise it, and the shape of what stands in it."""

    key: Role
    words: str
    question: str
    shape: Shape
    needed: bool = False


ROLES: tuple[RoleRow, ...] = (
    RoleRow("case", "order or piece", "What is it that goes through the shop: an order, a lot, a piece?", "words", needed=True),
    RoleRow("activity", "step", "What was done?", "words", needed=True),
    RoleRow("station", "station", "At which machine or place?", "words"),
    RoleRow("start", "start", "When did it begin?", "time"),
    RoleRow("end", "end", "When was it done?", "time"),
    RoleRow("moment", "moment", "When was this noted, where a row is one moment and not a span?", "time"),
    RoleRow("lifecycle", "start or end", "Does the row say that something began or that it was done?", "words"),
    RoleRow("span", "how long", "How long did it take, as the file itself says it?", "duration"),
    RoleRow("kind", "kind of work", "Was it running, set-up, breakdown?", "words"),
    RoleRow("product", "product", "Which product or part?", "words"),
    RoleRow("person", "who", "Who did it?", "words"),
    RoleRow("asked", "pieces ordered", "How many pieces is the order for?", "number"),
    RoleRow("good", "good pieces", "How many pieces were done and good?", "number"),
    RoleRow("scrap", "scrapped pieces", "How many were thrown away?", "number"),
    RoleRow("held", "held pieces", "How many were put aside for somebody to decide?", "number"),
    RoleRow("rework", "done again", "Was it done a second time?", "flag"),
)  # fmt: skip

BY_ROLE: dict[Role, RoleRow] = {row.key: row for row in ROLES}
