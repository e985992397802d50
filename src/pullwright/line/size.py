"""How long the lists of a line file may be: far more than a person types, and few enough that every answer comes at once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pullwright.line.faults import Fault, Path
from pullwright.line.marks import Tree

MOST_ENTRIES: dict[str, int] = {
    "products": 1_000,
    "parts": 2_000,
    "suppliers": 1_000,
    "stations": 1_000,
    "steps": 1_000,
    "stores": 3_000,
    "moves": 3_000,
    "people": 500,
    "studies": 2_000,
    "samples": 2_000,
    "calendar.shifts": 50,
    "calendar.days_off": 2_000,
    "calendar.extra_days": 1_000,
    "floor.places": 1_000,
    "floor.red_tagged": 1_000,
}
"""The most entries of each list of a line file."""

MOST_INSIDE = 5_000
"""The most entries of any other list: the elements of a step, the readings of a study."""

MOST_WAYS = 300
"""The most different ways of products through the steps."""


def check_size(tree: Tree) -> Iterator[Fault]:
    """Give a fault for every list that is too long to be checked and reckoned with at once."""
    yield from _lists(tree, tree.data, ())


def _lists(tree: Tree, value: Any, path: Path) -> Iterator[Fault]:
    if isinstance(value, dict):
        for key, item in value.items():
            yield from _lists(tree, item, (*path, key))
    elif isinstance(value, list):
        most = MOST_ENTRIES.get(".".join(map(str, path)), MOST_INSIDE)
        if len(value) > most:
            read, allowed = f"{len(value):,} entries", f"at most {most:,} entries"
            yield tree.fault(path, read, allowed, message=f"{read} were read; allowed: {allowed}")
        else:
            for index, item in enumerate(value):
                yield from _lists(tree, item, (*path, index))
