"""What a plan changes in the line file, so that it can be tried as an option."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from pullwright.line.edit import add_item, remove_field, remove_item, set_field, tree_read
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


def applied(text: str, changes: Iterable[Change]) -> str:
    """How does the line file look with these changes?

    A field that is taken out and not there stays as it is; comments and order stay as somebody typed them. EditError (from `line.edit`) where a
    change cannot be made in the text.

    >>> print(applied("steps:\\n  - name: hone   # slow\\n", [Change(("steps", 0, "lot"), 28, "half as many")]), end="")
    steps:
      - name: hone   # slow
        lot: 28
    """
    for change in changes:
        *around, last = change.path
        data = tree_read(text).data
        if isinstance(last, int) and change.written is not None and _entries(data, tuple(around)) in (None, last):
            text = add_item(text, tuple(around), change.written)
        elif change.written is not None:
            text = set_field(text, change.path, change.written)
        elif _there(data, change.path):
            text = remove_item(text, tuple(around), last) if isinstance(last, int) else remove_field(text, change.path)
    return text


def _at(data: Any, path: Path) -> Any:
    """What stands at a path; None where nothing does."""
    for step in path:
        if isinstance(data, dict):
            data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int) and 0 <= step < len(data):
            data = data[step]
        else:
            return None
    return data


def _there(data: Any, path: Path) -> bool:
    around = _at(data, path[:-1])
    last = path[-1]
    return (
        last in around
        if isinstance(around, dict)
        else isinstance(around, list) and isinstance(last, int) and last < len(around)
    )


def _entries(data: Any, path: Path) -> int | None:
    found = _at(data, path)
    return len(found) if isinstance(found, list) else None
