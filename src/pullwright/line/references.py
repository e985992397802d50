"""Do all names that a line file refers to exist, and does each name exist once? Works on the plain values, so that a broken line is checked too."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pullwright.line.faults import Fault, Path, likely_slip, listed, shown
from pullwright.line.yaml_tree import Tree

NAMED = ("products", "parts", "suppliers", "stations", "steps", "people", "studies")
"""The lists whose entries have a name that must be the only one of its kind."""

OUTSIDE = ("receiving", "shipping")
"""Words for the two ends of the line in a move."""

REFERENCES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("products.*.uses.*.part", ("parts",)),
    ("products.*.uses.*.at", ("steps",)),
    ("parts.*.supplier", ("suppliers",)),
    ("stations.*.shifts.*", ("shifts",)),
    ("steps.*.station", ("stations",)),
    ("steps.*.also_at.*.station", ("stations",)),
    ("steps.*.after.*", ("steps",)),
    ("steps.*.after.*.step", ("steps",)),
    ("steps.*.for.*", ("products",)),
    ("steps.*.elements.*.for.*", ("products",)),
    ("steps.*.set_up.pairs.*.from", ("products",)),
    ("steps.*.set_up.pairs.*.to", ("products",)),
    ("steps.*.rework.to", ("steps",)),
    ("steps.*.release.until", ("steps",)),
    ("stores.*.before", ("steps",)),
    ("stores.*.after", ("steps",)),
    ("stores.*.part", ("parts",)),
    ("moves.*.from", ("steps", "parts", "outside")),
    ("moves.*.to", ("steps", "outside")),
    ("people.*.skills.*", ("steps", "stations")),
    ("people.*.shifts.*", ("shifts",)),
)


def matching(data: Any, pattern: str) -> Iterator[tuple[Path, Any]]:
    """Give every value whose path fits a pattern such as `steps.*.station`.

    >>> list(matching({"steps": [{"station": "saw"}, 3]}, "steps.*.station"))
    [(('steps', 0, 'station'), 'saw')]
    """
    found: list[tuple[Path, Any]] = [((), data)]
    for word in pattern.split("."):
        inner: list[tuple[Path, Any]] = []
        for path, value in found:
            if word == "*" and isinstance(value, list):
                inner += [((*path, i), item) for i, item in enumerate(value)]
            elif isinstance(value, dict) and word in value:
                inner.append(((*path, word), value[word]))
        found = inner
    yield from found


def _name(value: Any) -> str | None:
    return (
        " ".join(str(value).split()) if isinstance(value, str | int | float) and not isinstance(value, bool) else None
    )


def names_of(data: Any) -> dict[str, list[str]]:
    """Collect the names of every list, those of broken entries too."""
    names = {kind: [name for _, read in matching(data, f"{kind}.*.name") if (name := _name(read))] for kind in NAMED}
    names["shifts"] = [name for _, read in matching(data, "calendar.shifts.*.name") if (name := _name(read))]
    names["outside"] = list(OUTSIDE)
    return names


def check_references(tree: Tree) -> Iterator[Fault]:
    """Give a fault for every name that stands twice and for every reference to nothing."""
    for kind in (*NAMED, "calendar.shifts"):
        first: dict[str, Path] = {}
        for path, read in matching(tree.data, f"{kind}.*.name"):
            name = _name(read)
            if name is None:
                continue
            if name in first:
                line = tree.mark(first[name]).line
                yield tree.fault(
                    path,
                    name,
                    "a name that stands once",
                    message=f"{name!r} is the name of another of the {kind}, in line {line} already",
                )
            first.setdefault(name, path)
    names = names_of(tree.data)
    for pattern, kinds in REFERENCES:
        known = [name for kind in kinds for name in names[kind]]
        for path, read in matching(tree.data, pattern):
            name = _name(read)
            if name is not None and name not in known:
                yield _unknown(tree, path, name, kinds, known)
    for path, read in _studies(tree.data, ()):
        name = _name(read)
        if name is not None and path[0] != "studies" and name not in names["studies"]:
            yield _unknown(tree, path, name, ("studies",), names["studies"])


def _unknown(tree: Tree, path: Path, name: str, kinds: tuple[str, ...], known: list[str]) -> Fault:
    said = " or ".join(kind for kind in kinds if kind != "outside")
    allowed = f"one of: {listed(known)}" if known else f"a name out of {said}, and this file has none"
    return tree.fault(
        path,
        shown(name),
        allowed,
        likely_slip(name, known),
        f"there is no {name!r} among the {said}; allowed: {allowed}",
    )


def _studies(value: Any, path: Path) -> Iterator[tuple[Path, Any]]:
    if isinstance(value, dict):
        for key, item in value.items():
            if key == "study":
                yield (*path, key), item
            yield from _studies(item, (*path, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _studies(item, (*path, index))
