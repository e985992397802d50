"""From what the model says about a broken file to faults with their places, one for each slip."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from pydantic import ValidationError

from pullwright.line.faults import Fault, Path, likely_slip, listed, nearest, path_words, shown
from pullwright.line.fields import fields_at
from pullwright.line.marks import Mark, Tree

_MOST_NAMES = 40


def validation_faults(error: ValidationError | None, tree: Tree) -> Iterator[Fault]:
    """Give the faults of a file that does not fit the model; one whose fields are empty does not, though the model may not mind.

    A misspelt field is an unknown field and a missing one to the model; to the person it is one slip, so that it is one fault.
    """
    errors = error.errors(include_url=False) if error else []
    misspelt = _misspelt(errors)
    unknown = {found["loc"] for found in errors if found["type"] == "extra_forbidden"}
    commas = _commas(unknown, tree)
    yield from dict.fromkeys(commas.values())
    yield from (_empty(path, tree) for path in tree.empty if path and path not in unknown)
    for found in errors:
        path: Path = found["loc"]
        if (path in tree.empty and path not in unknown) or path in commas:
            continue
        match found["type"]:
            case "missing":
                if path not in misspelt.values() and path[:-1] not in tree.spoilt:
                    yield _missing(path, tree)
            case "extra_forbidden":
                yield _unknown(path, tree, misspelt.get(path))
            case "too_short":
                if not any(len(other["loc"]) > len(path) and other["loc"][: len(path)] == path for other in errors):
                    said = f"{path[-1]} is an empty list; at least one entry is needed"
                    yield tree.fault(path, "an empty list", "at least one entry", message=said)
            case "tuple_type" | "list_type":
                yield _no_list(path, found["input"], tree)
            case "word" | "quantity":
                for inner, was, allowed, hint, message in found["ctx"]["faults"]:
                    place = _written((*path, *inner), tree)
                    if place not in tree.empty:
                        yield tree.fault(place, was, allowed, hint, message)
            case _:
                yield _no_mapping(path, found["input"], tree)


def _written(path: Path, tree: Tree) -> Path:
    """Leave out the field that the person did not write: the name of a step may stand alone for `step: name`."""
    return path[:-1] if path not in tree.marks and tree.marks.get(path[:-1], _NOWHERE).style in _WORD_STYLES else path


_NOWHERE = Mark(0, 0, 0, 0, "block")
_WORD_STYLES = ("plain", "quoted", "text")


def _empty(path: Path, tree: Tree) -> Fault:
    where = "here" if isinstance(path[-1], int) else f"after {shown(str(path[-1]))}:"
    return tree.fault(
        path, "nothing", "a value", message=f"nothing is written {where}", hint="give a value, or leave the field out"
    )


def _misspelt(errors: list[Any]) -> dict[Path, Path]:
    """Pair unknown fields with the missing ones beside them that they were probably meant for."""
    pairs: dict[Path, Path] = {}
    missing: dict[Path, list[str]] = {}
    for found in errors:
        if found["type"] == "missing":
            missing.setdefault(found["loc"][:-1], []).append(found["loc"][-1])
    for found in errors:
        path = found["loc"]
        if found["type"] == "extra_forbidden" and (meant := nearest(str(path[-1]), missing.get(path[:-1], []))):
            pairs[path] = (*path[:-1], meant)
            missing[path[:-1]].remove(meant)
    return pairs


def _commas(unknown: set[Path], tree: Tree) -> dict[Path, Fault]:
    """Inside braces, the comma of `{floor: 4,5 m2}` parts two fields: find those, by the path of either half."""
    found: dict[Path, Fault] = {}
    ends = {(path[:-1], tree.marks[path].end): path for path in tree.key_marks} if unknown & tree.empty else {}
    for path in unknown & tree.empty:
        before = ends.get((path[:-1], tree.key_marks[path].start - 1))
        if before is None or not re.match(r"[0-9]+( ?[^0-9 ].*)?$", str(path[-1])):
            continue
        whole = str(_value(tree.data, before))
        if re.fullmatch(r"-?[0-9. ]+", whole):
            read, meant = f"{whole},{path[-1]}", f"{whole}.{path[-1]}"
            said = f"{read} has a comma in the number"
            fault = tree.fault(before, read, "a number with a decimal point", f"did you mean {meant}?", said)
            found |= {path: fault, before: fault}
    return found


def _value(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return data


def _missing(path: Path, tree: Tree) -> Fault:
    field = str(path[-1])
    return tree.fault(path, "nothing", f"a value for {field}", message=f"{field} is missing")


def _unknown(path: Path, tree: Tree, meant: Path | None) -> Fault:
    field, allowed = str(path[-1]), fields_at(path[:-1])
    hint = f"did you mean {meant[-1]}?" if meant else likely_slip(field, allowed)
    names = listed(allowed, _MOST_NAMES)
    said = f"{shown(field)!r} is no field here; allowed: {names}" if field else "a field without a name stands here"
    mark = tree.key_marks.get(path) or tree.mark(path)
    return Fault(mark.line, mark.column, path_words(path), shown(field), names, hint, said)


def _no_list(path: Path, read: Any, tree: Tree) -> Fault:
    hint = "put `- ` before each entry, or brackets round them"
    return tree.fault(path, shown(read), "a list", hint, f"{shown(read)!r} was read; a list is wanted")


def _no_mapping(path: Path, read: Any, tree: Tree) -> Fault:
    names = listed(fields_at(path), _MOST_NAMES)
    said = f"{shown(read)!r} was read; fields are wanted: {names}"
    return tree.fault(path, shown(read), f"a mapping of {names}", "write `name: value` lines below it", said)
