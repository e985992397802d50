"""What time, floor, material and money are spent on: one table that code, screens, prints and docs share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

KindKey = Literal["value", "needed", "waiting", "moving", "motion", "extra", "again", "ahead", "unexplained"]
ElementKind = Literal["value", "needed", "waiting", "moving", "motion", "extra", "again"]


@dataclass(frozen=True, slots=True)
class Kind:
    """One row of the accounts: its key, its words, the question that it answers, and whether it is a waste."""

    key: KindKey
    words: str
    question: str
    waste: bool


KINDS: tuple[Kind, ...] = (
    Kind("value", "value-adding", "Does the customer pay for it?", waste=False),
    Kind("needed", "needed, not value-adding", "Can the work not be done without it today?", waste=False),
    Kind("waiting", "waiting", "Who or what stands still, and for whom?", waste=True),
    Kind("moving", "moving things", "Why does it have to be carried?", waste=True),
    Kind("motion", "moving oneself", "Why do people walk, reach and search?", waste=True),
    Kind("extra", "doing more than is needed", "Who asked for this?", waste=True),
    Kind("again", "scrapped or done again", "Why was it not right the first time?", waste=True),
    Kind("ahead", "made before anybody pulled", "Who is going to take it, and when?", waste=True),
    Kind("unexplained", "not explained", "What have we not seen yet?", waste=False),
)

BY_KEY: dict[KindKey, Kind] = {kind.key: kind for kind in KINDS}
ELEMENT_KINDS: tuple[ElementKind, ...] = ("value", "needed", "waiting", "moving", "motion", "extra", "again")
"""What one element of a step may be; the other kinds follow from the stock and the counts."""
