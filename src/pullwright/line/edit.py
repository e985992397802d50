"""Changing a line file in one place and nowhere else: comments, order, quotes and empty lines stay as somebody typed them.

Every change is made in the text, at the place that the marks of `yaml_tree` give, and is then read again: what comes back differs
from what was there by this change and nothing else, or the change is refused.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any

from pullwright.line.faults import Path, path_words, shown
from pullwright.line.marks import Tree
from pullwright.line.places import Places
from pullwright.line.writing import normal
from pullwright.line.yaml_tree import read_tree

__all__ = ["EditError", "add_item", "also_changes", "remove_field", "remove_item", "set_field", "tree_read"]

Value = str | int | float | bool | Mapping[str, Any] | Sequence[Any]


class EditError(ValueError):
    """A change that cannot be made: `field` is the path in words, `message` says why, `hint` what to do instead."""

    def __init__(self, path: Path, message: str, hint: str = "") -> None:
        self.field, self.message, self.hint = path_words(path), message, hint
        super().__init__(f"{self.field}: {message}" + (f" ({hint})" if hint else ""))

    def __reduce__(self) -> tuple[Any, ...]:
        return _error_again, (self.field, self.message, self.hint)


def _error_again(field: str, message: str, hint: str) -> EditError:
    return EditError((field,), message, hint)


def set_field(text: str, path: Path, value: Value) -> str:
    """How does the file look with another value in one field?

    `text` is the whole file; `path` leads to the field as it is called in the file, lists counted from 0:
    `("steps", 2, "set_up", "time")`. `value` is what a person types (`"45 s"`), a number, or a mapping or list, which is written on one
    line (`{mean: 45 s, cv: 0.2}`). A field that is not there yet is added at the end of its mapping, with the mapping where that is
    missing too. A value that is there already leaves the text as it is. A value that other places repeat with `*name` changes there
    too (see `also_changes`). Returns the new text; EditError where the change cannot be made without changing something else.

    >>> print(set_field("steps:\\n  - name: hone   # the slow one\\n    machine: 640 s\\n", ("steps", 0, "machine"), "600 s"), end="")
    steps:
      - name: hone   # the slow one
        machine: 600 s
    """
    tree = _tree(text, path)
    wanted = _normal(path, value)
    depth = _written(tree, path)
    if depth < len(path):
        return _add(text, tree, path, depth, wanted)
    if not path:
        raise EditError(path, "the file as a whole cannot be set", "give the path of a field")
    if _same(_at(tree.data, path), wanted):
        return text
    _refuse_repeated(tree, path, inside_only=True)
    return _first_that_holds(text, tree, path, Places(text, tree).replaced(path, wanted), _put(tree, path, wanted))


def remove_field(text: str, path: Path) -> str:
    """How does the file look without one field?

    The field goes with its value and the comment at the end of its line; comments above it stay. Where it was the only one, `{}` is
    left. EditError where there is no such field, or where other places repeat something in it.

    >>> remove_field("step: {name: hone, lot: 56, people: 1}\\n", ("step", "lot"))
    'step: {name: hone, people: 1}\\n'
    """
    tree = _tree(text, path)
    if not path or _written(tree, path) < len(path) or not isinstance(_at(tree.data, path[:-1]), dict):
        raise EditError(path, "there is no such field")
    _refuse_repeated(tree, path, inside_only=True)

    def without(holder: Any) -> None:
        del holder[path[-1]]

    return _first_that_holds(
        text, tree, path, Places(text, tree).without_field(path), _changed(tree, path[:-1], without)
    )


def add_item(text: str, path: Path, item: Value) -> str:
    """How does the file look with one more entry at the end of a list?

    `path` leads to the list; `item` is a mapping, a list, a number, or YAML text as a person types it: `"{name: saw, floor: 6 m2}"`,
    `"name: saw\\nfloor: 6 m2"`, `"saw"`. A list that is not there yet is added. EditError where that cannot be done.

    >>> print(add_item("stations:\\n  - name: saw\\n  - name: lathe\\n\\n# the way\\n", ("stations",), {"name": "press"}), end="")
    stations:
      - name: saw
      - name: lathe
      - name: press
    <BLANKLINE>
    # the way
    """
    tree = _tree(text, path)
    wanted = _normal(path, item)
    typed = ""
    if isinstance(item, str):
        read = read_tree(item)
        if read.faults or read.data is None:
            raise EditError(path, f"this cannot be an entry: {read.faults[0] if read.faults else 'nothing is written'}")
        wanted, typed = _normal(path, read.data), item
    if _written(tree, path) < len(path) or _at(tree.data, path) is None:
        return set_field(text, path, [wanted])
    _refuse_repeated(tree, path)
    if not isinstance(_at(tree.data, path), list):
        raise EditError(path, f"{shown(_at(tree.data, path))!r} stands here and is no list")

    def longer(holder: Any) -> None:
        holder.append(wanted)

    return _first_that_holds(
        text, tree, path, Places(text, tree).with_item(path, wanted, typed), _changed(tree, path, longer)
    )


def remove_item(text: str, path: Path, index: int) -> str:
    """How does the file look without one entry of a list?

    `path` leads to the list, `index` counts from 0. Where it was the only one, `[]` is left. EditError where there is no such entry.

    >>> remove_item("skills: [saw, hone, paint]\\n", ("skills",), 1)
    'skills: [saw, paint]\\n'
    """
    tree = _tree(text, path)
    entries = _at(tree.data, path) if _written(tree, path) == len(path) else None
    if not isinstance(entries, list) or not 0 <= index < len(entries):
        raise EditError((*path, index), "there is no such entry")
    _refuse_repeated(tree, path)

    def shorter(holder: Any) -> None:
        del holder[index]

    return _first_that_holds(
        text, tree, path, Places(text, tree).without_item(path, index), _changed(tree, path, shorter)
    )


def also_changes(text: str, path: Path) -> tuple[Path, ...]:
    """Which other places repeat the value of a field with `*name`, so that a change of it holds there too?

    >>> also_changes("a: &bolt {price: 1 EUR}\\nb: *bolt\\n", ("a", "price"))
    (('b', 'price'),)
    """
    return tuple(_tree(text, path).repeated_at(path))


@lru_cache(maxsize=4)
def tree_read(text: str) -> Tree:
    """Read text that is changed again and again: what one change was held against is what the next begins with.

    Whoever asks gets the same tree, and changes nothing in it.
    """
    return read_tree(text)


def _tree(text: str, path: Path) -> Tree:
    tree = tree_read(text)
    if tree.faults:
        raise EditError(path, f"the file cannot be changed while it cannot be read: {tree.faults[0]}")
    if not isinstance(tree.data, dict):
        raise EditError(path, "the file holds no fields", "a line file begins with `line:`")
    return tree


def _normal(path: Path, value: Any) -> Any:
    try:
        return normal(value)
    except ValueError as error:
        raise EditError(path, str(error)) from None


def _written(tree: Tree, path: Path) -> int:
    """How many steps of a path stand in the file?"""
    here = tree.data
    for depth, step in enumerate(path):
        there = (step in here) if isinstance(here, dict) else isinstance(here, list) and step in range(len(here))
        if not there:
            return depth
        here = here[step]
    return len(path)


def _at(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return data


def _refuse_repeated(tree: Tree, path: Path, *, inside_only: bool = False) -> None:
    """What stands inside a repeated value is written elsewhere, and has to be changed there."""
    above = tree.repeat_above(path[:-1] if inside_only else path)
    if above is not None:
        place, repeat = above
        line = tree.value_mark(repeat.of).line
        said = f"{path_words(place)} repeats with * what is written in line {line} ({path_words(repeat.of)})"
        raise EditError(path, said, "change it there, or write the value out here first")


def _add(text: str, tree: Tree, path: Path, depth: int, wanted: Any) -> str:
    """Add a field to the mapping that is there, with what is missing between them."""
    around, rest = path[:depth], path[depth:]
    holder = _at(tree.data, around)
    for step in rest:
        if not isinstance(step, str):
            raise EditError(
                path, f"there is no entry {step + 1} in {path_words(around)}", "add entries at the end of a list"
            )
    for step in reversed(rest[1:]):
        wanted = {step: wanted}
    if holder is None:
        return set_field(text, around, {str(rest[0]): wanted})
    if not isinstance(holder, dict):
        raise EditError(
            path, f"{shown(holder)!r} stands at {path_words(around)}, which has no fields", "set the whole of it"
        )
    _refuse_repeated(tree, around)

    def fuller(mapping: Any) -> None:
        mapping[rest[0]] = wanted

    places = Places(text, tree).with_field(around, str(rest[0]), wanted)
    return _first_that_holds(text, tree, path, places, _changed(tree, around, fuller))


def _put(tree: Tree, path: Path, wanted: Any) -> Any:
    def put(holder: Any) -> None:
        holder[path[-1]] = wanted

    # A repetition that is replaced ends here; a value that is repeated changes everywhere.
    if path in tree.repeats:
        data = copy.deepcopy(tree.data)
        put(_at(data, path[:-1]))
        for other in tree.repeated_at(path[:-1]):
            put(_at(data, other))
        return data
    data = _changed(tree, path[:-1], put)
    for other in tree.repeated_at(path):
        _at(data, other[:-1])[other[-1]] = wanted
    return data


def _changed(tree: Tree, path: Path, change: Callable[[Any], None]) -> Any:
    """Give the values as they should be after a change: at the path, and wherever it is repeated."""
    data = copy.deepcopy(tree.data)
    for place in (path, *tree.repeated_at(path)):
        change(_at(data, place))
    return data


def _first_that_holds(text: str, tree: Tree, path: Path, candidates: Iterable[str], expected: Any) -> str:
    """Give the first new text that reads as it should; EditError with the reason where none does."""
    reason = ""
    for candidate in candidates:
        read = tree_read(candidate)
        if not read.faults and _same(read.data, expected):
            return candidate
        reason = reason or (str(read.faults[0]) if read.faults else "something else in the file would change with it")
    raise EditError(path, f"this change cannot be made in the text: {reason}", "change it with an editor of text")


def _same(one: Any, other: Any) -> bool:
    """Are two values the same in a line file? A number and its text are: 5 and "5"."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    if one is None or other is None or isinstance(one, bool | dict | list) or isinstance(other, bool | dict | list):
        return type(one) is type(other) and bool(one == other)
    return str(one) == str(other)
