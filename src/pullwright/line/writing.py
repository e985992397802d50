"""Values as YAML text: in plain letters where YAML reads them back as they are, in quotes where it would not."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any

from pullwright.line.yaml_tree import plain_value

_FIRST = re.compile(r"[^\s\-?:,\[\]{}#&*!|>'\"%@`]|[-?:](?=[^\s,\[\]{}])")
_BREAKS_PLAIN = re.compile(r":(\s|$)|\s#|[\s]$|^(---|\.\.\.|<<)")
_BREAKS_FLOW = re.compile(r"[,\[\]{}:?]")
_UNPRINTABLE = re.compile(r"[\x00-\x1f\x7f-\xa0\u2028\u2029\ud800-\udfff\ufeff]")
_SHORT = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def normal(value: Any) -> Any:
    """Give a value as it will be read back: yes and no as words, lists and mappings as plain ones.

    ValueError for what no line file holds: nothing, infinity, objects.
    """
    match value:
        case bool():
            return "yes" if value else "no"
        case str() | int():
            return value
        case float() if math.isfinite(value):
            return value
        case Mapping():
            return {str(key): normal(item) for key, item in value.items()}
        case list() | tuple():
            return [normal(item) for item in value]
    raise ValueError(
        f"{value!r} cannot stand in a line file; take the field out instead"
        if value is None
        else f"{value!r} cannot stand in a line file"
    )


def plain_holds(text: str, *, flow: bool) -> bool:
    """Can a text stand without quotes, and be read back as itself?

    >>> plain_holds("2.5 min", flow=True), plain_holds("saw: left", flow=False), plain_holds("no. 3, left", flow=True)
    (True, False, False)
    """
    if _UNPRINTABLE.search(text) or not _FIRST.match(text) or _BREAKS_PLAIN.search(text):
        return False
    if flow and _BREAKS_FLOW.search(text):
        return False
    return isinstance(plain_value(text), str | int | float) and not isinstance(plain_value(text), bool)


def quoted(text: str, mark: str = '"') -> str:
    """Put a text in quotes: double ones can hold everything, single ones what is printable.

    >>> print(quoted("it's"), quoted("it's", "'"), quoted("a\\nb", "'"))
    "it's" 'it''s' "a\\nb"
    """
    if mark == "'" and not _UNPRINTABLE.search(text):
        return "'" + text.replace("'", "''") + "'"
    return '"' + re.sub(rf'["\\]|{_UNPRINTABLE.pattern}', _escaped, text) + '"'


def _escaped(found: re.Match[str]) -> str:
    letter = found[0]
    return _SHORT.get(letter) or f"\\u{ord(letter):04x}"


def words(text: str, *, flow: bool, like: str = "") -> Iterator[str]:
    """Give the ways to write a text, the best one first; `like` is how the text before it was written."""
    ways = {"'": quoted(text, "'"), '"': quoted(text)}
    if like[:1] in ways:
        yield ways[like[0]]
    if plain_holds(text, flow=flow):
        yield text
    yield ways['"']


def flow(value: Any) -> str:
    """Write a value on one line: `{mean: 45 s, cv: 0.2}`.

    >>> flow({"mean": "45 s", "cv": 0.2}), flow(["saw", "a, b"])
    ('{mean: 45 s, cv: 0.2}', '[saw, "a, b"]')
    """
    match value:
        case dict():
            return "{" + ", ".join(f"{flow(str(key))}: {flow(item)}" for key, item in value.items()) + "}"
        case list():
            return "[" + ", ".join(flow(item) for item in value) + "]"
        case str():
            return next(words(value, flow=True))
    return repr(value)


def block(value: Any, indent: str, end: str) -> str:
    """Write a value as it stands below or behind a key in block form: a list with its entries below, anything else on the line."""
    if isinstance(value, list) and any(isinstance(item, dict | list) for item in value):
        return "".join(f"{end}{indent}  - {flow(item)}" for item in value)
    if isinstance(value, str):
        return " " + next(words(value, flow=False))
    return " " + flow(value)
